"""Mistakes in partings, with a screw, at a stuck latch and by a driver alone: what reveals them, by a table written by hand."""

from __future__ import annotations

import re
from pathlib import Path
from time import process_time

import pytest

from headstock.reasoning.mistake_study import outcome_of, study
from headstock.reasoning.mistakes import single_mistakes
from headstock.usecases.job_file import JOBS_FOLDER
from headstock.usecases.job_mistakes import ready_to_go_wrong
from tests.cases.couplings import PAIRS, PARTED, Pair, coupling
from tests.cases.jobs import ALONE, PART, SCREW, STUCK, planned
from tests.cases.part_made import PLANNED, Found, part_made
from tests.cases.runs import find_mistake, going_of
from tests.outside import NO_SOURCE

# The job, the mistake; the verdict; by what it is noticed, at which step; a rule that is broken; why. No row comes from a run.
BY_HAND: tuple[tuple[Path, tuple[str, ...], str, str, str, str, str], ...] = (
    (PART, ("left out", "^let the brake pipe of 217 and 226 down"), "noticed", "hand", "shut and lock the brake valve from empty",
     "", "the handle does not stand at empty"),
    (PART, ("left out", "^switch the electric supply of 226 off"), "latent", "", "", "jumper-dead",
     "nothing shows from outside that a plug is live"),
    (PART, ("left out", "^part the brake pipe hoses"), "noticed", "hand", "put the brake pipe hose of", "",
     "a joined hose does not reach its dummy"),
    (PART, ("left out", "^call to ease up"), "noticed", "word", "press lightly", "", "the driver moves on a word only"),
    (PART, ("left out", "^press lightly"), "noticed", "look", "look from the side that the lock", "",
     "stretched, the lock does not lift, and the look shows it down"),
    (PART, ("left out", "^lift the lock"), "noticed", "look", "look from the side that the lock", "", "it is seen down"),
    (PART, ("half done", "^lift the lock", "", "sign not won"), "noticed", "look", "look from the side that the lock", "",
     "that is what the look is for"),
    (PART, ("left out", "^look from the side"), "harmless", "", "", "", "a look alone changes nothing"),
    (PART, ("left out", "^light the red lamp of 226/1"), "latent", "", "", "", "nobody looks at what stays once more"),
    (PART, ("left out", "^light the red lamp of 217/2"), "noticed", "look", "look at the outer end 217/2", "",
     "the last look from outside"),
    (SCREW, ("left out", "^let the head of 217/2 down"), "noticed", "look", "look at the end 217/2", "",
     "the head covers the hook"),
    (SCREW, ("left out", "^set the buffers of 217/2 out"), "noticed", "look", "look at the end 217/2", "", "they are seen in"),
    (SCREW, ("left out", "^lift the screw coupling"), "noticed", "hand", "turn the screw", "", "it is not there to turn"),
    (SCREW, ("left out", "^turn the screw"), "noticed", "look", "look at the screw coupling", "", "the slack is seen"),
    (SCREW, ("left out", "^look at the screw coupling"), "latent", "", "", "couple-proved",
     "nobody misses an own look, and nobody else looks at it"),
    (SCREW, ("left out", "^close up"), "noticed", "sight", ".*", "", "the ends still stand apart"),
    (STUCK, ("left out", "^pull the release handle"), "noticed", "look", "look that 611/2 and 604/1 are uncoupled", "",
     "the marks show the latch over"),
    (STUCK, ("left out", "^wind the electrical head of 604/1"), "unseen", "", "", "heads-drawn",
     "the marks of the latch say nothing of the contacts"),
    (ALONE, ("left out", "^sound the horn, look ahead, to couple"), "harmless", "", "", "",
     "his own horn and look: nobody waits for them, and it hurts with somebody in the gap"),
    (ALONE, ("left out", "^look at the couple of"), "harmless", "", "", "", "a look alone changes nothing"),
)  # fmt: skip


@pytest.mark.outside(source=NO_SOURCE, status="common practice")
@pytest.mark.parametrize("row", BY_HAND, ids=lambda row: f"{row[0].stem} {' '.join(row[1][:2])}")
def test_a_mistake_is_revealed_where_it_was_written_by_hand(row: tuple[Path, tuple[str, ...], str, str, str, str, str]) -> None:
    job, mistake, verdict, means, step, rule, _ = row
    outcome = outcome_of(going_of(job), find_mistake(job, *mistake))
    found = outcome.noticing
    assert (outcome.verdict, found.means if found else "") == (verdict, means)
    assert not rule or rule in {broken.key for broken in outcome.broken}
    if found:
        assert re.match(step, going_of(job).order[found.line - 1].key)


JOBS = [*((pair, "attach") for pair in PAIRS), *((pair, "detach") for pair in PARTED),
        (Pair("fell", "fell", way="screw"), "attach"), (Pair("fell", "fell", way="screw"), "detach")]  # fmt: skip


@pytest.mark.parametrize(("pair", "work"), JOBS, ids=[f"{work}-{pair.name}" for pair, work in JOBS])
def test_mistakes_of_every_coupling_can_be_run(pair: Pair, work: str, tmp_path: Path) -> None:
    going, reasons = ready_to_go_wrong(coupling(pair, work, tmp_path))
    assert going is not None, reasons


@pytest.mark.parametrize("found", PLANNED, ids=lambda found: found.name)
def test_mistakes_of_every_part_made_couple_can_be_run(found: Found) -> None:
    going, reasons = ready_to_go_wrong(part_made(found))
    assert going is not None, reasons


@pytest.mark.parametrize("job", sorted(JOBS_FOLDER.glob("*.yaml")), ids=lambda path: path.stem)
def test_mistakes_of_every_built_in_job_can_be_run(job: Path) -> None:
    going, reasons = ready_to_go_wrong(planned(job, by_air=True))
    assert going is not None, reasons


def test_all_single_mistakes_of_a_long_job_take_less_than_a_second_of_one_core(tmp_path: Path) -> None:
    """Two rigid knuckles: 108 lines, the longest of those that are planned."""
    going, _ = ready_to_go_wrong(coupling(Pair("crag", "crag", "2", "2"), "attach", tmp_path))
    assert going is not None and len(going.order) > 100
    begun_s = process_time()
    mistakes = single_mistakes(going)
    outcomes = study(going, mistakes)
    took_s = process_time() - begun_s
    assert len(outcomes) > 4000 and took_s < 1.0, took_s
