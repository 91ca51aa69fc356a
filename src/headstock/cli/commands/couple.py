"""``couple``: which states explain what is seen of a couple, which look tells them apart, what to do and what never."""

from __future__ import annotations

from pathlib import Path

from headstock.capability.automatic_couple import AUTOMATIC
from headstock.capability.couple_signs import CoupleAnswer
from headstock.capability.couples_by_hand import FAMILIES
from headstock.cli.reply import NO, NOT_YET, YES, print_json
from headstock.usecases.answers_as_data.couple import couple_as_json
from headstock.usecases.part_made_couple import part_made_couple
from headstock.usecases.standing_caution import STANDING_CAUTION


def run_couple(family: str | None, signs: list[str], job: Path | None, as_json: bool) -> int:
    """Answer and print; 0 one thing to do, 1 nothing explains the signs, 3 not decided."""
    answer = part_made_couple(family, signs, job)
    if as_json:
        print_json(couple_as_json(answer))
    else:
        _print(answer)
    return (YES if answer.decided else NOT_YET) if answer.states else NO


def run_couple_list(as_json: bool) -> int:
    """All kinds of couples with their signs and values."""
    named = {name: {sign.name: list(sign.values) for sign in family.signs} for name, family in FAMILIES.items()}
    if as_json:
        print_json(named)
        return YES
    for name, signs in named.items():
        print(f"{name}:")
        for sign, values in signs.items():
            print(f"  {sign}: {' or '.join(values)}")
    return YES


def _print(answer: CoupleAnswer) -> None:
    print(f"Caution: {STANDING_CAUTION}")
    seen = ", ".join(f"{sign}: {value}" for sign, value in answer.seen.items())
    print(f"{answer.family.name}, seen: {seen or 'nothing yet'}")
    if not answer.states:
        print("No known state shows all of this: look again, and take it that nothing holds, brakes or is joined.")
        return
    for state in answer.states:
        print(f"  may be: {state.words}" + (f" ({state.arises})" if state.arises else ""))
        if state.false_signs:
            print(f"    may lie: {', '.join(state.false_signs)}")
    for group in answer.alike:
        print(f"  no look tells apart for certain: {', '.join(group)}")
    if answer.next_look is not None:
        look = answer.next_look
        print(f"Look next: {look.name} ({look.how})" + (f"; only if: {look.only_if}" if look.only_if else ""))
        family = "" if answer.family.name == AUTOMATIC.name else f' "{answer.family.name}"'
        print(f'Say what is seen: headstock couple{family} --sign "{look.name}=..."; signs and values: headstock couple --list')
    if answer.decided:
        print("Do:")
        for number, text in enumerate(answer.states[0].do, start=1):
            print(f"  {number}. {text}")
    for text in answer.never:
        print(f"Never: {text}")
