"""Jobs of rescuing a portion without air: like faces, a screw with main reservoirs joined, an adapter, couplers by the blow."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from headstock.compute.kept_runs import KeptRuns
from headstock.equipment.library import load_fleet
from headstock.usecases.plan_job import JobPlan, plan_job
from tests.cases.two_units import two_units

FLEET = load_fleet()


@dataclass(frozen=True)
class Rescued:
    """Two types, the ends by which they face one another, the way asked for, whether the air is asked."""

    first: str
    second: str
    near: str = "2"
    far: str = "1"
    way: str = ""
    by_air: bool = False

    @property
    def name(self) -> str:
        """For the test's name."""
        return (
            f"{self.first}/{self.near}-{self.second}/{self.far}{' ' if self.way else ''}{self.way}{' air' if self.by_air else ''}"
        )


SAME, MAIN, BLOW = Rescued("tarn", "tarn"), Rescued("wold", "tarn", "1", "1", "screw", True), Rescued("gale", "gale", by_air=True)
PORT, KNUCKLE = Rescued("wold", "gale", "1", "1", "adapter"), Rescued("wold", "crag", "1", "2", "adapter")
RESCUES = (SAME, MAIN, Rescued("tarn", "fell"), Rescued("fell", "tarn", way="screw"), BLOW, PORT, KNUCKLE)
"""Springs by hand, main reservoirs joined, no springs, a loose screw, pipes joined by the blow, adapters."""


def job_text(rescued: Rescued, left: str = "", place: str = "harrow-ings-3") -> str:
    """The job file."""
    return two_units(
        "rescue", rescued.first, rescued.second, (rescued.near, rescued.far), title=f"{rescued.first} fetches {rescued.second}",
        way=rescued.way, left=f"226.main_reservoir: dead{left}", place=place,
    )  # fmt: skip


@cache
def rescue(rescued: Rescued, folder: Path, left: str = "", place: str = "harrow-ings-3") -> JobPlan:
    """The plan of a rescue."""
    path = folder / "rescue.yaml"
    path.write_text(job_text(rescued, left, place), encoding="utf-8")
    return plan_job(path, FLEET, KeptRuns() if rescued.by_air else None)
