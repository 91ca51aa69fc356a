"""Drawings of the sheet follow the state as found, and say it in words."""

from __future__ import annotations

import re
from pathlib import Path

from headstock.sheets.compose import sheet_name, sheet_of
from headstock.sheets.content import JobSheetContent
from headstock.usecases.plan_job import JobPlan
from tests.cases.jobs import DEMO, SECOND, order_of, planned


def with_lines(lines: str, folder: Path, job: Path = DEMO) -> JobPlan:
    (folder / "job.yaml").write_text(job.read_text(encoding="utf-8") + lines, encoding="utf-8")
    return planned(folder / "job.yaml")


def holds(made: JobSheetContent) -> dict[str, tuple[str, bool]]:
    return {v.number: (v.hold, v.hold_on) for portion in made.train.portions for v in portion if v.hold}


def test_a_hold_is_drawn_on_only_where_it_is_found_on() -> None:
    assert holds(sheet_of(planned(DEMO))) == {
        "2171": ("P", False), "2174": ("P", False), "2261": ("P", True), "2264": ("P", True)
    }  # fmt: skip
    assert holds(sheet_of(planned(SECOND)))["5081"] == ("H", True)
    assert sheet_of(planned(SECOND)).train.holds_note == "H hand brake, P parking brake (filled: on as found, ring: to put on)"


def test_the_air_brake_is_drawn_as_the_pipe_of_each_portion_was_found(tmp_path: Path) -> None:
    found = with_lines("  226/2.brake_valve: running\n", tmp_path)
    applied = {v.number[:3]: v.brake_on for portion in sheet_of(found).train.portions for v in portion}
    assert applied == {"217": True, "226": False}


def test_the_caption_of_an_end_names_what_is_not_stowed(tmp_path: Path) -> None:
    assert all("All else stowed." in end.caption for end in sheet_of(planned(DEMO)).ends)
    hanging = sheet_of(with_lines("  217/2.main_reservoir_pipe_hose: hanging\n", tmp_path))
    assert "Not stowed: main reservoir pipe hose hanging." in hanging.ends[0].caption


def test_every_caution_of_the_order_stands_on_the_front_and_the_first_of_each_block_at_it() -> None:
    for job in (DEMO, SECOND):
        made, (steps, _) = sheet_of(planned(job)), order_of(job)
        front = " ".join(block.caution for block in made.blocks)
        assert [step.caution for step in steps if step.caution not in front] == []
        for block in made.blocks:
            own = [line.caution for line in made.detail if line.block == block.number and line.caution]
            assert block.caution.startswith(own[0] if own else "")


def test_a_title_without_letters_still_names_a_file(tmp_path: Path) -> None:
    text = re.sub("title: .*", 'title: "!?"', DEMO.read_text(encoding="utf-8"))
    (tmp_path / "job.yaml").write_text(text, encoding="utf-8")
    assert sheet_name(planned(tmp_path / "job.yaml")) == "job-sheet.pdf"
    assert sheet_name(planned(DEMO)) == "attach-217-to-226.pdf"
