"""Either kind of study from its file: drawn tests of a fleet, or mistakes in its jobs."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from headstock.base.documents import kind_of, read_document
from headstock.equipment.library import Fleet
from headstock.physics.air_run import AirEngine
from headstock.usecases.fleet_mistakes import MistakeStudy, mistake_study
from headstock.usecases.fleet_study import FleetStudy, fleet_study
from headstock.usecases.mistake_study_file import KIND, load_mistake_study
from headstock.usecases.study_file import load_study, study_path

KINDS: Final = ("study", KIND)


def study_of(name: str, fleet: Fleet, engine: AirEngine) -> FleetStudy | MistakeStudy:
    """A study by its file or by the name of one that comes along. Raises InputError, and for one above its own budget."""
    path: Path = study_path(name)
    if kind_of(read_document(path), KINDS) == KIND:
        return mistake_study(load_mistake_study(path), fleet)
    return fleet_study(load_study(path), fleet, engine)
