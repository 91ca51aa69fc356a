"""Jobs of many units: as many on each side of the joint, a road long enough for them."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

ROOT = Path(__file__).parents[2] / "src/headstock"
TEXT = """headstock: job 1
title: {work} {units} units
invented: true
work: {work}
units:
{named}
joints:
{joints}
moving: {{units: [{moving}], driven_from: 200/1}}
controls_afterwards: 200/1
leaves_from: 200/1
crew: {{driver: M. Iden, shunter: J. Tolk, guard: P. Oad}}
place: long-road.yaml
local_rules: wending-vale
method: rear-application
boards_placed_by: {{"200": guard, "{first_standing}": guard}}
"""


@dataclass(frozen=True, slots=True)
class LongTrain:
    """So many units on each side, to be joined or parted, the air asked or not; what the best order costs [s]."""

    each_side: int
    work: str
    by_air: bool
    best_s: float

    @property
    def name(self) -> str:
        """For the test's name and the bench."""
        return f"{self.work} {2 * self.each_side} units{' (air)' if self.by_air else ''}"

    def path(self, folder: Path) -> Path:
        """Its file, written into a folder with its road."""
        road = (ROOT / "formation/places/harrow-ings-3.yaml").read_text(encoding="utf-8")
        (folder / "long-road.yaml").write_text(road.replace("usable_length_m: 240", "usable_length_m: 2000"), encoding="utf-8")
        units = [str(200 + number) for number in range(2 * self.each_side)]
        word = "make" if self.work == "attach" else "part"
        joints = [
            f"  - {{ends: [{one}/2, {then}/1]{f', {word}: true' if number == self.each_side - 1 else ''}}}"
            for number, (one, then) in enumerate(pairwise(units))
        ]
        text = TEXT.format(
            work=self.work, units=len(units), named="\n".join(f'  - {{name: "{unit}", type: tarn}}' for unit in units),
            joints="\n".join(joints), moving=", ".join(f'"{unit}"' for unit in units[: self.each_side]),
            first_standing=units[self.each_side])  # fmt: skip
        path = folder / f"{self.name.replace(' ', '-')}.yaml"
        path.write_text(text, encoding="utf-8")
        return path


LONG = (
    LongTrain(3, "attach", False, 2506.5),
    LongTrain(6, "attach", False, 2949.0),
    LongTrain(6, "attach", True, 2619.5),
    LongTrain(6, "detach", False, 3494.25),
)
