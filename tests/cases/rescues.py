"""Jobs of rescuing a portion without air: like faces, a screw with main reservoirs joined, an adapter, couplers by the blow."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from headstock.compute.kept_runs import KeptRuns
from headstock.equipment.library import load_fleet
from headstock.usecases.plan_job import JobPlan, plan_job

FLEET = load_fleet()
TEXT = """headstock: job 1
title: {first} fetches {second}
invented: true
work: rescue
units:
  - {{name: "217", type: {first}}}
  - {{name: "226", type: {second}}}
joints:
  - {{ends: [217/{near}, 226/{far}], make: true}}
{way}moving: {{units: ["217"], driven_from: 217/{cab}}}
controls_afterwards: 217/{cab}
leaves_from: 217/{cab}
crew: {{driver: M. Iden, shunter: J. Tolk, guard: P. Oad}}
place: {place}
local_rules: wending-vale
method: rear-application
boards_placed_by: {{"217": guard, "226": guard}}
as_left: {{226.main_reservoir: dead{left}}}
"""


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
    way = f"way: {rescued.way}\n" if rescued.way else ""
    return TEXT.format(first=rescued.first, second=rescued.second, near=rescued.near, far=rescued.far, way=way, left=left,
                       place=place, cab="1" if rescued.near == "2" else "2")  # fmt: skip


@cache
def rescue(rescued: Rescued, folder: Path, left: str = "", place: str = "harrow-ings-3") -> JobPlan:
    """The plan of a rescue."""
    path = folder / "rescue.yaml"
    path.write_text(job_text(rescued, left, place), encoding="utf-8")
    return plan_job(path, FLEET, KeptRuns() if rescued.by_air else None)
