"""Where a sheet says that the work may be left: held against the way that is planned from there."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pytest
from pypdf import PdfReader

from headstock.sheets.blocks import block_ends
from headstock.sheets.compose import sheet_of
from headstock.sheets.job_sheet import render_job_sheet
from headstock.usecases.job_file import JOBS_FOLDER
from headstock.usecases.stop_job import stop_job
from headstock.usecases.stop_lines import StopLine, stop_lines
from tests.cases.jobs import ALONE, DEMO, PART, STUCK, planned

RESCUE = JOBS_FOLDER / "demo-rescue.yaml"
EACH = pytest.mark.parametrize(("job", "by_air"), [(DEMO, False), (DEMO, True), (PART, False), (ALONE, True), (RESCUE, True),
                                                   (STUCK, True)])  # fmt: skip
WAY_OUT = ("come out", "give the protection back", "take one's own protection off", "take the call back")
MADE_SAFE = (
    "stop the work", "shut and lock", "bring the brake valve", "put a board", "light the", "put out the", "say to all",
    "see once more", "tell ", "bring the driver's key", "read the parking brake indicator", "look that", "look at", "stow the",
    "hang the", "take the red lamp",
)  # fmt: skip


def stops_of(job: Path, by_air: bool) -> tuple[StopLine, ...]:
    plan = planned(job, by_air)
    assert plan.order is not None and plan.domain is not None and plan.assembled.task is not None, plan.reasons
    return stop_lines(plan.assembled.task, plan.domain, plan.order.steps, block_ends(plan.order.steps))


@EACH
def test_what_is_said_in_one_line_is_what_the_planned_way_does(job: Path, by_air: bool) -> None:
    """May be left: valves, boards, lamps and words alone. When watched: that besides. Not: somebody out, or a brake on, first."""
    plan, seen = planned(job, by_air), set()
    for stop in stops_of(job, by_air):
        made = stop_job(plan, stop.line)
        keys = [step.key for step in made.steps]
        others = [key for key in keys if not key.startswith(MADE_SAFE)]
        seen.add(stop.may)
        if stop.may == "yes":
            assert others == [], (stop.line, others)
        elif stop.may == "when watched":
            assert any(key.startswith("watch") for key in others) and not any(key.startswith(WAY_OUT) for key in others)
            assert not any(key.startswith(("put on", "screw on")) for key in others), (stop.line, others)
        else:
            first = any(key.startswith((*WAY_OUT, "put on", "screw on")) for key in keys)
            assert first or made.answer == "no", (stop.line, keys)
        assert ("lock the valve" in stop.words()) <= any(key.startswith("shut and lock") for key in keys)
    assert "no" in seen and len(seen) >= 2


def test_with_only_air_holding_the_moving_portion_it_is_not_to_be_left_and_on_proved_brakes_it_is() -> None:
    brakes = {stop.line: stop for stop in stops_of(DEMO, False)}
    assert [stop.may for stop in brakes.values()].count("yes") == 5
    held = next(stop for stop in brakes.values() if stop.may == "yes")
    assert held.words().startswith("Stop here and make safe: lock the valve of 217/2")
    assert all("217 does not stand on its own brakes" in stop.words() for stop in stops_of(DEMO, True)[:4])


def test_the_back_has_a_line_for_every_block_but_the_last_and_the_front_names_the_safe_ones() -> None:
    sheet = sheet_of(planned(DEMO))
    said = [line.stop for line in sheet.detail if line.stop]
    assert len(said) == len(sheet.blocks) - 1
    safe = {str(line.block) for line in sheet.detail if line.stop.startswith("Stop here and make safe")}
    assert set(re.findall(r"\d+", sheet.stop_note)) == safe == {"2", "3", "7", "8", "9"}
    page = PdfReader(io.BytesIO(render_job_sheet(sheet))).pages[0].extract_text()
    assert sheet.stop_note in " ".join(page.split())


def test_with_air_alone_the_front_says_that_it_is_watched_first() -> None:
    note = sheet_of(planned(DEMO, True)).stop_note
    assert note == "Left half done only once watched as it stands after block 7, 8 and 9: made safe as the back says."
