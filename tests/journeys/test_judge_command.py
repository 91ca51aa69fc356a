"""`judge` and `methods` as people take them: words, JSON, exit status."""

from __future__ import annotations

from pathlib import Path

from headstock.usecases.readings_file import READINGS_FOLDER
from tests.cases.jobs import DEMO
from tests.cases.records import MULTIPLE_UNIT, record_text
from tests.cases.test_judged_tests import rear
from tests.journeys.commands import answer_of, headstock
from tests.promises.formats_page import METHODS


def record(folder: Path, text: str) -> Path:
    (folder / "record.yaml").write_text(text, encoding="utf-8")
    return folder / "record.yaml"


def test_each_verdict_has_its_exit_status(tmp_path: Path) -> None:
    good = rear(3.4, 3.4, 3.4, 4.9)
    early = [good[0], ("rear charged", "guard", 60, "5.0 bar"), *good[2:]]
    for rows, verdict, status in ((good, "within limits", 0), (rear(3.4, 5.0, 5.0, 4.9), "not within limits", 1),
                                  (early, "refused", 2), (good[:5], "not yet", 3)):  # fmt: skip
        answer = answer_of("judge", record(tmp_path, record_text("rear-application", MULTIPLE_UNIT, rows)), at=tmp_path,
                           status=status)  # fmt: skip
        assert answer["verdict"] == verdict
        assert {"readings", "reasons", "refusals", "void_by", "remarks", "ask_again"} <= set(answer)


def test_a_record_that_cannot_be_meant_is_one_error_with_line_and_cure(tmp_path: Path) -> None:
    text = record_text("rear-application", MULTIPLE_UNIT, rear(3.4, 3.4, 3.4, 4.9)).replace("unit: bar", "unit: cfm")
    done = headstock("judge", record(tmp_path, text), at=tmp_path)
    assert done.returncode == 2
    assert (
        "wrong unit for the brake pipe" in done.stderr and "Nothing was judged" in done.stderr and "record.yaml:" in done.stderr
    )


def test_the_job_of_a_record_is_a_file_or_a_built_in_one_as_everywhere(tmp_path: Path) -> None:
    by_name = (READINGS_FOLDER / "demo-attach.yaml").read_text(encoding="utf-8")
    assert "\njob: demo-attach\n" in by_name
    by_path = by_name.replace("job: demo-attach", f"job: {DEMO}")
    named, found = (answer_of("judge", record(tmp_path, text), at=tmp_path) for text in (by_name, by_path))
    assert named["verdict"] == found["verdict"] == "within limits" and named["readings"] == found["readings"]
    (tmp_path / "demo-attach").write_text("headstock: job 1\n", encoding="utf-8")
    beside = headstock("judge", record(tmp_path, by_name), at=tmp_path)
    assert beside.returncode == 2 and "demo-attach" in beside.stderr, "a file beside the record comes before a built-in name"
    wrong = headstock("judge", record(tmp_path, by_name.replace("demo-attach\n", "demo-atach\n", 1)), at=tmp_path)
    assert wrong.returncode == 2 and "job not found @ record.yaml:4 job" in wrong.stderr.replace(f"{tmp_path}/", "")
    assert "nearest demo-attach" in wrong.stderr


def test_methods_are_listed_shown_and_checked(tmp_path: Path) -> None:
    listed = {entry["method"]: entry for entry in answer_of("methods", "list", at=tmp_path)}
    assert set(listed) == {path.stem for path in METHODS.glob("*.yaml")}
    assert listed["rear-application"]["not_planned_because"] is None
    assert "tail cock" in headstock("methods", "show", "tail-vent", at=tmp_path).stdout
    own = tmp_path / "own.yaml"
    text = (METHODS / "tail-vent.yaml").read_text(encoding="utf-8")
    own.write_text(text, encoding="utf-8")
    assert headstock("methods", "check", own, at=tmp_path).returncode == 0
    own.write_text(text.replace("step_at_least_bar", "step_at_lest_bar"), encoding="utf-8")
    done = headstock("methods", "check", own, at=tmp_path)
    assert done.returncode == 2 and "nearest step_at_least_bar" in done.stderr


def test_a_forecast_only_remarks(tmp_path: Path) -> None:
    from tests.cases.test_touches import TEXT

    low = TEXT.replace("shows: 3.4, unit: bar}\n  - {stage: front fallen", "shows: 2.4, unit: bar}\n  - {stage: front fallen")
    assert low != TEXT
    answer = answer_of("judge", record(tmp_path, low), "--forecast", at=tmp_path)
    assert answer["verdict"] == "within limits"
    assert any("outside what a healthy train is forecast to show" in remark for remark in answer["readings"][1]["remarks"])
