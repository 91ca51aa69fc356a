"""A form for a new job becomes a job file that the reader of job files takes; every fault stands beside its field."""

from pathlib import Path
from typing import Any

import pytest

from headstock.base.errors import InputError
from headstock.equipment.library import load_fleet
from headstock.usecases.job_book import job_draft
from headstock.usecases.job_file import load_job
from headstock.usecases.job_form import JobForm, cabs_of, form_from, form_text, keep_faults, train_of_form, with_first_choices
from headstock.usecases.job_stands import checked_job
from headstock.usecases.left_boxes import left_boxes, left_of
from headstock.usecases.ready_jobs import ready_jobs

FLEET = load_fleet()


def filled(**more: Any) -> dict[str, list[str]]:
    given = {
        "work": "attach", "place": "harrow-ings-3", "local_rules": "wending-vale", "method": "rear-application",
        "unit_name:0": "217", "unit_type:0": "tarn", "unit_name:1": "226", "unit_type:1": "tarn", "crew:driver": "M. Iden",
        "crew:shunter": "J. Tolk", "crew:guard": "P. Oad",
    }  # fmt: skip
    return {key: [value] for key, value in {**given, **more}.items() if value is not None}


def made(given: dict[str, list[str]], tmp_path: Path) -> tuple[JobForm, Path]:
    form = form_from(given)
    train = train_of_form(form, FLEET)
    assert train is not None, form.faults
    with_first_choices(form, train)
    path = tmp_path / "job.yaml"
    path.write_text(form_text(form, train, left_of(train, form.of("work")), True), encoding="utf-8")
    return form, path


@pytest.mark.parametrize("work", ["attach", "detach", "rescue"])
def test_three_choices_and_a_crew_make_a_job_that_can_be_read(work: str, tmp_path: Path) -> None:
    given = filled(work=work)
    if work == "rescue":
        train = train_of_form(form_from(given), FLEET)
        assert train is not None
        ticked = {box.key: box.ticked for group in left_boxes(train, work, True, {}) for box in group.boxes}
        assert ticked["226.main_reservoir"] == "dead" and ticked["217.main_reservoir"] == "working"
        given |= {f"left:{key}": [value] for key, value in ticked.items()}
    _, path = made(given, tmp_path)
    papers = load_job(path)
    read = checked_job(papers, FLEET)
    assert papers.job.work == work and str(read.train.joint_to_make) == "217/2 and 226/1"
    assert papers.job.as_left == ({"226.main_reservoir": "dead"} if work == "rescue" else {})


def test_only_what_stands_otherwise_is_written_down(tmp_path: Path) -> None:
    _, path = made(filled(**{"left:217.parking_brake": "off", "left:226.parking_brake": "on"}), tmp_path)
    assert load_job(path).job.as_left == {"217.parking_brake": "off"}


def test_the_valves_of_what_moves_are_neither_asked_nor_written(tmp_path: Path) -> None:
    given = filled(**{"left:217/2.brake_valve": "running", "left:226/2.brake_valve": "running"})
    _, path = made(given, tmp_path)
    assert load_job(path).job.as_left == {"226/2.brake_valve": "running"}
    train = train_of_form(form_from(given), FLEET)
    assert train is not None
    keys = {box.key for group in left_boxes(train, "attach", True, {}) for box in group.boxes}
    assert "226/1.brake_valve" in keys and not any(key.startswith("217/") and "valve" in key for key in keys)


def test_every_other_variable_of_every_device_has_a_box() -> None:
    train = train_of_form(form_from(filled()), FLEET)
    assert train is not None
    boxes = [box for group in left_boxes(train, "attach", True, {}) for box in group.boxes]
    keys = {box.key for box in boxes}
    assert len(keys) == len(boxes) and keys == {
        key for key in left_of(train, "attach") if not key.startswith("217/") or "valve" not in key
    }
    assert all(box.ticked in dict(box.states) for box in boxes)


def test_a_unit_that_stands_turned_meets_with_its_other_end(tmp_path: Path) -> None:
    _, path = made(filled(**{"unit_turned:1": "1"}), tmp_path)
    assert load_job(path).job.joints[0].ends == ("217/2", "226/2")


def test_faults_stand_beside_their_fields() -> None:
    form = form_from(filled(**{"unit_type:1": "tran", "unit_name:0": "2/17"}))
    assert train_of_form(form, FLEET) is None
    assert set(form.faults) == {"unit:0", "unit:1"} and "nearest tarn" in form.faults["unit:1"][0]
    alone = form_from(filled(**{"unit_name:1": ""}))
    assert train_of_form(alone, FLEET) is None and set(alone.faults) == {"units"}
    twice = form_from(filled(**{"unit_name:1": "217"}))
    assert train_of_form(twice, FLEET) is None and "named twice" in twice.faults["unit:1"][0]


@pytest.mark.parametrize(
    ("field", "value", "beside"),
    [
        ("place", "harrow-ings-4", "place"),
        ("local_rules", "none", "local_rules"),
        ("controls_afterwards", "226/1", "controls_afterwards"),
        ("leaves_from", "217/2", "leaves_from"),
        ("driven_from", "226/1", "driven_from"),
        ("title", "x" * 61, "title"),
        ("crew:driver", None, "crew"),
    ],
)
def test_what_the_reader_of_job_files_finds_is_put_beside_its_field(
    field: str, value: str | None, beside: str, tmp_path: Path
) -> None:
    given = filled(**{field: value})
    if field == "crew:driver":
        given = {key: said for key, said in given.items() if not key.startswith("crew:")}
    form, path = made(given, tmp_path)
    with pytest.raises(InputError) as refused:
        checked_job(load_job(path), FLEET)
    keep_faults(form, refused.value)
    assert beside in form.faults, form.faults


def test_cabs_are_those_of_the_types() -> None:
    train = train_of_form(form_from(filled(**{"unit_type:1": "crag"})), FLEET)
    assert train is not None and cabs_of(train) == ("217/1", "217/2", "226/1")


def test_every_ready_job_can_be_put_on_the_book(tmp_path: Path) -> None:
    jobs = ready_jobs()
    assert len(jobs) >= 8
    for job in jobs:
        draft, _ = job_draft(job.text, tmp_path, "")
        assert draft.body["text"] == job.title
