"""What is typed in the office: built-in names, help that is not cut off, the next step, words of records and accounts."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from headstock.usecases.job_file import JOBS_FOLDER
from tests.journeys.commands import headstock

FAILED = """headstock: readings 1
title: Test after attaching 217 to 226, failed
invented: true
job: {job}
units: ["217", "226"]
rules_edition: "3"
readings:
  - {{stage: charged, who: M. Iden, time: "10:00:00"}}
  - {{stage: rear charged, who: P. Oad, cab: 226/2, time: "10:05:10", shows: 0.0, unit: bar}}
  - {{stage: lapped, who: M. Iden, time: "10:05:40"}}
  - {{stage: rear applied, who: P. Oad, cab: 226/2, time: "10:06:10", shows: 0.0, unit: bar}}
  - {{stage: front fallen, who: M. Iden, cab: 217/1, time: "10:06:20", shows: 4.9, unit: bar}}
  - {{stage: rear shut, who: P. Oad, time: "10:06:40"}}
  - {{stage: no rise, who: M. Iden, cab: 217/1, time: "10:07:20", shows: 4.9, unit: bar}}
  - {{stage: restored, who: M. Iden, time: "10:07:40"}}
  - {{stage: rear restored, who: P. Oad, cab: 226/2, time: "10:12:00", shows: 0.0, unit: bar}}
"""
GROUPS = ("", "fleet", "methods", "records", "accounts", "exercise", "study")
PASSWORD = "four words nobody guesses\n"


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("HEADSTOCK_DATA", str(tmp_path / "data"))
    (tmp_path / "failed.yaml").write_text(FAILED.format(job=JOBS_FOLDER / "demo-attach.yaml"), encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize("group", GROUPS)
def test_no_line_of_help_is_cut_off(group: str, tmp_path: Path) -> None:
    said = headstock(*filter(None, (group, "--help")), at=tmp_path).stdout
    assert "Commands:" in said and "..." not in said.partition("Commands:")[2]


@pytest.mark.parametrize("words", [("find",), ("forecast",), ("due",), ("couple",), ("reconstruct",), ("records", "sitting")])
def test_help_speaks_of_what_is_written_and_not_of_types_of_a_language(words: tuple[str, ...], tmp_path: Path) -> None:
    assert "list[" not in headstock(*words, "--help", at=tmp_path).stdout.partition("Options:")[2]


def test_a_job_and_readings_that_come_along_are_called_by_name(tmp_path: Path) -> None:
    assert headstock("judge", "demo-attach", at=tmp_path).returncode == 0
    assert headstock("can", "demo-attach", at=tmp_path).returncode == 0
    wrong = headstock("can", "demo-atach", at=tmp_path)
    assert wrong.returncode == 2 and "nearest demo-attach" in wrong.stderr and "second-attach" in wrong.stderr
    assert "no such file" in headstock("can", "demo-atach.yaml", at=tmp_path).stderr


def test_a_plan_that_leaves_a_due_test_open_says_so_first_and_is_a_yes(tmp_path: Path) -> None:
    done = headstock("plan", "demo-attach", at=tmp_path)
    assert done.returncode == 0
    head = done.stdout.partition("order of work")[0]
    assert "Only if made as well before it leaves: test of the through wires" in head


def test_readings_that_are_not_within_limits_lead_to_find(desk: Path) -> None:
    for words in (("judge", "failed.yaml"), ("records", "file", "failed.yaml", "--date", "2026-01-20")):
        done = headstock(*words, at=desk)
        assert done.returncode == 1 and "headstock find failed.yaml" in done.stdout
    assert "headstock find" not in headstock("judge", "demo-attach", at=desk).stdout


def test_a_recorder_s_zero_may_lie_a_little_below_nothing_and_no_more(tmp_path: Path) -> None:
    assert "cannot be read" not in headstock("judge", "demo-recorder", at=tmp_path).stdout
    readings = JOBS_FOLDER.parent / "readings"
    text = (readings / "demo-recorder.yaml").read_text(encoding="utf-8")
    (tmp_path / "low.yaml").write_text(text.replace("../jobs/", f"{JOBS_FOLDER}/"), encoding="utf-8")
    head, *rows = (readings / "demo-recorder.csv").read_text(encoding="utf-8").splitlines()
    lower = [[*row.split(",")[:2], f"{float(row.split(',')[2]) - 0.2:.3f}", row.split(",")[3]] for row in rows]
    (tmp_path / "demo-recorder.csv").write_text("\n".join([head, *(",".join(row) for row in lower)]) + "\n", encoding="utf-8")
    refused = headstock("judge", "low.yaml", at=tmp_path)
    assert refused.returncode == 2 and "cannot be read on a gauge from 0 to 10 bar" in refused.stdout


def test_a_half_made_couple_is_told_in_words_with_how_to_ask_on(tmp_path: Path) -> None:
    said = headstock("couple", "--sign", "pull=holds", at=tmp_path).stdout
    assert "locked, no air through, contacts not made" in said
    assert 'headstock couple --sign "last done=..."' in said
    assert 'headstock couple "screw coupling" --sign' in headstock("couple", "screw coupling", at=tmp_path).stdout


def test_entries_show_the_number_by_which_they_are_called_and_only_a_good_test_stands(desk: Path) -> None:
    headstock("records", "file", "failed.yaml", "--date", "2026-01-20", at=desk)
    found = headstock("records", "search", at=desk).stdout
    assert re.search(r"  test 2: .*: not within limits$", found, re.MULTILINE)
    assert re.search(r"  key 1: signs from here on: [0-9a-f]{16}$", found, re.MULTILINE)
    printed = headstock("records", "print", "2", at=desk).stdout
    assert printed.splitlines()[0].endswith(": not within limits")
    assert "Tests: 1 not within limits\n" in headstock("records", "audit", at=desk).stdout
    headstock("records", "file", str(JOBS_FOLDER.parent / "readings" / "demo-attach.yaml"), "--date", "2026-01-21", at=desk)
    assert "Tests: 1 not within limits; 1 within limits, stands\n" in headstock("records", "audit", at=desk).stdout
    nobody = headstock("records", "person", "Z. Nobody", at=desk)
    assert nobody.returncode == 1 and "No sign-off of Z. Nobody is on record." in nobody.stdout


def test_a_backup_from_before_a_new_key_says_which_key_to_name(desk: Path) -> None:
    headstock("records", "file", "failed.yaml", "--date", "2026-01-20", at=desk)
    headstock("records", "key", "--out", "old.pem", at=desk)
    headstock("records", "backup", "kept.jsonl", at=desk)
    headstock("records", "new-key", at=desk)
    refused = headstock("records", "restore", "kept.jsonl", "--records", "new.db", at=desk)
    assert refused.returncode == 2 and "--public-key" in refused.stderr
    named = ("records", "restore", "kept.jsonl", "--records", "new.db", "--public-key", "old.pem")
    assert headstock(*named, at=desk).returncode == 0


def test_accounts_say_what_became_of_them_and_what_comes_first(desk: Path) -> None:
    assert "headstock accounts first NAME" in headstock("accounts", "list", at=desk).stdout
    headstock("accounts", "first", "oad", at=desk, typed=PASSWORD)
    headstock("accounts", "add", "iden", "--role", "crew", at=desk, typed=PASSWORD)
    assert headstock("accounts", "lock", "iden", at=desk).stdout == "iden, crew: locked; its sessions have ended\n"
    assert headstock("accounts", "unlock", "iden", at=desk).stdout == "iden, crew: may sign in; its sessions have ended\n"
    roles = headstock("accounts", "roles", at=desk).stdout.splitlines()
    assert roles[1].startswith("instructor: all that crew may; and plan jobs")
    assert "but not sign somebody off; and manage accounts" in roles[3]


def test_a_unit_type_and_a_method_are_shown_in_words(tmp_path: Path) -> None:
    shown = headstock("fleet", "show", "tarn", at=tmp_path).stdout
    assert "(issue 2, invented)" in shown and "points ," not in shown
    assert "32 N per km/h" in shown and "pantographs 30 m" in shown and "free air 1000 l a minute" in shown
    method = headstock("methods", "show", "rear-application", at=tmp_path).stdout
    assert "for charge at least, in s" in method and not re.search(r"[a-z]_[a-z]+_(bar|s)\b", method)
