"""Small fleet studies; all invented."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from headstock.compute.kept_runs import KeptRuns
from headstock.equipment.library import load_fleet
from headstock.exchange.mistake_parts import mistake_part_content
from headstock.exchange.study_parts import StudyFolder, part_content
from headstock.physics.fast_many import answer_few
from headstock.usecases.fleet_mistakes import MistakeStudy, mistake_study
from headstock.usecases.fleet_study import FleetStudy, fleet_study
from headstock.usecases.mistake_study_file import load_mistake_study
from headstock.usecases.study_file import load_study

SMALL = """headstock: study 1
name: A leak that nothing shows
edition: "1"
invented: true
jobs: [demo-attach]
methods: [rear-application, front-both-ways]
faults: [cock shut, pipe leaks]
severities: {pipe leaks: [0.0001, 3.2]}
weather:
  - {name: winter, low_c: -20, high_c: 0}
  - {name: summer, low_c: 15, high_c: 35}
limits:
  - {name: as_ruled}
  - name: lax
    moved_bar: {rear applied: 9, rear fallen: 9, front fallen: 9, no rise: 9, rear stays: 9,
                rear charged: -9, rear risen: -9, rear restored: -9}
draws: 20
most_scenarios: 5000
"""
"""A leak of a ten-thousandth of a bar a minute is planted, and limits that nothing fails."""


def written(folder: Path, text: str = SMALL) -> Path:
    """A study's file."""
    path = folder / "study.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def study_of(folder: Path, text: str = SMALL) -> FleetStudy:
    """A study with its job planned."""
    return fleet_study(load_study(written(folder, text)), load_fleet(), engine())


FEWER = SMALL.replace("draws: 20", "draws: 4").replace("  - {name: summer, low_c: 15, high_c: 35}\n", "")
"""The same, small enough to be worked out by a quick test."""


def worked_out(folder: Path, text: str = FEWER) -> Path:
    """The results of a study with its real air, in a folder of ``folder``."""
    study, out = study_of(folder, text), folder / "results"
    store = StudyFolder(out, study, "code")
    store.open()
    for part in range(study.parts):
        store.keep(part, part_content(study, study.rows(part, answer_few), store.key))
    return out


MISTAKES = """headstock: mistake study 1
name: Two pairs and one that cannot be
edition: "1"
invented: true
pairs: [[gale/2, gale/1], [beck/2, wold/1]]
local_rules: [wending-vale]
place: harrow-ings-3
method: rear-application
mistakes: [left out, half done, wrong end]
most_jobs: 2
"""
"""One pair that can be joined and one that cannot."""


def mistakes_of(folder: Path, text: str = MISTAKES) -> MistakeStudy:
    """A study of mistakes with its jobs written."""
    return mistake_study(load_mistake_study(written(folder, text)), load_fleet())


def mistakes_worked_out(folder: Path, text: str = MISTAKES) -> Path:
    """Its results, in a folder of ``folder``."""
    study, out = mistakes_of(folder, text), folder / "results"
    store = StudyFolder(out, study, "code")
    store.open()
    for part in range(study.parts):
        store.keep(part, mistake_part_content(study, study.rows(part, engine()), store.key))
    return out


@cache
def engine() -> KeptRuns:
    """One for all tests of a process."""
    return KeptRuns()
