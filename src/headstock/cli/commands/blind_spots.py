"""``blind-spots``: what a brake test cannot see, what would see it, and what moving a limit does."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from headstock.brake_test.blind_spots import BlindSpots
from headstock.cli.reply import NO, YES, print_json
from headstock.local_rules.limit_figures import PressureUnit, in_unit
from headstock.usecases.answers_as_data.blind_spots import blind_spots_as_json
from headstock.usecases.blind_spot_words import LIMITS_DECIDE, MEANINGS, look_lines, marks_of, seen_rows, seen_words
from headstock.usecases.blind_spots_of_job import JobBlindSpots, blind_spots_of_job
from headstock.usecases.cause_words import place_in_words
from headstock.usecases.standing_caution import STANDING_CAUTION
from headstock.wiring import air_engine, fleet_from, signature_blocks


def run_blind_spots(
    job: Path, method: str | None, drawn: Path | None, looks: Path | None, members: int, as_json: bool, fleet: Path | None
) -> int:
    """Work out and print; 0 where every fault is seen, 1 where some are not."""
    answer = blind_spots_of_job(job, fleet_from(fleet), air_engine(), signature_blocks(), method=method, drawn=drawn,
                                looks=looks, members=members)  # fmt: skip
    if as_json:
        print_json(blind_spots_as_json(answer))
    else:
        _print(answer)
    return YES if all(cause.answer == "seen" for cause in answer.spots.causes) else NO


def _print(answer: JobBlindSpots) -> None:
    from rich.console import Console

    console = Console(highlight=False, markup=False)
    tested, drawn = answer.test.tested, answer.test.drawn
    console.print(f"What this test cannot see: {tested.method.name}, edition {tested.method.edition}", style="bold")
    console.print(f"Local rules: {tested.rules.name}, edition {tested.rules.edition}"
                  + (" (invented)" if tested.rules.invented else ""))  # fmt: skip
    for caution in (STANDING_CAUTION, LIMITS_DECIDE):
        console.print(f"Caution: {caution}")
    console.print(f"Drawn from: {drawn.name}, edition {drawn.edition}{' (invented)' if drawn.invented else ''}. {drawn.note}")
    unit = tested.rules.pressure_unit
    console.print(_table(answer.spots, unit))
    for number, place in enumerate(answer.spots.places, start=1):
        not_applied = "" if place.applies else ", above the train's set pressure: decides nothing"
        console.print(f"{number}: {place_in_words(place, unit)}{not_applied}")
    console.print(MEANINGS)
    console.print(f"Healthy trains outside a limit: {answer.spots.healthy.at_all:.1%}.")
    for line in look_lines(answer):
        console.print(line)
    console.print(_moved(answer))


def _table(spots: BlindSpots, unit: PressureUnit) -> Any:
    """One row a kind where all its places are alike, else one a place."""
    from rich.table import Table

    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    table.add_column("fault", overflow="fold")
    table.add_column("this test", overflow="fold", max_width=18)
    for number in range(1, len(spots.places) + 1):
        table.add_column(str(number), no_wrap=True)
    for name, cause in seen_rows(spots):
        table.add_row(name, seen_words(cause, unit), *marks_of(cause, spots))
    return table


def _moved(answer: JobBlindSpots) -> Any:
    from rich.table import Table

    rules = answer.test.tested.rules
    table = Table(box=None, pad_edge=False, padding=(0, 1, 0, 0), title_justify="left",
                  title=f"A limit moved, in {rules.pressure_unit}: faults missed / healthy trains failed")  # fmt: skip
    table.add_column("limit of")
    table.columns[0].no_wrap = True
    steps = [moved.moved for moved in answer.moved[0][1]] if answer.moved else []
    for step in steps:
        table.add_column(f"{in_unit(step, rules.pressure_unit):+.3g}", justify="right")
    numbers = {place.name: number for number, place in enumerate(answer.spots.places, start=1)}
    for name, moved in answer.moved:
        table.add_row(str(numbers[name]), *(f"{one.missed_share:.0%}/{one.false_alarm_share:.0%}" for one in moved))
    return table
