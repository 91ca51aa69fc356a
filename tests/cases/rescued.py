"""Jobs that part what a rescue joined: springs by hand, main reservoirs joined, air inlet, adapters, couplers by the blow."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from headstock.equipment.library import load_fleet
from headstock.usecases.plan_job import JobPlan, plan_job
from tests.cases.two_units import two_units

FLEET = load_fleet()
DEAD = "226.main_reservoir: dead"
OFF, BOTH_OFF = ', 217.parking_brake: "off"', ', 217.parking_brake: "off", 226.parking_brake: "off"'


@dataclass(frozen=True)
class Rescued:
    """Two types, the ends by which they face one another, the way, what the rescue left, how else it is found."""

    first: str
    second: str
    near: str = "2"
    far: str = "1"
    way: str = ""
    mains: str = "apart"
    springs: tuple[str, ...] = ()
    left: str = ""

    @property
    def name(self) -> str:
        """For the test's name."""
        return f"{self.first}/{self.near}-{self.second}/{self.far} {self.way or 'direct'} {self.mains}"

    @property
    def text(self) -> str:
        """The job file."""
        springs = ", ".join(f'"{name}"' for name in self.springs)
        return two_units(
            "detach", self.first, self.second, (self.near, self.far), title=f"{self.second} set aside", way=self.way,
            left=DEAD + self.left, more=f"joined_by_a_rescue: {{main_reservoirs: {self.mains}, springs_by_hand: [{springs}]}}\n",
        )  # fmt: skip


BY_HAND = Rescued("tarn", "tarn", springs=("2261", "2264"), left=OFF)
MAIN = Rescued("wold", "tarn", "1", "1", "screw", "joined", left=BOTH_OFF)
BLOW = Rescued("gale", "gale", mains="joined", left=BOTH_OFF)
PORT = Rescued("wold", "gale", "1", "1", "adapter", "by the air inlet", left=BOTH_OFF)
KNUCKLE = Rescued("wold", "crag", "1", "2", "adapter", left=OFF)
HUNG_ON_THE_DEAD = Rescued("gale", "wold", "1", "1", "adapter", springs=("2261",), left=OFF)
PARTED = (BY_HAND, MAIN, Rescued("tarn", "fell", left=OFF), BLOW, PORT, KNUCKLE, HUNG_ON_THE_DEAD)
"""Springs set again; let off by air; none; by the blow; inlet and a handle; a lock; springs that no hand sets again."""


@cache
def parted(job: Rescued, folder: Path) -> JobPlan:
    """The plan of a parting."""
    path = folder / "part.yaml"
    path.write_text(job.text, encoding="utf-8")
    return plan_job(path, FLEET)
