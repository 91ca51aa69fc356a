"""A study's report on paper and as a page: pictures to scale, cautions inside, same results same bytes, nothing fetched."""

from __future__ import annotations

import re
from html import unescape
from io import BytesIO
from pathlib import Path
from xml.etree import ElementTree

import pytest
from PIL import Image
from pypdf import PdfReader

from headstock.exchange.study_questions import ask_ready
from headstock.sheets.study_curves import LEFT, SIDE
from headstock.sheets.study_page import study_page
from headstock.sheets.study_sheet import render_study_report, study_pictures
from headstock.sheets.study_svg import study_svg
from headstock.usecases.study_drawings import Bar, BarRow, Bars, Curve, Curves
from headstock.usecases.study_report import study_report
from headstock.usecases.study_report_parts import StudyReport
from tests.cases.studies import worked_out

pytest.importorskip("duckdb")
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def report(tmp_path_factory: pytest.TempPathFactory) -> StudyReport:
    results: Path = worked_out(tmp_path_factory.mktemp("study"))
    return study_report(lambda question: ask_ready(results, question, None, 9999), "drawn tests")


def test_the_report_is_tagged_has_its_cautions_and_is_the_same_twice(report: StudyReport) -> None:
    made = render_study_report(report)
    assert made == render_study_report(report)
    reader = PdfReader(BytesIO(made))
    root = reader.trailer["/Root"].get_object()
    assert root["/MarkInfo"]["/Marked"] and "/StructTreeRoot" in root
    text = " ".join(" ".join(page.extract_text() for page in reader.pages).split())
    for said in (*report.cautions, "What is not covered", "Two faults at once.", "Blind spots by class of fault",
                 "pipe leaks, 0.0001 bar a minute"):  # fmt: skip
        assert said in text


def test_every_picture_comes_as_svg_and_png_and_says_of_which_study(report: StudyReport) -> None:
    made = study_pictures(report)
    assert {name.rpartition(".")[0] for name in made} == {"blind-spots", "limit-curve", "worst-formations", "season"}
    for name, content in made.items():
        if name.endswith(".svg"):
            root = ElementTree.fromstring(content)
            words = " ".join(one.text or "" for one in root.iter(f"{SVG}text"))
            assert "Tests on a model" in words and (root.findtext(f"{SVG}title") or "")
        else:
            assert Image.open(BytesIO(content)).width > 1000


def test_the_page_fetches_nothing_and_stands_by_itself(report: StudyReport) -> None:
    page = unescape(study_page(report).decode())
    assert not re.search(r'(src|href)="(?!#)', page) and "<script" not in page
    assert page.count("<figure ") == 4 and all(said in page for said in report.cautions)
    ids = re.findall(r'id="([^"]+)"', page)
    assert len(ids) == len(set(ids)) and set(re.findall(r'href="#([^"]+)"', page)) <= set(ids)


def test_a_bar_is_as_long_as_its_share_and_none_draws_nothing() -> None:
    rows = tuple(BarRow(f"row {share}", (Bar(share, f"{share:.0%}"),)) for share in (0.0, 0.25, 1.0))
    drawn = ElementTree.fromstring(study_svg(Bars(("missed",), rows, "key", "words"), "Title", "foot"))
    wide = [float(one.attrib["width"]) for one in drawn.iter(f"{SVG}rect")]
    assert len(wide) == 2 and wide[0] == pytest.approx(wide[1] / 4, abs=0.01)


def test_a_curve_goes_through_its_points_in_the_square() -> None:
    points = ((-0.1, 1.0, 0.0), (0.0, 0.5, 0.5), (0.1, 0.0, 1.0))
    curves = Curves((Curve("method", "stage", points),), "failed", "missed", "key", "words")
    drawn = ElementTree.fromstring(study_svg(curves, "Title"))
    dots = [(float(one.attrib["cx"]), float(one.attrib["cy"])) for one in drawn.iter(f"{SVG}circle")][:3]
    assert dots[0][0] == pytest.approx(LEFT + SIDE) and dots[2][0] == pytest.approx(LEFT)
    assert dots[0][1] - dots[2][1] == pytest.approx(SIDE) and dots[1][0] == pytest.approx(LEFT + SIDE / 2)
    said = {one.text for one in drawn.iter(f"{SVG}text")}
    assert {"\u22120.1", "+0.1"} <= said


def test_names_with_signs_of_markup_are_words_in_a_picture() -> None:
    bars = Bars(("<a>",), (BarRow("A & B <x>", (Bar(0.5, "50%"),)),), "key", "words")
    drawn = ElementTree.fromstring(study_svg(bars, "T & T", "foot"))
    assert "A & B <x>" in {one.text for one in drawn.iter(f"{SVG}text")}
