"""Jobs of joining and parting for every two types of the built-in fleet, each end with a cab; what cannot be, answered."""

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
class Pair:
    """Two types and the ends by which they face one another."""

    first: str
    second: str
    near: str = "2"
    far: str = "1"
    by_air: bool = False
    way: str = ""

    @property
    def name(self) -> str:
        """For the test's name."""
        return f"{self.first}/{self.near}-{self.second}/{self.far}{self.way and f' {self.way}'}"


PAIRS = (
    Pair("tarn", "tarn"), Pair("tarn", "fell"), Pair("fell", "fell"), Pair("crag", "crag", "2", "2"),
    Pair("fell", "crag", "2", "2"), Pair("moss", "moss"), Pair("tarn", "moss"), Pair("moss", "wold", "2", "1"),
    Pair("wold", "wold", "2", "2", by_air=True), Pair("gale", "gale", by_air=True),
)  # fmt: skip
"""Drop-heads, with a rigid knuckle, rigid knuckles, hooks with their own screw, a screw over a drawhook, automatic couplers."""
PARTED = tuple(pair for pair in PAIRS if pair.first != "crag")
"""A crag alone has no cab at its rear to test from: its parting is a refusal."""


@cache
def coupling(pair: Pair, work: str, folder: Path, left: str = "", place: str = "harrow-ings-3") -> JobPlan:
    """The plan of joining or parting a pair."""
    text = two_units(work, pair.first, pair.second, (pair.near, pair.far), way=pair.way, left=left, place=place)
    path = folder / f"{pair.name.replace('/', '')}-{work}.yaml"
    path.write_text(text, encoding="utf-8")
    return plan_job(path, FLEET, KeptRuns() if pair.by_air and work == "attach" else None)
