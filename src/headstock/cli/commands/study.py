"""``study``: a fleet study worked out into a folder."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from headstock.cli.reply import YES, print_json
from headstock.usecases.fleet_mistakes import MistakeStudy
from headstock.usecases.fleet_study import FleetStudy
from headstock.usecases.standing_caution import STANDING_CAUTION
from headstock.usecases.study_of import study_of
from headstock.usecases.study_questions import WHAT_DRAWN_TESTS_ARE, WHAT_MISTAKES_ARE
from headstock.wiring import air_engine, fleet_from
from headstock.wiring import run_study as work_out


def run_study(
    name: str, out: Path, workers: int | None, cluster: str | None, size: bool, as_json: bool, fleet: Path | None
) -> int:
    """Work out and print. Stopped, what was done is kept: asked again, it goes on from there."""
    study = study_of(name, fleet_from(fleet), air_engine())
    done = None if size else work_out(study, out, workers, cluster)
    said = study_as_json(study) | (
        {} if done is None else {"parts_before": done.before, "parts_worked_out": done.worked_out, "written": str(out)}
    )
    if as_json:
        print_json(said)
    else:
        _print(study, said)
    return YES


def study_as_json(study: FleetStudy | MistakeStudy) -> dict[str, Any]:
    """What the study is, as plain values."""
    file = study.file
    said: dict[str, Any] = {"study": {"name": file.name, "edition": file.edition, "invented": file.invented}, "kind": study.kind}
    if isinstance(study, MistakeStudy):
        return said | {
            "note": WHAT_MISTAKES_ARE, "jobs": study.parts, "parts": study.parts,
            "settings": [{"moving": one.moving, "standing": one.standing, "local_rules": one.rules} for one in study.jobs],
        }  # fmt: skip
    return said | {
        "note": WHAT_DRAWN_TESTS_ARE,
        "scenarios": study.count, "judged": study.count * len(study.file.limits), "parts": study.parts,
        "settings": [
            {"job": one.job, "method": one.method, "weather": one.weather, "vehicles": len(one.asked.singles.air.vehicles),
             "scenarios": one.asked.count}
            for one in study.settings
        ],
        "limits": [one.name for one in study.file.limits],
    }  # fmt: skip


def _print(study: FleetStudy | MistakeStudy, said: dict[str, Any]) -> None:
    file = study.file
    print(f"{file.name}, edition {file.edition}{' (invented)' if file.invented else ''}")
    for caution in (STANDING_CAUTION, said["note"]):
        print(f"Caution: {caution}")
    print(_size(study))
    if "written" in said:
        print(f"{said['parts_before']} parts were there, {said['parts_worked_out']} were worked out.")
        print(said["written"])


def _counted(number: int, what: str) -> str:
    return f"{number:,} {what}{'' if number == 1 else 's'}"


def _size(study: FleetStudy | MistakeStudy) -> str:
    if isinstance(study, MistakeStudy):
        pairs, rules = len({one.pair for one in study.jobs}), len({one.rules for one in study.jobs})
        return (
            f"{study.parts:,} jobs, a part each: {pairs:,} pairs of ends, {rules} set{'' if rules == 1 else 's'} of local rules."
        )
    limits = len(study.file.limits)
    parts, settings = _counted(study.parts, "part"), _counted(len(study.settings), "setting")
    return (f"{study.count:,} drawn tests in {parts}, {settings} of job, method and weather,"
            f" judged by {limits} set{'' if limits == 1 else 's'} of limits.")  # fmt: skip
