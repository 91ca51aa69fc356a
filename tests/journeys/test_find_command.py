"""`find` and `blind-spots` as people take them: words, JSON, answers on standard input, what is refused."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pyarrow.parquet as pq
import pytest

from headstock.usecases.job_file import JOBS_FOLDER
from tests.cases.jobs import DEMO
from tests.cases.stored_readings import keep_for_commands
from tests.journeys.commands import Done, answer_of, headstock

RECORD = (JOBS_FOLDER.parent / "readings" / "demo-attach.yaml").read_text(encoding="utf-8")
COCK = "brake pipe cock of 217/2 shut"
WRONG_WORDS = ("prior", "posterior", "signature", "hypothes", "likelihood")


@pytest.fixture(scope="module", autouse=True)
def _kept() -> None:
    keep_for_commands(8, "rear-application")


def record(folder: Path, *shows: float, job: Path = DEMO) -> Path:
    """The demo's record with other figures: rear charged, rear and front applied, front after the watch, rear restored [bar]."""
    text = RECORD.replace("job: demo-attach", f"job: {job}")
    for before, after in zip(("4.9", "3.4", "3.4", "3.4", "4.9"), shows, strict=True):
        text = text.replace(f"shows: {before}, unit", f"shows: {after} , unit", 1)
    (folder / "record.yaml").write_text(text, encoding="utf-8")
    return folder / "record.yaml"


def shut_cock(folder: Path) -> Path:
    return record(folder, 0.0, 0.0, 4.95, 4.95, 0.0)


def asked(folder: Path, said: str, *more: str) -> Done:
    feeding = record(folder, 4.95, 4.1, 4.95, 4.95, 4.95)
    return headstock("find", feeding, "--ask", *more, at=folder, typed=said)


def test_a_shut_cock_is_named_and_walked_to_and_the_train_is_held_first(tmp_path: Path) -> None:
    done = headstock("find", shut_cock(tmp_path), at=tmp_path)
    assert done.returncode == 0, done.stdout + done.stderr
    lines = done.stdout.splitlines()
    holding, first = (next(n for n, line in enumerate(lines) if said in line) for said in ("Hold the train first", "Likeliest"))
    assert holding < first and COCK in lines[first]
    assert "Charged, rear: 0.00 bar (4.8 bar or more)" in done.stdout
    assert "1. Cocks and hoses of 217/2" in done.stdout and "invented" in done.stdout
    assert "No brake is bled" in done.stdout and "a new test, from the beginning" in done.stdout
    assert not any(word in done.stdout.lower() for word in WRONG_WORDS)


def test_json_says_the_same_and_what_was_looked_for_in_vain_is_out(tmp_path: Path) -> None:
    path = shut_cock(tmp_path)
    answer = answer_of("find", path, at=tmp_path)
    named = [one["words"] for entry in answer["explanations"] for one in entry["cannot_be_told_apart"]]
    assert answer["is_explained"] and answer["two_at_once"] == [] and COCK in named
    assert answer["observed"]["rear charged"] == 0.0 and answer["look_here_next"][0]["where"] == "end"
    again = answer_of("find", path, "--not-there", COCK, at=tmp_path)
    assert COCK not in [one["words"] for entry in again["explanations"] for one in entry["cannot_be_told_apart"]]
    only = answer_of("find", path, "--there", COCK, at=tmp_path)
    assert [one["words"] for entry in only["explanations"] for one in entry["cannot_be_told_apart"]] == [COCK]


def test_asked_place_by_place_it_goes_on_from_where_one_stands(tmp_path: Path) -> None:
    done = asked(tmp_path, "0\nperhaps\n7\n1\n")
    assert done.returncode == 0, done.stderr
    at = [line for line in done.stdout.splitlines() if line.startswith("At ")]
    assert at[0].startswith("At 217/2, what is there?") and at[1].startswith("At 226/1, what is there?")
    assert done.stdout.count("please.") == 2
    assert done.stdout.rstrip().splitlines()[-2].endswith("Likeliest: brake valve of 226/1 feeds")


def test_where_only_a_blocked_pipe_is_left_the_next_step_is_said(tmp_path: Path) -> None:
    path = shut_cock(tmp_path)
    assert answer_of("find", path, at=tmp_path)["next_when_not_seen"] == [], "first what a look shows"
    gone = ("--not-there", COCK, "--not-there", "brake pipe cock of 226/1 shut")
    said = headstock("find", path, *gone, at=tmp_path).stdout
    stays, lies, sure, fitter = answer_of("find", path, *gone, at=tmp_path)["next_when_not_seen"]
    assert all(f"{number}. {step}" in said for number, step in enumerate((stays, lies, sure, fitter), start=1))
    assert "does not leave" in stays and "local rules" in stays and "local rules" in fitter
    assert "between 217/2 and 226/1, it lies between the brake pipe gauges at 217/2 and 226/1" in lies
    assert "everybody out and clear" in sure and "Nobody goes between without protection" in fitter


def test_asked_and_not_answered_it_stops(tmp_path: Path) -> None:
    for said in ("", "\n"):
        done = asked(tmp_path, said)
        assert done.returncode == 0 and done.stdout.count("what is there?") == 1


def test_what_no_fault_explains_is_said_so(tmp_path: Path) -> None:
    done = headstock("find", record(tmp_path, 4.9, 3.4, 3.4, 5.0, 0.6), at=tmp_path)
    assert done.returncode == 3 and "No fault of the list explains these readings, nor do two at once" in done.stdout


def refused(folder: Path, *words: str | Path) -> dict[str, Any]:
    value = answer_of("find", *words, at=folder, status=2)
    return dict(value["error"])


def test_what_cannot_be_meant_is_one_error_with_its_cure(tmp_path: Path) -> None:
    path = shut_cock(tmp_path)
    unknown = refused(tmp_path, path, "--there", "brake pipe cock of 217/2 shot")
    assert unknown["faults"][0]["nearest"] == COCK
    both = refused(tmp_path, path, "--there", COCK, "--not-there", COCK)
    assert "said to be there and not" in both["message"]
    assert "one of the two" in refused(tmp_path, path, "--ask")["message"]
    assert "no such cause" in refused(tmp_path, path, "--there", "nothing wrong")["message"]


def test_a_refused_record_and_a_train_without_a_job_are_bad_input(tmp_path: Path) -> None:
    good = shut_cock(tmp_path).read_text(encoding="utf-8")
    early = tmp_path / "early.yaml"
    early.write_text(good.replace("10:05:10", "10:00:20").replace("10:05:40", "10:00:40"), encoding="utf-8")
    assert "nothing is made of them" in refused(tmp_path, early)["message"]
    from tests.cases.records import MULTIPLE_UNIT, record_text
    from tests.cases.test_judged_tests import rear

    bare = tmp_path / "bare.yaml"
    bare.write_text(record_text("rear-application", MULTIPLE_UNIT, rear(3.4, 5.0, 5.0, 4.9)), encoding="utf-8")
    assert "not known vehicle by vehicle" in refused(tmp_path, bare)["message"]


def too_long(folder: Path) -> Path:
    """A job for which the road is too short: there is no order of work, and no test."""
    text = DEMO.read_text(encoding="utf-8")
    text = text.replace('  - {name: "226", type: tarn}\n', '  - {name: "226", type: tarn}\n  - {name: "229", type: tarn}\n')
    text = text.replace("make: true}\n", "make: true}\n  - {ends: [226/2, 229/1]}\n")
    (folder / "job.yaml").write_text(text, encoding="utf-8")
    return folder / "job.yaml"


def test_blind_spots_are_a_table_with_the_looks_that_would_see_and_limits_moved(tmp_path: Path) -> None:
    done = headstock("blind-spots", DEMO, at=tmp_path)
    assert done.returncode == 1, done.stderr
    text = done.stdout
    assert "What this test cannot see: rear application" in text and "(invented)" in text
    assert "1: Charged, rear: 4.8 bar or more" in text and "A limit moved, in bar" in text
    assert "brake isolated, at any of 8 places" in text and "never seen" in text
    assert "cheapest looks" in text and not any(word in text.lower() for word in WRONG_WORDS)
    answer = answer_of("blind-spots", DEMO, at=tmp_path, status=1)
    by_words = {one["cause"]: one["answer"] for one in answer["causes"]}
    assert by_words[COCK] == "seen" and by_words["brake of 2171 isolated"] == "never"
    assert answer["healthy_outside"]["at_all"] <= 0.01 and answer["pressure_unit"] == "bar" and answer["drawn"]["invented"]


def test_blind_spots_of_a_job_without_an_order_or_by_a_list_that_cannot_be_read_are_bad_input(tmp_path: Path) -> None:
    done = headstock("blind-spots", too_long(tmp_path), at=tmp_path)
    assert done.returncode == 2 and "no order of work" in done.stderr and "headstock plan" in done.stderr
    (tmp_path / "mine.yaml").write_text("headstock: drawn tests 1\nname: mine\n", encoding="utf-8")
    error = answer_of("blind-spots", DEMO, "--drawn", "mine.yaml", at=tmp_path, status=2)["error"]
    assert any(fault["path"] == "faults" for fault in error["faults"])


def test_signatures_of_all_faults_are_written_as_a_table_with_what_it_rests_on(tmp_path: Path) -> None:
    table = tmp_path / "all.parquet"
    done = headstock("signatures", DEMO, "--table", table, "--pairs", "0", at=tmp_path)
    assert done.returncode == 0, done.stderr
    assert "scenarios" in done.stdout and "invented" in done.stdout and "not what a real train will show" in done.stdout
    rows = pq.read_table(table).to_pylist()
    answer = answer_of("signatures", DEMO, "--table", table, "--pairs", "0", at=tmp_path)
    assert len(rows) == answer["scenarios"] == answer["alone"] and answer["in_pairs"] == 0
    cock = [row for row in rows if row["kind_1"] == "cock shut" and row["place_1"] == "217/2.brake_pipe_cock"]
    assert len(cock) == 12 and all(row["rear_charged_bar"] < 0.1 and row["outside_limits"] > 0 for row in cock)


def test_signatures_that_could_not_be_written_are_refused_before_the_work(tmp_path: Path) -> None:
    error = answer_of("signatures", DEMO, "--table", tmp_path / "no" / "all.parquet", at=tmp_path, status=2)["error"]
    assert error["faults"][0]["path"] == "--table"
