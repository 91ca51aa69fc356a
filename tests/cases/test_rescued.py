"""Parting what a rescue joined: planned, proved, held by the checker, each line missed, bad ones refused, printed."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.base.errors import InputError
from headstock.reasoning.checker import check
from headstock.sheets.compose import sheet_of
from headstock.sheets.job_sheet import render_job_sheet
from headstock.usecases.job_file import JOBS_FOLDER
from headstock.usecases.plan_job import plan_job
from headstock.usecases.stop_job import stop_job
from tests.cases.bad_rescued import BAD_RESCUED, BadRescued
from tests.cases.jobs import breaks_of, not_missed, order_in, planned, steps_of
from tests.cases.rescued import BY_HAND, FLEET, HUNG_ON_THE_DEAD, KNUCKLE, PARTED, PORT, Rescued, parted
from tests.cases.test_couplings import line

practice = pytest.mark.outside(source="common practice, no source", clause="setting a dead unit aside", status="common practice")
secured = pytest.mark.outside(
    source="RAIB safety digest 01/2017", clause="ran off as it was uncoupled, unscotched, its parking brake cut out",
    status="from memory",
)  # fmt: skip
each = pytest.mark.parametrize("job", PARTED, ids=[job.name for job in PARTED])


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("rescued")


@each
def test_every_parting_is_proved_by_its_bound_and_accepted_and_a_line_left_out_is_missed(job: Rescued, folder: Path) -> None:
    plan = parted(job, folder)
    steps = steps_of(plan)
    assert plan.order is not None and plan.domain is not None and plan.as_found == ()
    assert plan.order.proved_best and plan.order.cost_s - plan.order.bound_s == pytest.approx(0.0, abs=1e-6)
    assert check(steps, plan.domain).holds and plan.order.expanded < 400
    assert not_missed(steps, plan.domain) == []


@practice
@pytest.mark.parametrize("bad", BAD_RESCUED, ids=lambda bad: bad.name)
def test_a_bad_parting_after_a_rescue_is_refused_for_its_reason(bad: BadRescued, folder: Path) -> None:
    found = breaks_of(order_in(parted(bad.job, folder)), bad.edit)
    assert bad.breaks in found, f"{bad.because}; found {sorted(found)}"


@secured
def test_a_unit_with_springs_released_by_hand_is_scotched_and_set_again_before_anything_is_opened(folder: Path) -> None:
    steps = steps_of(parted(BY_HAND, folder))
    springs = [number for number, step in enumerate(steps) if step.key.startswith("set the springs")]
    scotched, read, proved = (line(steps, words) for words in ("lay scotches", "read the parking brake indicator of 226",
                                                                "watch the whole train"))  # fmt: skip
    assert scotched < min(springs) and max(springs) < read < proved < line(steps, "shut the joined brake pipe cock")
    assert proved < line(steps, "lift the lock") and not any("scotches away" in step.key for step in steps)


@secured
def test_springs_that_no_hand_sets_again_count_for_nothing(folder: Path, tmp_path: Path) -> None:
    plan = parted(HUNG_ON_THE_DEAD, folder)
    task = plan.assembled.task
    assert task is not None and "226.parking_brake" not in task.holds["226"].brakes
    assert not any(step.key.startswith("set the springs") for step in steps_of(plan))
    sheet = sheet_of(plan)
    assert any("Springs of 2261 stay released by hand" in text for text in sheet.cautions)
    assert any("Springs released by hand: 2261" in text for text in sheet.tell_afterwards)
    gale = Rescued("gale", "gale", springs=("2261", "2262", "2263", "2264"), mains="joined", left=PARTED[3].left)
    path = tmp_path / "job.yaml"
    path.write_text(gale.text, encoding="utf-8")
    refused = plan_job(path, FLEET)
    assert refused.answer == "no" and any("226 cannot be held here" in reason for reason in refused.reasons)


@practice
def test_an_adapter_comes_off_with_the_ends_apart_under_a_protection_of_its_own_and_goes_home(folder: Path) -> None:
    for job, unit in ((PORT, "217"), (KNUCKLE, "217"), (HUNG_ON_THE_DEAD, "226")):
        steps = steps_of(parted(job, folder))
        away, locked = line(steps, "draw away"), line(steps, "shut and lock the brake valve from full")
        assured, inside = line(steps, "assure the shunter that the brake is on and locked, ends"), line(steps, "go between, ends")
        keeper, pin, off = (line(steps, words) for words in ("take the pin keeper of the adapter out", "draw the pin of the",
                                                             "take the adapter off"))  # fmt: skip
        stowed = line(steps, f"put the adapter of {unit} back in its stowage")
        assert away < locked < assured < inside < keeper < pin < off < stowed < line(steps, "test, charged")
        assert not any(step.role == "driver" and step.place not in (None, "cab 217/2") for step in steps[assured:off])


@practice
def test_the_emergency_hose_is_vented_off_and_capped_once_the_springs_hold(folder: Path) -> None:
    steps = steps_of(parted(PORT, folder))
    proved, shut = (
        line(steps, "watch the whole train"),
        line(steps, "shut the main reservoir pipe cock of 217/1 to the air inlet"),
    )
    off, pulled = line(steps, "take the main reservoir pipe hose of 217/1 off"), line(steps, "pull the release handle of 226/1")
    assert line(steps, "put on the parking brake of 226") < proved < shut < off < pulled < line(steps, "draw away")
    assert line(steps, "part the brake pipe hose of 217/1 from the adapter's") < pulled


@each
def test_the_sheet_is_printed_and_a_parting_stopped_on_the_way_is_left_safe(job: Rescued, folder: Path) -> None:
    plan = parted(job, folder)
    steps = steps_of(plan)
    sheet = sheet_of(plan)
    assert render_job_sheet(sheet).startswith(b"%PDF")
    assert not any("may have been released by hand" in text for text in sheet.cautions)
    marks = ("watch the whole train", "part the", "draw away", "take the adapter off")
    for number in (line(steps, words) + 1 for words in marks if any(step.key.startswith(words) for step in steps)):
        assert stop_job(plan, number).answer == "yes", number


@pytest.mark.parametrize(
    ("edit", "said"),
    [
        (('["2261", "2264"]', '["2262"]'), "no springs to release"),
        (('["2261", "2264"]', '["2171"]'), "no springs to release"),
        (("226.main_reservoir: dead", "226.main_reservoir: working"), "nothing says that it is dead"),
        (("work: detach", "work: attach"), "a train that a rescue joined is parted"),
    ],
)
def test_what_a_job_says_of_the_rescue_must_fit_its_train(edit: tuple[str, str], said: str, tmp_path: Path) -> None:
    path = tmp_path / "job.yaml"
    text = BY_HAND.text.replace(*edit)
    path.write_text(text.replace("part: true", "make: true") if "attach" in edit[1] else text, encoding="utf-8")
    with pytest.raises(InputError) as error:
        plan_job(path, FLEET)
    assert said in str(error.value)


def test_what_cannot_be_let_go_or_let_out_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "job.yaml"
    no_inlet = Rescued("tarn", "tarn", mains="by the air inlet", left=BY_HAND.left)
    path.write_text(no_inlet.text, encoding="utf-8")
    plan = plan_job(path, FLEET)
    assert plan.answer == "no" and "no main reservoir hose that fits an air inlet" in plan.reasons[0]


@pytest.mark.parametrize("name", ["part-rescue", "part-rescue-adapter"])
def test_the_built_in_jobs_are_proved(name: str) -> None:
    plan = planned(JOBS_FOLDER / f"{name}.yaml")
    assert plan.answer == "yes" and plan.order is not None and plan.order.proved_best
    assert plan.order.cost_s == pytest.approx(plan.order.bound_s)
