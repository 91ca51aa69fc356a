"""``join``: can two ends be joined, and the pair's sheet to print."""

from __future__ import annotations

from pathlib import Path

from headstock.cli.reply import ANSWER_STATUS, print_json
from headstock.formation.brake_across import is_electric
from headstock.formation.joinability import JoinResult, Way
from headstock.formation.wires import BOTH_SIDES, WireMatch, function_lines, pin_words, wire_words
from headstock.usecases.answers_as_data.join import join_as_json
from headstock.usecases.join_ends import join_ends
from headstock.usecases.track_given import TrackGiven
from headstock.wiring import fleet_from, print_pair_sheet


def run_join(first: str, second: str, as_json: bool, fleet: Path | None, job: Path | None, rules: str, track: TrackGiven,
             sheets: Path | None) -> int:  # fmt: skip
    """Answer and print; "only if" is a yes with conditions, and they come first."""
    answer = join_ends(first, second, fleet_from(fleet), rules, job, track)
    written = print_pair_sheet(answer, sheets) if sheets is not None else None
    join = answer.join
    if as_json:
        print_json(join_as_json(answer, written))
    else:
        _print(join)
        if written is not None:
            print(written)
    return ANSWER_STATUS[join.answer]


def _print(answer: JoinResult) -> None:
    print(f"{answer.first} and {answer.second} can be joined: {answer.answer}")
    for way in answer.ways:
        for line in _lines(way):
            print(line)
    for line in answer.geometry.lines():
        print(f"  {line}")
    for match in answer.wires:
        _print_wires(match, answer)
    if answer.wires:
        print(f"  {BOTH_SIDES}")
    print("Advice from the stated equipment data: the rule book and the maintainer's documents decide.")


def _print_wires(match: WireMatch, answer: JoinResult) -> None:
    """The verdict, functions by what becomes of them, and every pin where two patterns or their pins differ."""
    first, second, electric = answer.first, answer.second, is_electric(answer.best.level)
    print(f"  {wire_words(match, first, second)}")
    if match.verdict == "nothing to join":
        return
    for line in function_lines(match, first, second, electric):
        print(f"    {line}")
    if match.verdict == "alike":
        return
    wide = max(len(first), *(len(line.first) for line in match.lines)) + 2
    then = max(len(second), *(len(line.second) for line in match.lines)) + 2
    print(f"    {'pin':<6}{first:<{wide}}{second}")
    for pin in match.lines:
        print(f"    {pin.pin:<6}{pin.first or '–':<{wide}}{pin.second or '–':<{then}}{pin_words(match, pin, electric)}")


def _lines(way: Way) -> list[str]:
    head = f"  {way.name}: {way.answer}"
    if way.answer == "no":
        return [head, *(f"    because {reason}" for reason in way.reasons)]
    through = "through" if way.main_reservoir_through else "not through"
    lines = [*(f"    only if {condition}" for condition in way.conditions)]
    lines += [f"    level: {way.level}; main reservoir pipe {through}"]
    for word, values in (("change", way.changes), ("needs", way.equipment), ("lost", way.losses),
                         ("restriction", way.restrictions)):  # fmt: skip
        lines += [f"    {word}: {value}" for value in values]
    return [head, *lines]
