"""Results of a study of mistakes as files: counts agree with the rows, its own questions alone, and a report of it."""

from __future__ import annotations

from html import unescape
from io import BytesIO
from pathlib import Path

import pyarrow.parquet as pq
import pytest
from pypdf import PdfReader

from headstock.base.errors import InputError
from headstock.exchange.mistake_parts import mistake_part_content
from headstock.exchange.study_parts import StudyFolder
from headstock.exchange.study_questions import ask_ready, ask_sql, study_kind
from headstock.sheets.study_page import study_page
from headstock.sheets.study_sheet import render_study_report
from headstock.usecases.study_report import study_report
from tests.cases.studies import MISTAKES, engine, mistakes_of, mistakes_worked_out, study_of

pytest.importorskip("duckdb")


@pytest.fixture(scope="module")
def results(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return mistakes_worked_out(tmp_path_factory.mktemp("study"))


@pytest.fixture(scope="module")
def rows(results: Path) -> list[dict[str, object]]:
    (path,) = results.glob("pair=gale-2_with_gale-1/**/*.parquet")
    return [dict(row) for row in pq.ParquetFile(path).read().to_pylist()]


def answered(results: Path, question: str) -> list[dict[str, object]]:
    answer = ask_ready(results, question, None, 9999)
    assert "never how often" in answer.what_it_is and answer.limits == ""
    return [dict(zip(answer.columns, row, strict=True)) for row in answer.rows]


def test_pairs_are_counted_as_their_rows_say_and_one_without_an_order_comes_last(
    results: Path, rows: list[dict[str, object]]
) -> None:
    able, unable = answered(results, "unit-pairs")
    plausible = [row for row in rows if row["plausibility"] in (2, 3)]
    silent = [row for row in plausible if row["verdict"] in ("unseen", "latent") and row["broken"]]
    assert able["mistakes"] == len(rows) and able["plausible"] == len(plausible)
    assert able["one_from_harm"] == sum(bool(row["broken"]) for row in plausible)
    assert able["harm_unnoticed"] == len(silent) > 0
    assert able["by_nobody"] == sum(row["verdict"] in ("unseen", "latent") for row in rows)
    assert unable["mistakes"] == 0 and unable["answer"] == "no" and "adapter" in str(unable["reasons"])


def test_how_late_is_every_mistake_once_and_what_nobody_notices_is_what_its_rows_say(
    results: Path, rows: list[dict[str, object]]
) -> None:
    late = answered(results, "how-late")
    for line in late:
        parts = [line[name] for name in ("at_once", "soon", "later", "at_handover", "by_nobody", "harmless")]
        own = [row for row in rows if row["mistake"] == line["mistake"]]
        assert sum(parts) == line["mistakes"] == len(own)  # type: ignore[arg-type]
        first = [row for row in own if row["verdict"] == "noticed" and row["noticed_line"] - row["first"] <= 1  # type: ignore[operator]
                 and row["noticed_line"] <= row["lines"]]  # type: ignore[operator]  # fmt: skip
        assert line["at_once"] == len(first)
    silent = [row for row in rows if row["verdict"] in ("unseen", "latent")]
    assert sum(int(str(line["mistakes"])) for line in answered(results, "unnoticed")) == len(silent)


def test_each_kind_of_study_has_questions_of_its_own_and_no_limits_here(results: Path) -> None:
    assert study_kind(results) == "mistakes"
    with pytest.raises(InputError, match="unit-pairs, unnoticed, how-late"):
        ask_ready(results, "season", None, 9)
    with pytest.raises(InputError, match="none: leave it out"):
        ask_ready(results, "unit-pairs", "as_ruled", 9)
    assert ask_sql(results, "select count(distinct pair) from scenarios", None, 9).rows == ((2,),)


def test_another_study_or_kind_is_not_mixed_in(tmp_path: Path) -> None:
    study, other = mistakes_of(tmp_path), mistakes_of(tmp_path, MISTAKES.replace(", wrong end", ""))
    out = tmp_path / "out"
    StudyFolder(out, study, "code").open()
    for strange in (other, study_of(tmp_path)):
        with pytest.raises(InputError, match="results of another study"):
            StudyFolder(out, strange, "code").open()
    folder = StudyFolder(out, study, "code")
    folder.keep(1, mistake_part_content(study, study.rows(1, engine()), folder.key))
    assert folder.has(1) and not folder.has(0)
    folder.keep(0, mistake_part_content(study, study.rows(1, engine()), "another"))
    with pytest.raises(InputError, match="a part of another study"):
        folder.has(0)


def test_the_report_says_which_units_and_what_it_rests_on_and_sets_the_same_twice(results: Path) -> None:
    report = study_report(lambda question: ask_ready(results, question, None, 9999), "mistakes")
    pairs, unnoticed, late = report.sections
    assert (
        pairs.table.rows[0][:3] == ("gale/2", "gale/1", "wending-vale") and "1 of 2 jobs have no order of work" in pairs.says[-1]
    )
    assert unnoticed.drawings and late.drawings and report.is_whole
    counts = dict(report.counts)
    assert counts["jobs with an order of work"] == "1" and counts["kinds"] == "left out, half done, wrong end"
    assert "gale issue" in dict(report.versions)["unit types"] and "(invented)" in dict(report.versions)["ranks"]
    made = render_study_report(report)
    text = " ".join(" ".join(page.extract_text() for page in PdfReader(BytesIO(made)).pages).split())
    page = unescape(study_page(report).decode())
    assert made == render_study_report(report)
    for said in (*report.cautions, *report.not_covered):
        assert said in page and said.split(":")[0] in text
