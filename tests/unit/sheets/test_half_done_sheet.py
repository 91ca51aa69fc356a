"""The sheet of a job broken off or handed over: one side where it is to be done, the rest behind it."""

from __future__ import annotations

from io import BytesIO

from pypdf import PdfReader

from headstock.sheets.half_done_content import half_done_content, half_done_name
from headstock.sheets.half_done_sheet import render_half_done_sheet
from headstock.usecases.relieve_job import relieve_job
from headstock.usecases.stop_job import stop_job
from tests.cases.jobs import DEMO, planned


def test_making_safe_fits_one_side_wherever_the_job_is_broken_off() -> None:
    plan = planned(DEMO)
    for line in (0, 5, 63, 90, 109):
        reader = PdfReader(BytesIO(render_half_done_sheet(half_done_content(stop_job(plan, line)))))
        assert len(reader.pages) == 1, line
        text = reader.pages[0].extract_text()
        assert "Before going on" in text and "Yard control told" in text, line


def test_the_same_content_gives_the_same_bytes() -> None:
    content = half_done_content(stop_job(planned(DEMO), 20))
    assert render_half_done_sheet(content) == render_half_done_sheet(content)


def test_a_relief_has_boxes_for_what_is_told_and_what_is_seen_and_the_rest_on_the_back() -> None:
    found = relieve_job(planned(DEMO), 63, "shunter", "T. Wray")
    content = half_done_content(found)
    titles = [block.title for block in content.asks]
    assert titles[1:4] == ["Told by word, each said back", "Looked at by the relief himself", "Asked by the relief"]
    assert all(block.boxed for block in content.asks[1:4])
    assert len(content.rest) == len(found.steps)
    assert half_done_name(found) == "attach-217-to-226-relief-of-shunter-after-63.pdf"
    reader = PdfReader(BytesIO(render_half_done_sheet(content)))
    assert len(reader.pages) == 2
