"""Words of the local rules: only what is filled in may stand in brackets, or a plan would break on them."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.base.errors import InputError
from headstock.equipment.library import load_fleet
from headstock.local_rules.rules import BUILT_IN, load_local_rules
from headstock.usecases.job_file import JOBS_FOLDER
from headstock.usecases.plan_job import plan_job

RULES = (BUILT_IN / "wending-vale.yaml").read_text(encoding="utf-8")
FIELDS = ("agree", "road_asked", "to_stop", "couple", "pull", "assurance", "give_back", "bell")


def with_words(field: str, text: str, folder: Path) -> Path:
    before = f'  {field}: {{value: "'
    assert before in RULES
    path = folder / "rules.yaml"
    path.write_text(RULES.replace(before, before + text), encoding="utf-8")
    return path


@pytest.mark.parametrize("field", FIELDS)
@pytest.mark.parametrize(
    "text", ["{nobody} ", "{ ", "} ", "{} ", "{0} ", "{name.upper} ", "{name[0]} ", "{name!r} ", "{name:>9} "]
)
def test_what_cannot_be_filled_in_is_refused_with_its_line(field: str, text: str, tmp_path: Path) -> None:
    with pytest.raises(InputError) as caught:
        load_local_rules(with_words(field, text, tmp_path))
    (fault,) = caught.value.faults
    assert fault.path.startswith(f"words.{field}")
    assert fault.line
    assert "filled in are" in fault.text()


@pytest.mark.parametrize("field", [field for field in FIELDS if field != "bell"])
def test_what_may_stand_there_is_filled_in_when_a_job_is_planned(field: str, tmp_path: Path) -> None:
    with_words(field, "{name} {{so}} ", tmp_path)
    job = (JOBS_FOLDER / "demo-attach.yaml").read_text(encoding="utf-8")
    (tmp_path / "job.yaml").write_text(job.replace("local_rules: wending-vale", "local_rules: rules.yaml"), encoding="utf-8")
    answer = plan_job(tmp_path / "job.yaml", load_fleet())
    assert answer.order is not None
    assert any("J. Tolk {so}" in said.words for step in answer.order.steps for said in step.said)


def test_a_duty_that_nobody_may_have_is_a_fault_of_the_rules(tmp_path: Path) -> None:
    (tmp_path / "rules.yaml").write_text(RULES.replace("drives: {value: [driver]", "drives: {value: []"), encoding="utf-8")
    with pytest.raises(InputError) as caught:
        load_local_rules(tmp_path / "rules.yaml")
    assert caught.value.faults[0].path.startswith("duties.drives")
