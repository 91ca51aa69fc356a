"""Jobs of every family that is planned, names invented: each is planned, proved the cheapest, and its bound is watched."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from headstock.usecases.job_file import JOBS_FOLDER

PAIR = """headstock: job 1
title: {work} 217 and 226
invented: true
work: {work}
units:
  - {{name: "217", type: {first}}}
  - {{name: "226", type: {second}}}
joints:
  - {{ends: [217/2, 226/{end}], {word}: true}}
moving: {{units: ["217"], driven_from: 217/1}}
controls_afterwards: 217/1
leaves_from: 217/1
crew: {{driver: M. Iden, shunter: J. Tolk, guard: P. Oad}}
place: harrow-ings-3
local_rules: wending-vale
method: rear-application
boards_placed_by: {{"217": guard, "226": guard}}
"""


@dataclass(frozen=True, slots=True)
class CatalogueJob:
    """A job by name; ``gap_s`` is the best cost less the bound at the start [s], which may fall and never rise."""

    name: str
    by_air: bool
    best_s: float
    gap_s: float
    first: str = ""
    second: str = ""
    end: str = "1"
    parts: bool = False

    def path(self, folder: Path) -> Path:
        """Its file; one of two types is written into the folder."""
        if not self.first:
            return JOBS_FOLDER / f"{self.name}.yaml"
        made = folder / f"{self.name}.yaml"
        work, word = ("detach", "part") if self.parts else ("attach", "make")
        text = PAIR.format(work=work, word=word, first=self.first, second=self.second, end=self.end)
        made.write_text(text, encoding="utf-8")
        return made


JOBS = (
    CatalogueJob("demo-attach", False, 2316.0, 0.0),
    CatalogueJob("demo-attach", True, 2094.5, 0.0),
    CatalogueJob("second-attach", False, 2761.0, 0.0),
    CatalogueJob("second-attach", True, 2378.75, 0.0),
    CatalogueJob("rigid-knuckles", False, 2503.75, 0.0, "crag", "crag", "2"),
    CatalogueJob("rigid-knuckles", True, 2232.08, 0.0, "crag", "crag", "2"),
    CatalogueJob("hook-and-screw", False, 2282.08, 0.0, "moss", "moss"),
    CatalogueJob("hook-and-screw", True, 2008.58, 0.0, "moss", "moss"),
    CatalogueJob("drop-head-as-screw", False, 2103.92, 0.0, "tarn", "moss"),
    CatalogueJob("driver-alone", True, 3489.67, 0.0, "gale", "gale"),
    CatalogueJob("another-drop-head", False, 2246.25, 0.0, "tarn", "fell"),
    CatalogueJob("two-of-the-other", False, 2640.25, 0.0, "fell", "fell"),
    CatalogueJob("demo-detach", False, 1806.25, 0.0),
    CatalogueJob("part-drop-heads", False, 1816.25, 0.0, "tarn", "tarn", parts=True),
    CatalogueJob("part-unlike-drop-heads", False, 1796.25, 0.0, "tarn", "fell", parts=True),
    CatalogueJob("part-two-of-the-other", False, 2051.5, 0.0, "fell", "fell", parts=True),
    CatalogueJob("part-rigid-knuckle", False, 1963.83, 0.0, "fell", "crag", "2", parts=True),
    CatalogueJob("part-hook-and-screw", False, 1923.58, 0.0, "moss", "moss", parts=True),
    CatalogueJob("part-drop-head-as-screw", False, 1848.17, 0.0, "tarn", "moss", parts=True),
    CatalogueJob("part-hook-and-automatic", False, 1783.75, 0.0, "moss", "wold", parts=True),
    CatalogueJob("part-automatic", False, 1402.0, 0.0, "wold", "wold", "2", parts=True),
    CatalogueJob("part-driver-alone", False, 2259.67, 0.0, "gale", "gale", parts=True),
)
