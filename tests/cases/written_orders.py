"""Orders of work written by hand in plain text, one for each coupler family, for parting and for a rescue.

Each was typed from what the trade does in which order, then checked, never taken from a plan. What the first check found in
the first drafts is in ``FIRST_CHECK``: each was the draft's own hole, or a matter of where a word is said; no step was changed.
"""

from __future__ import annotations

import tempfile
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from headstock.compute.kept_runs import KeptRuns
from headstock.equipment.library import load_fleet
from headstock.usecases.check_instruction import InstructionCheck, check_instruction
from headstock.usecases.job_file import JOBS_FOLDER
from tests.cases.catalogue import JOBS, PAIR

FOLDER = Path(__file__).parent / "instructions"
FLEET = load_fleet()


@dataclass(frozen=True)
class WrittenOrder:
    """A text, the built-in job, a job of the catalogue or a job's own text that it is for, and how many lines it has."""

    text: str
    lines: int
    job: str = ""
    own: str = ""
    as_found: int = 0

    @property
    def path(self) -> Path:
        """The text."""
        return FOLDER / f"{self.text}.txt"

    def job_path(self, folder: Path) -> Path:
        """Its job; what is no file yet is written into the folder."""
        if self.own:
            path = folder / f"{self.text}.yaml"
            path.write_text(self.own, encoding="utf-8")
            return path
        named = next((job for job in JOBS if job.name == self.job), None)
        return named.path(folder) if named is not None else JOBS_FOLDER / f"{self.job}.yaml"


LOOSE = PAIR.format(work="attach", word="make", first="tarn", second="fell", end="1") + "way: screw\n"
WRITTEN = (
    WrittenOrder("attach-rigid-knuckles", 102, "rigid-knuckles", as_found=1),
    WrittenOrder("attach-hook-and-screw", 80, "hook-and-screw", as_found=1),
    WrittenOrder("attach-loose-screw", 89, own=LOOSE, as_found=1),
    WrittenOrder("attach-driver-alone", 72, "alone-attach"),
    WrittenOrder("part-drop-heads", 76, "demo-detach"),
    WrittenOrder("part-driver-alone", 52, "part-driver-alone"),
    WrittenOrder("rescue-like-couplers", 100, "demo-rescue"),
)
"""``as_found``: complaints of the start, where no hand brake is on yet."""

FIRST_CHECK: tuple[tuple[str, str, str], ...] = (
    ("all by hand", "the cocks told of only after coming out", "what one saw between ends as one comes out: said from there"),
    ("all with a shunter", "the passed test told to the driver alone", "whoever is in charge is told as well"),
    ("hook, screw, rescue", "the supply of 217 left on, as no cable is joined", "nobody goes between beside a live cable"),
    ("loose screw", "the board taken off before 226 was proved", "a board comes off for the movement, after the hold"),
    ("driver alone", "611 left on a brake that nobody had proved", "what is left is proved first, or its driver stays"),
    ("driver alone", "the cover of an outer end forgotten", "the end state asks for it"),
    ("driver alone", "the tail lamp lit while the portions stood apart", "outer ends are seen to when the train is one"),
    ("drop-heads parted", "217 charged after the lock was lifted", "nothing held it while its brake was off"),
    ("parted alone", "217 charged with its parking brake off after the button", "nothing held it while its brake was off"),
    ("parted alone", "the cab left with the valve unlocked", "anybody could let the brake off"),
)  # fmt: skip
"""Which draft, what the check found in it, and why the check was right."""

_GAUGE = "read the brake pipe gauge: full application, exhaust ended, cab"
SECOND_LOOKS: dict[str, tuple[str, ...]] = {
    "attach-rigid-knuckles": ("look at the braked wheels of 2172",),
    "attach-hook-and-screw": ("look at the braked wheels of 2172",),
    "attach-driver-alone": (
        f"{_GAUGE} 611/2", "see that the electric supply of 604 is off", "look at the face of 604/1: clean, no ice, latch ready",
        "look at the face of 611/2: clean, no ice, latch ready", "read the parking brake indicator of 611: on, cab 611/2"),
    "part-driver-alone": (
        "read the parking brake indicator of 217: on, cab 217/1",
        "see that the brake valve is shut and locked, cab 226/2", "read the parking brake indicator of 217: on, cab 217/1"),
    "rescue-like-couplers": ("tell the shunter: parking brake of 217 on",),
}  # fmt: skip
"""Looks and words that the trade keeps and no later step asks for: the gauge read by a driver alone before the approach;
the brakes of the moving portion looked at before its driver leaves it; what a button did, seen once more."""


@cache
def checked(order: WrittenOrder) -> InstructionCheck:
    """What ``headstock check`` finds, the air asked."""
    with tempfile.TemporaryDirectory(prefix="hs-written-") as folder:
        return check_instruction(order.path, order.job_path(Path(folder)), FLEET, KeptRuns())
