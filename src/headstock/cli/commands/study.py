"""``study``: a fleet study worked out into a folder."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from headstock.cli.reply import YES, print_json
from headstock.usecases.fleet_study import FleetStudy, fleet_study
from headstock.usecases.standing_caution import STANDING_CAUTION
from headstock.usecases.study_file import load_study, study_path
from headstock.usecases.study_questions import WHAT_DRAWN_TESTS_ARE
from headstock.wiring import air_engine, fleet_from
from headstock.wiring import run_study as work_out


def run_study(
    name: str, out: Path, workers: int | None, cluster: str | None, size: bool, as_json: bool, fleet: Path | None
) -> int:
    """Work out and print. Stopped, what was done is kept: asked again, it goes on from there."""
    study = fleet_study(load_study(study_path(name)), fleet_from(fleet), air_engine())
    done = None if size else work_out(study, out, workers, cluster)
    said = study_as_json(study) | (
        {} if done is None else {"parts_before": done.before, "parts_worked_out": done.worked_out, "written": str(out)}
    )
    if as_json:
        print_json(said)
    else:
        _print(study, said)
    return YES


def study_as_json(study: FleetStudy) -> dict[str, Any]:
    """What the study is, as plain values."""
    file = study.file
    return {
        "study": {"name": file.name, "edition": file.edition, "invented": file.invented}, "note": WHAT_DRAWN_TESTS_ARE,
        "scenarios": study.count, "judged": study.count * len(file.limits), "parts": study.parts,
        "settings": [
            {"job": one.job, "method": one.method, "weather": one.weather, "vehicles": len(one.asked.singles.air.vehicles),
             "scenarios": one.asked.count}
            for one in study.settings
        ],
        "limits": [one.name for one in file.limits],
    }  # fmt: skip


def _print(study: FleetStudy, said: dict[str, Any]) -> None:
    file = study.file
    print(f"{file.name}, edition {file.edition}{' (invented)' if file.invented else ''}")
    for caution in (STANDING_CAUTION, WHAT_DRAWN_TESTS_ARE):
        print(f"Caution: {caution}")
    print(f"{study.count:,} drawn tests in {study.parts} parts, {len(study.settings)} settings of job, method and weather,"
          f" judged by {len(file.limits)} set{'' if len(file.limits) == 1 else 's'} of limits.")  # fmt: skip
    if "written" in said:
        print(f"{said['parts_before']} parts were there, {said['parts_worked_out']} were worked out.")
        print(said["written"])
