"""What is given to every question: the fleet, the built-in job, a recorder's file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from headstock.brake_test.recorder import RecorderTrace
    from headstock.equipment.library import Fleet
    from headstock.usecases.readings_file import RecorderGiven

DEMO_JOB = Path(__file__).parents[1] / "usecases" / "jobs" / "demo-attach.yaml"


def fleet_from(folder: Path | None) -> Fleet:
    """The built-in fleet, or one's own."""
    from headstock.equipment.library import load_fleet

    return load_fleet(folder)


def read_recorder(path: Path, given: RecorderGiven, began_s: float | None) -> RecorderTrace:
    """A recorder's file as samples. Raises InputError."""
    from headstock.exchange import recorder_csv

    return recorder_csv.read_recorder(path, given, began_s)
