"""The setting of the sheet, tried with made-up content of every size: one front side, nothing lost, nothing too small."""

from __future__ import annotations

import io
import json
import tempfile
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import typst
from pypdf import PdfReader

from headstock.sheets import job_sheet
from headstock.sheets.content import JobSheetContent, Words
from headstock.sheets.setting import HERE, bound, lay_out, plain_name
from headstock.sheets.svg import joint_share, role_svg, train_svg
from tests.unit.sheets.sample import LETTERS, sample, train


def fit_of(content: JobSheetContent) -> dict[str, Any]:
    """How the front was made to fit: size of its text [pt], blocks whose text went to the back, whether it fits."""
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        lay_out(root, "job_sheet.typ", job_sheet._as_data(content), job_sheet._drawings(content))
        found = typst.query(str(root / "job_sheet.typ"), "<fit>", field="value", one=True, root=str(root),
                            font_paths=[str(HERE / "fonts")], ignore_system_fonts=True)  # fmt: skip
    return dict(json.loads(found))


def pages_of(content: JobSheetContent) -> list[str]:
    pages = PdfReader(io.BytesIO(job_sheet.render_job_sheet(content))).pages
    return [" ".join(page.extract_text().split()) for page in pages]


@pytest.mark.parametrize(("blocks", "roles", "cautions"), [(8, 3, 1), (10, 3, 3), (11, 4, 9), (11, 2, 12)])
def test_eight_to_eleven_blocks_stand_on_one_side_at_nine_points_or_more(blocks: int, roles: int, cautions: int) -> None:
    content = sample(blocks=blocks, roles=roles, cautions=cautions)
    fit = fit_of(content)
    assert fit["fits"] and fit["size-pt"] >= 9
    front = pages_of(content)[0]
    assert content.signatures[-1] in front
    assert all(caution in front for caution in content.cautions)


def test_air_and_size_go_before_any_text_does() -> None:
    assert fit_of(sample(blocks=8, cautions=1)) == {"size-pt": 10.3, "shortened": 0, "fits": True}
    full = fit_of(sample(blocks=11, roles=4, cautions=9))
    assert full["size-pt"] < 10.3 and full["shortened"] == 0


def test_where_texts_do_not_fit_the_last_ones_go_to_the_back_and_words_and_cautions_stay() -> None:
    content = sample(blocks=11, cautions=36)
    fit, front = fit_of(content), pages_of(content)[0]
    assert fit["fits"] and 0 < fit["shortened"] < 11 and fit["size-pt"] == 9
    assert "See back, lines" in front
    assert front.count("Ends right, both sides clear. Couple.") == 6
    assert front.count("Nobody goes between before this is said and") == 3
    assert all(caution in front for caution in content.cautions)


def test_a_front_that_cannot_fit_runs_on_and_loses_nothing() -> None:
    content = sample(blocks=14, cautions=40)
    everything = " ".join(pages_of(content))
    assert not fit_of(content)["fits"]
    assert all(wanted in everything for wanted in (*content.cautions, *content.signatures, content.blocks[-1].title))


@pytest.mark.parametrize("lines", [60, 90])
def test_sixty_to_ninety_lines_take_two_pages_at_most(lines: int) -> None:
    pages = pages_of(sample(lines=lines))
    assert len(pages) <= 3
    assert all(f"page {number} of {len(pages)}" in page for number, page in enumerate(pages, start=1))
    assert all("Attach 217 to 226" in page and "all invented" in page for page in pages)
    assert all("does, and why" in page for page in pages[1:])


def test_a_run_of_messages_names_its_last_line() -> None:
    assert "75 –77" in pages_of(sample(lines=75))[-1]


def test_said_back_in_the_same_words_is_told_and_not_quoted() -> None:
    content = sample()
    assert "“Ends right, both sides clear. Couple.” D the same" in pages_of(content)[0]
    other = replace(content.blocks[0], words=(Words("S", "Couple."), Words("D", "Coupling.", said_back=True)))
    assert "D “Coupling.”" in pages_of(replace(content, blocks=(other, *content.blocks[1:])))[0]


def test_a_figure_never_parts_from_its_unit() -> None:
    assert bound(["stop at 0.6 m, wait 240 s", {"a": "see back, lines 3 to 22"}]) == [
        "stop at 0.6\u00a0m, wait 240\u00a0s", {"a": "see back, lines\u00a03\u00a0to\u00a022"}
    ]  # fmt: skip


def test_the_wedge_is_thick_at_the_high_end_and_absent_on_the_level() -> None:
    drawn = train(4)
    assert "L0 61.5z" in train_svg(drawn)
    assert "L734 61.5z" in train_svg(replace(drawn, high_end="right"))
    assert "61.5z" not in train_svg(replace(drawn, high_end=""))


def test_a_portion_without_a_main_reservoir_pipe_shows_the_brake_pipe_only() -> None:
    assert train_svg(train(2)).count("#b0261a") == 2
    assert train_svg(train(2)).count("#7d6000") == 2
    assert 0.45 < joint_share(train(2)) < 0.55


def test_a_lifted_block_is_an_outline_and_only_a_brake_found_on_a_filled_disc() -> None:
    drawn = train_svg(train(4))
    assert drawn.count('fill="#fff" stroke="#17140f" stroke-width="1.2"') == 4 + 2
    assert drawn.count('fill="#fff">H</text>') == 2
    assert drawn.count('fill="#17140f">H</text>') == 2


@pytest.mark.parametrize("letter", LETTERS)
def test_who_acts_who_hears_and_who_is_in_charge_look_different(letter: str) -> None:
    looks = {role_svg([(letter, how, charge)], [], LETTERS) for how in ("acts", "hears") for charge in (True, False)}
    assert len(looks) == 4


def test_a_name_of_a_file_is_letters_and_figures() -> None:
    assert plain_name("pair", "tarn/1-with-gale/2") == "pair-tarn-1-with-gale-2"
    assert plain_name("Attach 217 to  226, Örebro!") == "attach-217-to-226-örebro"
    assert plain_name("/ .. *") == ""
