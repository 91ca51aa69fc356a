"""`records` as people take it: file a test, touch something, search, print, verify, keep."""

from __future__ import annotations

import csv
import io
import sqlite3
from pathlib import Path
from typing import Any

import pyarrow.parquet as pq
import pytest
from pypdf import PdfReader

from headstock.usecases.people_file import BUILT_IN as PEOPLE
from tests.cases.records import MULTIPLE_UNIT, record_text
from tests.cases.test_judged_tests import rear
from tests.cases.test_touches import TEXT
from tests.journeys.commands import answer_of, headstock

COCK = "217/2.brake_pipe_cock"
ON_LIST = ("--people", PEOPLE / "wending-vale.yaml")


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("HEADSTOCK_DATA", str(tmp_path / "data"))
    monkeypatch.delenv("HEADSTOCK_RECORDS", raising=False)
    (tmp_path / "test.yaml").write_text(TEXT, encoding="utf-8")
    return tmp_path


def file_it(place: Path, *more: str | Path, status: int = 0) -> Any:
    return answer_of("records", "file", "test.yaml", "--date", "2026-01-20", *more, at=place, status=status)


def test_a_test_is_filed_once_made_void_by_a_touch_and_stays(place: Path) -> None:
    filed = file_it(place, *ON_LIST)
    assert (filed["is_new"], filed["verdict"], filed["state"]) == (True, "within limits", "stands")
    assert file_it(place, *ON_LIST) == filed | {"is_new": False}
    touched = answer_of("records", "touch", COCK, "--who", "J. Tolk", "--when", "2026-01-20 11:00:00", at=place)
    assert touched["voids"] == [filed["code"]]
    (found,) = answer_of("records", "search", "217", "iden", "--kind", "test", at=place)
    assert (found["state"], found["verdict"]) == ("void", "within limits")
    assert touched["code"] in found["void_by"][0] and "J. Tolk" in found["void_by"][0]
    again = file_it(place, *ON_LIST, status=3)
    assert again["state"] == "void", "sent again it is no better"
    shown = headstock("records", "show", filed["code"], at=place).stdout
    assert (
        "void: brake pipe cock of 217/2 touched by J. Tolk at 2026-01-20 11:00:00" in shown
        and "rear applied, P. Oad, rear: 3.4 bar" in shown
    )
    assert answer_of("records", "verify", at=place)["entries"] == 3


def test_a_touch_logged_before_the_test_was_filed_makes_it_void_too(place: Path) -> None:
    answer_of("records", "touch", COCK, "--who", "J. Tolk", "--when", "2026-01-20 10:30:00", at=place)
    answer_of("records", "touch", COCK, "--who", "J. Tolk", "--when", "2026-01-20 09:30:00", at=place)
    filed = file_it(place, status=3)
    assert (filed["state"], len(filed["void_by"])) == ("void", 1)


def test_what_cannot_have_been_is_refused_with_every_reason(place: Path) -> None:
    assert "carry no date" in headstock("records", "file", "test.yaml", at=place).stdout
    late = file_it(place, *ON_LIST, status=0)["entry"]
    refused = answer_of("records", "file", "test.yaml", "--date", "2031-01-20", *ON_LIST, at=place, status=2)
    assert refused["filed"] is False
    assert any("no clock on earth" in reason for reason in refused["refused"])
    assert any("M. Iden was not in date on 2031-01-20" in reason for reason in refused["refused"])
    good = rear(3.4, 3.4, 3.4, 4.9)
    early = [good[0], ("rear charged", "guard", 60, "5.0 bar"), *good[2:]]
    (place / "early.yaml").write_text(record_text("rear-application", MULTIPLE_UNIT, early), encoding="utf-8")
    done = headstock("records", "file", "early.yaml", "--date", "2026-01-20", at=place)
    assert done.returncode == 2 and "Refused: nothing was filed" in done.stdout and "line " in done.stdout
    wrong = TEXT.replace('rules_edition: "3"', 'rules_edition: "2"')
    (place / "wrong.yaml").write_text(wrong, encoding="utf-8")
    assert "another edition" in headstock("records", "file", "wrong.yaml", "--date", "2026-01-20", at=place).stderr
    assert answer_of("records", "verify", at=place)["entries"] == late, "nothing of these is on record"


def test_a_test_outside_its_limits_is_filed_and_corrected_by_a_new_entry(place: Path) -> None:
    (place / "bad.yaml").write_text(record_text("rear-application", MULTIPLE_UNIT, rear(3.4, 5.0, 5.0, 4.9)), encoding="utf-8")
    filed = answer_of("records", "file", "bad.yaml", "--date", "2026-01-20", at=place, status=1)
    assert filed["verdict"] == "not within limits"
    done = headstock("records", "note", "correction", "wrong train", "--who", "P. Oad", at=place)
    assert done.returncode == 2 and "--about" in done.stderr
    answer_of("records", "note", "correction", "wrong train", "--who", "P. Oad", "--about", filed["code"], at=place)
    assert answer_of("records", "show", filed["code"], at=place)["state"] == "corrected"
    isolated = answer_of("records", "note", "isolation", "brake of 217B isolated", "--who", "P. Oad", "--unit", "217", at=place)
    (found,) = answer_of("records", "search", "217", "isolat*", at=place)
    assert found["code"] == isolated["code"]


def test_a_certificate_is_checked_with_the_public_key_alone(place: Path) -> None:
    filed = file_it(place, *ON_LIST)
    headstock("records", "key", "--out", "public.pem", at=place)
    printed = answer_of("records", "print", filed["code"], at=place)
    text = PdfReader(place / printed["sheet"]).pages[0].extract_text()
    assert filed["code"] in text and "Readings within limits" in text and "invented" in text
    (place / "data" / "records.db").unlink()
    checked = answer_of("records", "check", printed["certificate"], "--public-key", "public.pem", at=place)
    assert checked["certificate"]["code"] == filed["code"]
    head, content, signature = printed["certificate"].split(".")
    forged = f"{head}.{content[:-6]}{'A' if content[-6] != 'A' else 'B'}{content[-5:]}.{signature}"
    assert headstock("records", "check", forged, "--public-key", "public.pem", at=place).returncode in (1, 2)


def test_verify_says_what_was_altered_and_ends_with_1(place: Path) -> None:
    file_it(place, *ON_LIST)
    with sqlite3.connect(place / "data" / "records.db") as base:
        base.execute("DROP TRIGGER entry_no_update")
        base.execute("UPDATE entry SET text = replace(text, 'within limits', 'not yet') WHERE seq = 2")
    done = headstock("records", "verify", at=place)
    assert done.returncode == 1 and "entry 2 was altered" in done.stdout


def test_records_are_kept_and_brought_back_and_exported(place: Path) -> None:
    filed = file_it(place, *ON_LIST)
    headstock("records", "key", "--out", "public.pem", at=place)
    for file in ("all.jsonl", "all.csv", "all.parquet"):
        assert answer_of("records", "export", file, at=place)["entries"] == 2
    rows = list(csv.DictReader(io.StringIO((place / "all.csv").read_text(encoding="utf-8"))))
    assert rows[1]["code"] == filed["code"] == pq.read_table(place / "all.parquet")["code"][1].as_py()
    assert answer_of("records", "backup", "kept.jsonl", at=place)["entries"] == 2
    there = ("--records", "other.db", "--public-key", "public.pem")
    assert answer_of("records", "restore", "kept.jsonl", *there, at=place)["restored"] == 2
    assert answer_of("records", "verify", *there, at=place)["entries"] == 2


def test_what_was_recorded_of_practice_is_read_back_with_its_caution_and_its_cure(place: Path) -> None:
    sitting = ("records", "sitting", "hidden cock", "--led-by", "M. Iden", "--outcome", "found", "--when", "2026-01-08 09:00:00")
    turned = headstock(*sitting, "--person", "shunter=J. Tolk", at=place)
    assert turned.returncode == 2 and "the other way round @ --person" in turned.stderr
    sat = headstock(*sitting, "--person", "J. Tolk=shunter", "--key", "k1", at=place).stdout
    assert "On record: sitting, entry 2, code" in sat and "  people: J. Tolk, shunter\n" in sat, "the refused one left nothing"
    assert "A drill is not a sign-off" in sat and "headstock records note correction WHY --who NAME --about" in sat
    again = headstock(*sitting, "--person", "J. Tolk=shunter", "--key", "k1", at=place).stdout
    assert again.startswith("Was on record already, nothing was added")
    sign = ("records", "sign-off", "J. Tolk", "--role", "shunter", "--place", "Harrow Ings", "--since", "2026-01-10", "--until",
            "2026-12-31", "--assessor", "M. Iden", "--watched", "217")  # fmt: skip
    unknown = headstock(*sign, "--unit", "tan", at=place)
    assert (
        unknown.returncode == 2 and "no such unit type @ --unit: found tan" in unknown.stderr and "nearest tarn" in unknown.stderr
    )
    signed = headstock(*sign, "--unit", "tarn", at=place).stdout
    assert "  assessor: M. Iden\n" in signed and "whoever is in charge, by the local rules" in signed


def test_practice_and_competence_are_recorded_and_an_auditor_sees_what_deserves_a_look(place: Path) -> None:
    filed = file_it(place)
    sitting = ("--led-by", "M. Iden", "--person", "J. Tolk=shunter", "--outcome", "found", "--when", "2026-01-08 09:00:00")
    sat = answer_of("records", "sitting", "hidden cock", *sitting, at=place)
    wrote = answer_of("records", "paper", "set 4", "--person", "J. Tolk", "--marked-by", "M. Iden", "--points", "17/20", at=place)
    wrong = headstock("records", "paper", "set 4", "--person", "J. Tolk", "--marked-by", "M. Iden", "--points", "most", at=place)
    assert wrong.returncode == 2 and "17/20" in wrong.stderr
    signed = ("records", "sign-off", "J. Tolk", "--role", "shunter", "--unit", "tarn", "--place", "Harrow Ings", "--since",
              "2026-01-10", "--until", "2026-12-31", "--assessor", "M. Iden", "--watched", "217, 2026-01-09", "--about",
              sat["code"], "--about", wrote["code"], "--when", "2026-01-10 12:00:00")  # fmt: skip
    code = answer_of(*signed, at=place)["code"]
    now = answer_of("records", "person", "J. Tolk", "--day", "2026-06-01", at=place)
    assert [(one["code"], one["state"]) for one in now["competences"]] == [(code, "in date")] and now["sittings_lately"] == 1
    late = headstock("records", "person", "J. Tolk", "--day", "2027-01-01", at=place)
    assert late.returncode == 1 and "lapsed" in late.stdout and "by the local rules" in late.stdout
    near = headstock("records", "person", "J Tolk", at=place)
    assert near.returncode == 1 and "No sign-off of J Tolk is on record. Nearest name on record: J. Tolk.\n" in near.stdout
    shown = headstock("records", "show", sat["code"], at=place).stdout
    assert "  led by: M. Iden\n" in shown and "  people: J. Tolk, shunter\n" in shown
    view = answer_of("records", "audit", at=place)
    assert (view["kinds"]["test"], view["tests"]) == (1, {"within limits, stands": 1})
    assert [(look["code"], look["why"]) for look in view["looks"]] == [
        (filed["code"], "nobody looked whether the people were in date")]  # fmt: skip
    said = headstock("records", "audit", "--from", "2026-01-01", at=place).stdout
    assert "Nothing was altered" in said and filed["code"] in said


def test_the_signing_key_is_changed_and_old_certificates_stay_good(place: Path) -> None:
    filed = file_it(place, *ON_LIST)
    printed = answer_of("records", "print", filed["code"], at=place)
    headstock("records", "key", "--out", "old.pem", at=place)
    changed = answer_of("records", "new-key", at=place)
    assert changed["entry"] == 3
    headstock("records", "key", "--out", "keys.pem", at=place)
    for keys in ("old.pem", "keys.pem"):
        answer_of("records", "check", printed["certificate"], "--public-key", keys, at=place)
        assert answer_of("records", "verify", "--public-key", keys, at=place)["entries"] == 3
