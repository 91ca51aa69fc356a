"""Questions on a study's results: the planted blind spot is found, sums agree with the rows, and nothing else can be read."""

from __future__ import annotations

import json
import shutil
from contextlib import suppress
from pathlib import Path

import pyarrow.parquet as pq
import pytest

from headstock.base.errors import InputError
from headstock.exchange.study_parts import MANIFEST, StudyFolder, part_content
from headstock.exchange.study_questions import ask_ready, ask_sql
from headstock.physics.fast_many import answer_few
from headstock.usecases.study_questions import READY, StudyAnswer
from tests.cases.studies import FEWER, study_of, worked_out
from tests.hostile.mutations import spoilt

pytest.importorskip("duckdb")


@pytest.fixture(scope="module")
def results(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small study with its real air."""
    return worked_out(tmp_path_factory.mktemp("study"))


def column(answer: StudyAnswer, *names: str) -> list[tuple[object, ...]]:
    return [tuple(row[answer.columns.index(name)] for name in names) for row in answer.rows]


def test_a_planted_blind_spot_is_found_and_what_is_plain_to_see_is_none(results: Path) -> None:
    said = column(ask_ready(results, "blind-spots", None, 99), "method", "fault", "severity", "answer")
    found = {tuple(row[:3]): row[3] for row in said}
    for method in ("rear-application", "front-both-ways"):
        assert found[method, "pipe leaks", 0.0001] == "never"  # planted
        assert found[method, "cock shut", 0.0] == "seen"  # what these tests are there for
    lax = ask_ready(results, "blind-spots", "lax", 99)
    assert {answer for (answer,) in column(lax, "answer")} == {"never"} and lax.limits == "lax"
    ruled = ask_ready(results, "blind-spots", "as ruled", 99)
    assert ruled.limits == "as_ruled" and ruled.rows == ask_ready(results, "blind-spots", None, 99).rows


def test_what_is_missed_by_fault_is_what_its_places_miss_together(results: Path) -> None:
    places = ask_sql(results, """select method, kind_1, severity_1, place_1, count(*) n, sum((not fails_as_ruled)::int) passed
        from scenarios where faults = 1 group by all""", None, 999).rows  # fmt: skip
    rows = column(ask_ready(results, "by-fault", None, 999), "method", "fault", "severity", "missed", "least_missed",
                  "most_missed", "places")  # fmt: skip
    assert len(rows) == len({row[:3] for row in places}) > 3
    for row in rows:
        own = [one for one in places if one[:3] == row[:3]]
        missed = sum(one[5] for one in own) / sum(one[4] for one in own)
        least, most = (pick(one[5] / one[4] for one in own) for pick in (min, max))
        assert row[3:] == pytest.approx((missed, least, most, len(own)))


def test_sums_agree_with_the_rows_reckoned_by_hand(results: Path) -> None:
    rows = [row for path in results.rglob("*rear-application/**/*.parquet") for row in pq.ParquetFile(path).read().to_pylist()]
    wrong, healthy = [row for row in rows if row["faults"]], [row for row in rows if not row["faults"]]
    missed = sum(row["weight"] for row in wrong if not row["fails_as_ruled"]) / sum(row["weight"] for row in wrong)
    alarms = sum(row["fails_as_ruled"] for row in healthy) / len(healthy)
    for question in ("worst-formations", "season"):
        said = {
            row[0]: row[1:] for row in column(ask_ready(results, question, None, 9), "method", "missed", "false_alarms", "tests")
        }
        assert said["rear-application"] == pytest.approx((missed, alarms, len(rows)))
    curve = column(ask_ready(results, "limit-curve", None, 999), "method", "stage", "moved_bar", "missed", "false_alarms")
    still = [row for row in curve if row[0] == "rear-application" and row[2] == 0.0]
    assert len(still) == 5 and all(row[3:] == pytest.approx((missed, alarms)) for row in still)
    margins = [row["margins"] for row in rows]
    by_hand = [any(one is not None and one + 0.3 * (at == 1) < 0 for at, one in enumerate(own)) for own in margins]
    moved = next(row for row in curve if row[:3] == ("rear-application", "rear applied", 0.3))
    assert moved[4] == pytest.approx(sum(one for one, row in zip(by_hand, rows, strict=True) if not row["faults"]) / len(healthy))


def test_a_stricter_limit_never_misses_more(results: Path) -> None:
    curve = column(ask_ready(results, "limit-curve", None, 999), "method", "stage", "moved_bar", "missed", "false_alarms")
    for method, stage in {row[:2] for row in curve}:
        own = [row[2:] for row in curve if row[:2] == (method, stage)]
        strict_first = own[::-1] if stage in ("rear charged", "rear restored", "rear risen") else own
        missed = [one[1] for one in strict_first]
        alarms = [one[2] for one in strict_first]
        assert missed == sorted(missed) and alarms == sorted(alarms, reverse=True)  # type: ignore[type-var]


def test_one_select_of_ones_own_and_nothing_else(results: Path, tmp_path: Path) -> None:
    answer = ask_sql(results, "select method, count(*) n from scenarios group by all order by all", None, 1)
    assert answer.columns == ("method", "n") and answer.is_cut and answer.parts == answer.study["parts"]
    other = tmp_path / "other.csv"
    other.write_text("a,b\n1,2\n")
    for sql, says in (
        (f"copy scenarios to '{results / 'x.csv'}'", "not a question"), ("select 1; select 2", "not a question"),
        ("drop view scenarios", "not a question"), (f"select * from '{other}'", "not understood"),
        ("select * from nothing", "not understood"), ("selekt", "not understood"),
    ):  # fmt: skip
        with pytest.raises(InputError, match=says):
            ask_sql(results, sql, None, 1)


def test_what_is_no_question_or_no_folder_of_results_is_refused(results: Path, tmp_path: Path) -> None:
    drawn = [one.name for one in READY if one.about == "drawn tests"]
    assert drawn == ["blind-spots", "by-fault", "limit-curve", "worst-formations", "season"]
    with pytest.raises(InputError, match="nearest season"):
        ask_ready(results, "seasons", None, 9)
    with pytest.raises(InputError, match="nearest lax"):
        ask_ready(results, "season", "laxer", 9)
    with pytest.raises(InputError, match="no results of a study"):
        ask_ready(tmp_path, "season", None, 9)


def test_a_part_of_another_study_among_these_is_refused(tmp_path: Path) -> None:
    study = study_of(tmp_path, FEWER)
    folder = StudyFolder(tmp_path / "out", study, "code")
    folder.open()
    with pytest.raises(InputError, match="no part of the study"):
        ask_ready(tmp_path / "out", "season", None, 9)
    rows = study.rows(0, answer_few)
    folder.keep(0, part_content(study, rows, folder.key))
    assert ask_ready(tmp_path / "out", "season", None, 9).parts == 1
    folder.keep(1, part_content(study, rows, "another"))
    with pytest.raises(InputError, match="parts of another study"):
        ask_ready(tmp_path / "out", "season", None, 9)


def test_a_manifest_spoilt_in_any_place_is_refused_in_words_or_changes_nothing(results: Path, tmp_path: Path) -> None:
    copied = tmp_path / "results"
    shutil.copytree(results, copied)
    good = (copied / MANIFEST).read_text(encoding="utf-8")
    said = json.loads(good)
    texts = [spoilt(seed, (good,), (good,)) for seed in (*range(20), 72, 137, 169, 219, 273, 294, 386, 418, 548)]
    texts += [json.dumps({**said, **change}).encode() for change in ({"kind": []}, {"kind": "x"}, {"settings": 1}, {"study": []})]
    for text in texts:
        (copied / MANIFEST).write_bytes(text)
        for question in ("blind-spots", "limit-curve"):
            with suppress(InputError):
                assert ask_ready(copied, question, None, 9).columns


def test_a_manifest_that_somebody_changed_cannot_reach_another_file(results: Path, tmp_path: Path) -> None:
    copied, reached = tmp_path / "results", tmp_path / "reached.csv"
    shutil.copytree(results, copied)
    words = f"as_ruled as fails from scenarios; copy (select 1 as one) to '{reached}'; create view other as select fails_as_ruled"
    said = json.loads((copied / MANIFEST).read_text(encoding="utf-8"))
    said["study"]["limits"][0]["name"] = words
    (copied / MANIFEST).write_text(json.dumps(said), encoding="utf-8")
    with pytest.raises(InputError, match="not a manifest of a study"):
        ask_ready(copied, "season", words, 9)
    assert not reached.exists()
