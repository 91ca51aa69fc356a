"""The report of a study: its figures are those of the questions, and it says what it rests on and what it does not cover."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from headstock.exchange.study_questions import ask_ready
from headstock.usecases.study_drawings import MOST_COLUMNS, MOST_ROWS, Bar, BarRow, Bars, Curves, parted
from headstock.usecases.study_report import study_report
from headstock.usecases.study_report_parts import ReportSection, StudyReport, share_text
from tests.cases.studies import worked_out

pytest.importorskip("duckdb")


@pytest.fixture(scope="module")
def results(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return worked_out(tmp_path_factory.mktemp("study"))


def report_of(results: Path, limits: str | None = None) -> StudyReport:
    return study_report(lambda question: ask_ready(results, question, limits, 9999), "drawn tests")


def section(report: StudyReport, name: str) -> ReportSection:
    return next(one for one in report.sections if one.name == name)


def test_the_planted_blind_spot_stands_in_the_report_and_the_plain_fault_as_seen(results: Path) -> None:
    spots = section(report_of(results), "blind-spots")
    lines = {row[0]: row[1:] for row in spots.table.rows}
    assert all(cell.startswith("never") for cell in lines["pipe leaks, 0.0001 bar a minute"])
    assert all(cell.startswith("seen") for cell in lines["cock shut"])
    (drawn,) = spots.drawings
    assert isinstance(drawn, Bars)
    bars = {row.label: row.bars for row in drawn.rows}
    assert all(bar is not None and bar.share == 0.0 for bar in bars["cock shut"])
    healthy = {row[1]: 1.0 - row[4] for row in ask_ready(results, "worst-formations", None, 9).rows}
    planted = zip(drawn.columns, bars["pipe leaks, 0.0001 bar a minute"], strict=True)
    assert all(bar is not None and bar.share == pytest.approx(healthy[method]) for method, bar in planted)
    assert "of 3 faults by degree" in spots.says[0]


def test_the_other_sections_say_what_the_questions_answer(results: Path) -> None:
    report = report_of(results)
    for name in ("worst-formations", "season"):
        answer = ask_ready(results, name, None, 99)
        at = [answer.columns.index(column) for column in ("missed", "false_alarms")]
        said = [tuple(share_text(row[number]) for number in at) for row in answer.rows]
        assert [row[-2:] for row in section(report, name).table.rows] == said
    (curves,) = section(report, "limit-curve").drawings
    assert isinstance(curves, Curves)
    rows = ask_ready(results, "limit-curve", None, 999).rows
    for one in curves.curves:
        assert list(one.points) == [(row[2], row[4], row[3]) for row in rows if row[:2] == (one.group, one.name)]
    assert "one sort of weather" in section(report, "season").says[0]


def test_it_says_of_which_study_by_what_and_what_it_does_not_cover(results: Path) -> None:
    report = report_of(results)
    counts, versions = dict(report.counts), dict(report.versions)
    said = ask_ready(results, "season", None, 9).study
    assert (
        counts["drawn tests"] == f"{said['scenarios']:,}" and counts["parts worked out"] == f"{said['parts']} of {said['parts']}"
    )
    assert versions["study and code"] == said["key"] and "Wending Vale" in versions["local rules"]
    assert counts["limits"] == "as ruled (of as ruled, lax)"
    assert report.is_whole and report.invented and "local rules decide" in " ".join(report.cautions)
    assert "Two faults at once." in report.not_covered
    assert any("4 healthy tests" in line and "25.0%" in line for line in report.not_covered)
    lax = section(report_of(results, "lax"), "blind-spots")
    assert all(cell.startswith("never") for row in lax.table.rows for cell in row[1:])


def test_results_that_lack_parts_say_so(tmp_path: Path) -> None:
    out = worked_out(tmp_path)
    next(out.rglob("method=front-both-ways/**/part-*.parquet")).unlink()
    report = report_of(out)
    assert not report.is_whole and "Only 1 of 2 parts" in report.cautions[-1]


@given(st.integers(1, 11), st.integers(1, 130))
def test_no_bar_is_lost_when_a_picture_is_parted(columns: int, rows: int) -> None:
    whole = Bars(tuple(map(str, range(columns))), tuple(
        BarRow(str(row), tuple(Bar(0.5, f"{row}-{column}") for column in range(columns))) for row in range(rows)
    ), "", "")  # fmt: skip
    parts = parted(whole)
    assert all(len(one.columns) <= MOST_COLUMNS and len(one.rows) <= MOST_ROWS for one in parts)
    texts = [bar.text for one in parts for row in one.rows for bar in row.bars if bar is not None]
    assert sorted(texts) == sorted(f"{row}-{column}" for row in range(rows) for column in range(columns))


@pytest.mark.parametrize(("share", "says"), [
    (0.0, "0%"), (1e-5, "< 0.1%"), (0.1234, "12.3%"), (0.5, "50%"), (0.9999, "> 99.9%"), (1.0, "100%"), (None, "not known"),
])  # fmt: skip
def test_a_share_is_never_said_as_nothing_or_all_unless_it_is(share: float | None, says: str) -> None:
    assert share_text(share) == says
