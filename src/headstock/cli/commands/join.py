"""``join``: can two ends be joined."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

from headstock.cli.reply import ANSWER_STATUS, print_json
from headstock.formation.joinability import JoinResult, Way
from headstock.usecases.join_ends import join_ends
from headstock.wiring import fleet_from


def run_join(first: str, second: str, as_json: bool, fleet: Path | None, job: Path | None, rules: str) -> int:
    """Answer and print; "only if" is a yes with conditions, and they come first."""
    answer = join_ends(first, second, fleet_from(fleet), rules, job)
    if as_json:
        print_json(asdict(answer))
    else:
        _print(answer)
    return ANSWER_STATUS[answer.answer]


def _print(answer: JoinResult) -> None:
    print(f"{answer.first} and {answer.second} can be joined: {answer.answer}")
    for way in answer.ways:
        for line in _lines(way):
            print(line)
    print("Advice from the stated equipment data: the rule book and the maintainer's documents decide.")


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
