"""The page on studies shows what the studies that come along answer, as worked out now."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.reasoning.mistake_study import SILENT
from headstock.usecases.fleet_mistakes import MistakeStudy
from headstock.usecases.job_mistakes import LEAST
from headstock.usecases.study_of import study_of
from tests.cases.studies import engine, load_fleet
from tests.promises.study_page import PAGE, STUDIES, block_of, mark, pictures_of, report_of


def test_the_page_has_a_place_for_each_study_and_its_pictures_are_there() -> None:
    page = PAGE.read_text(encoding="utf-8")
    for name in STUDIES:
        assert page.count(mark(name, "beginning")) == page.count(mark(name, "end")) == 1
    shown = [line.rpartition("(")[2].rstrip(")") for line in page.splitlines() if line.startswith("![")]
    assert len(shown) >= 7 and all((PAGE.parent / name).is_file() for name in shown)


def test_a_small_part_worked_out_now_says_what_its_line_of_the_page_says() -> None:
    study = study_of("demo-mistakes", load_fleet(), engine())
    assert isinstance(study, MistakeStudy)
    for moving, standing, rules in (("gale/2", "gale/1", "wending-vale"), ("tarn/2", "tarn/1", "lanthorn-reach")):
        part = next(
            number for number, one in enumerate(study.jobs) if (one.moving, one.standing, one.rules) == (moving, standing, rules)
        )
        rows = study.rows(part, engine())
        likely = [row for row in rows if (row.plausibility or 0) >= LEAST]
        broken = [row for row in likely if row.broken]
        unseen = [row for row in broken if row.verdict in SILENT]
        nobody = [row for row in rows if row.verdict in SILENT]
        figures = " | ".join(f"{len(own):,}" for own in (rows, likely, broken, unseen, nobody))
        assert f"| {moving} | {standing} | {rules} | {figures} |" in PAGE.read_text(encoding="utf-8")


def test_what_is_read_in_the_tables_of_mistakes_stands_in_them() -> None:
    rows = [[cell.strip() for cell in line.strip("|").split("|")] for line in PAGE.read_text(encoding="utf-8").splitlines()]
    early = [[int(cell.replace(",", "")) for cell in row[2:]] for row in rows if len(row) == 9 and row[1] == "too early"]
    assert len(early) == 2 and all(later + handed > 0.4 * count for count, _, _, later, handed, _, _ in early)
    unnoticed = [row for row in rows if len(row) == 8 and row[0] == "left out"]
    most = max(int(row[3]) for row in unnoticed)
    often = " ".join(row[2] for row in unnoticed if int(row[3]) >= most - 1)
    assert all(said in often for said in ("electric supply", "come out from between", "read the rear gauge"))


@pytest.mark.slow
@pytest.mark.parametrize("name", STUDIES)
def test_the_whole_page_is_what_the_studies_answer_now(name: str, tmp_path: Path) -> None:
    pytest.importorskip("duckdb")
    report = report_of(name, tmp_path / "results")
    assert block_of(name, report) in PAGE.read_text(encoding="utf-8")
    for path, made in pictures_of(name, report).items():
        assert path.read_bytes() == made, path.name
