"""The sheet: the same bytes twice, everything that must stand on it, fonts as shipped, nothing that the fonts lack."""

from __future__ import annotations

import hashlib
import io
import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from pypdf import PdfReader

from headstock.local_rules.rules import BUILT_IN
from headstock.sheets.blocks import runs_of
from headstock.sheets.compose import sheet_of
from headstock.sheets.content import JobSheetContent
from headstock.sheets.job_sheet import render_job_sheet
from tests.cases.jobs import DEMO, SECOND, order_of, planned

FONTS = Path(__file__).resolve().parents[3] / "src" / "headstock" / "sheets" / "fonts"


def content(job: Path = DEMO) -> JobSheetContent:
    return sheet_of(planned(job))


def texts(pdf: bytes) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(pdf)).pages]


@pytest.mark.parametrize("job", [DEMO, SECOND], ids=lambda path: path.stem)
def test_the_front_holds_cautions_roles_blocks_readings_and_signatures(job: Path) -> None:
    made = content(job)
    front = texts(render_job_sheet(made))[0]
    for caution in made.cautions:
        assert " ".join(caution.split()) in front
    for block in made.blocks:
        assert block.title in front
        assert not block.caution or " ".join(block.caution.split()) in front
    for reading in made.readings:
        assert reading.limit in front
    for signature in made.signatures:
        assert signature in front
    for person in made.people:
        assert person.name in front
    assert made.footer in front
    assert 8 <= len(made.blocks) <= 12


@pytest.mark.parametrize("job", [DEMO, SECOND], ids=lambda path: path.stem)
def test_every_line_of_the_order_stands_on_the_back(job: Path) -> None:
    made = content(job)
    back = " ".join(texts(render_job_sheet(made))[1:])
    missing = [line.text for line in made.detail if " ".join(line.text.split()) not in back]
    assert missing == []
    assert sum(line.allowance_s for line in made.detail) == pytest.approx(sum(step.duration_s for step in order_of(job)[0]))


@pytest.mark.parametrize(("job", "moving"), [(DEMO, "217"), (SECOND, "231")], ids=["demo", "second"])
def test_where_only_air_holds_the_front_says_so_at_the_assurance_and_the_back_what_the_cocks_are_opened_on(
    job: Path, moving: str
) -> None:
    stays = f"Only air holds {moving}: the driver stays at the brake until the protection is given back."
    made = sheet_of(planned(job, by_air=True))
    (block,) = [block for block in made.blocks if stays in block.caution]
    assert block.title.startswith("Join"), "the assurance to go in with the ends coupled"
    front, back = texts(render_job_sheet(made))[:2]
    assert stays in front
    assert "page 1 of" in front and "detail" in back
    assert f"cocks are opened, {moving} stands on its full application with the driver at the brake" in back
    nobody_asked = " ".join(texts(render_job_sheet(content(job))))
    assert "Only air holds" not in nobody_asked
    assert "each stand on proved hand or parking brakes" in nobody_asked


def test_a_stage_of_the_test_stands_with_its_handle_its_wait_and_its_limit() -> None:
    lines = {line.text.partition(":")[0]: line.text for line in content().detail}
    assert "handle: Drive" in lines["Test, charged"]
    assert "240 s or more" in lines["Test, charged"]
    assert "limit 3.6 bar or less" in lines["Test, rear applied"]


def test_the_front_is_one_side() -> None:
    pages = texts(render_job_sheet(content()))
    assert "page 1 of 4" in pages[0], "two sheets of paper"
    assert "Board off, by whom" in pages[0]
    assert "detail" in pages[1]


def test_many_cautions_take_room_from_the_texts_and_never_from_the_words(tmp_path: Path) -> None:
    text = DEMO.read_text(encoding="utf-8").replace("local_rules: wending-vale", "local_rules: long.yaml")
    (tmp_path / "job.yaml").write_text(text, encoding="utf-8")
    rules = (BUILT_IN / "wending-vale.yaml").read_text(encoding="utf-8")
    more = "".join(
        f'    - "Caution number {number} of many that this railway wants to see on every sheet."\n' for number in range(8)
    )
    rules = rules.replace('    - "Not as written', more + '    - "Not as written')
    (tmp_path / "long.yaml").write_text(rules, encoding="utf-8")
    made = content(tmp_path / "job.yaml")
    front = texts(render_job_sheet(made))[0]
    assert "Caution number 7" in front
    assert "Board off, by whom" in front
    assert "page 1 of" in front
    assert [block.words for block in made.blocks] == [block.words for block in content().blocks]
    assert sum(len(block.text) for block in made.blocks) < sum(len(block.text) for block in content().blocks)


def test_the_same_content_gives_the_same_bytes_and_another_content_others() -> None:
    made = content()
    assert render_job_sheet(made) == render_job_sheet(made)
    assert render_job_sheet(replace(made, title="Attach 217 to 227")) != render_job_sheet(made)


def test_words_from_files_are_set_as_text_and_never_as_markup() -> None:
    made = replace(content(), title="#let x = 1 *bold* $y$ <label> @ref", place_line="\\ [a] `b`")
    front = texts(render_job_sheet(made))[0]
    assert "#let x = 1 *bold* $y$ <label> @ref" in front


def test_every_step_is_in_one_block_and_none_in_two() -> None:
    steps, _ = order_of(DEMO)
    lines = [line for _, run in runs_of(steps) for line in run]
    assert lines == list(range(len(steps)))


def test_no_letter_is_used_that_the_fonts_lack() -> None:
    said = json.dumps([block.text for block in content().blocks]) + json.dumps([line.text for line in content().detail])
    assert not re.search(r"[≤≥→←↑↓✓✔]", said)


def test_the_fonts_are_those_of_the_manifest_with_their_licences() -> None:
    manifest = json.loads((FONTS / "manifest.json").read_text(encoding="utf-8"))
    assert {row["file"] for row in manifest} == {path.name for path in FONTS.glob("*.ttf")}
    for row in manifest:
        assert hashlib.sha256((FONTS / row["file"]).read_bytes()).hexdigest() == row["sha256"]
    for family in ("AtkinsonHyperlegibleNext", "B612"):
        assert "SIL Open Font License" in (FONTS / f"{family}-OFL.txt").read_text(encoding="utf-8")
