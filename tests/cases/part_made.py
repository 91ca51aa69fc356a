"""Jobs with a couple found part made, for every state of lock, air and contacts; each planned once."""

from __future__ import annotations

import tempfile
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from headstock.compute.kept_runs import KeptRuns
from headstock.equipment.library import load_fleet
from headstock.reasoning.domain import Domain
from headstock.reasoning.step import Step
from headstock.usecases.job_file import JOBS_FOLDER
from headstock.usecases.plan_job import JobPlan, plan_job

FLEET = load_fleet()
BASE = {"attach": JOBS_FOLDER / "part-made-attach.yaml", "detach": JOBS_FOLDER / "failed-release.yaml"}
CREW = "crew: {driver: H. Wain, shunter: S. Orme, guard: L. Batt}"


@dataclass(frozen=True)
class Found:
    """What is so (three figures: lock, air, contacts) and what else the job says."""

    work: str
    so: str
    tries: int = 1
    more: str = ""
    proved: bool = True
    crew: str = CREW
    signs: str = ""
    left: str = ""

    @property
    def name(self) -> str:
        """For the test's name."""
        return f"{self.work} {self.so} tries {self.tries} {self.more}".strip()

    @property
    def text(self) -> str:
        """The job's file."""
        base = BASE[self.work].read_text(encoding="utf-8").partition("couple_as_found:")[0]
        lines = [_with_crew(line, self.crew) for line in base.splitlines()]
        lines += [f"  {self.left}"] if self.left else []
        lock, air, wires = (figure == "1" for figure in self.so)
        signs = self.signs or (
            f"{{pull: {'holds' if lock else 'parts'}, rear_brake_pipe: {'follows' if air else 'does not move'}, "
            f"wires: {'work' if wires else 'dead'}}}"
        )
        found = [f"signs: {signs}", f"hold_proved: {str(self.proved).lower()}", f"tries: {self.tries}", self.more]
        return "\n".join([*lines, "couple_as_found:", *(f"  {line}" for line in found if line), ""])


def _with_crew(line: str, crew: str) -> str:
    """A line of a job, its crew changed."""
    return crew if line.startswith("crew:") else line


@cache
def part_made(found: Found) -> JobPlan:
    """The plan of such a job, the air asked."""
    with tempfile.TemporaryDirectory(prefix="hs-part-made-") as folder:
        path = Path(folder) / "job.yaml"
        path.write_text(found.text, encoding="utf-8")
        return plan_job(path, FLEET, KeptRuns())


def order_from(found: Found) -> tuple[list[Step], Domain]:
    """The order of work and its domain; the job must have been planned."""
    plan = part_made(found)
    assert plan.answer == "yes" and plan.order is not None and plan.domain is not None, plan.reasons
    return list(plan.order.steps), plan.domain


JOINING = tuple(Found("attach", so) for so in ("111", "110", "101", "100", "011", "010", "001", "000"))
PARTING = tuple(Found("detach", so) for so in ("111", "110", "101", "100", "011", "010", "001", "000"))
NO_WIRES = Found("attach", "110", 2, "without_wires: true")
BY_HAND = Found("detach", "101", 2, "latch: frozen")
LOW_AIR = Found("detach", "100", 0, "main_reservoir_bar: 4.5")
PLANNED = (*JOINING, NO_WIRES, Found("attach", "111", 2, "without_wires: true"), *PARTING, BY_HAND, LOW_AIR,
           Found("detach", "100", 2, "pull_on_it: eased"), Found("detach", "111", 2))  # fmt: skip
