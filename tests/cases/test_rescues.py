"""Rescues: planned, held by the checker, each line missed when it is left out, bad ones refused for their reason, printed."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.base.errors import InputError
from headstock.capability.equalising import joint_made
from headstock.capability.main_reservoirs import springs_dip
from headstock.formation.air_charge import PipePressures, air_charge_of, main_bar_of
from headstock.formation.train import Train
from headstock.formation.train_air import train_air_of, train_openings_of
from headstock.local_rules.rules import BUILT_IN as RULES
from headstock.reasoning.checker import check
from headstock.reasoning.step import Step
from headstock.sheets.compose import sheet_of
from headstock.sheets.job_sheet import render_job_sheet
from headstock.usecases.forecast_job import train_under_test
from headstock.usecases.plan_job import JobPlan, plan_job
from tests.cases.bad_rescues import BAD_RESCUES, BadRescue
from tests.cases.jobs import breaks_of, not_missed, order_in, steps_of
from tests.cases.rescues import BLOW, FLEET, MAIN, PORT, RESCUES, SAME, Rescued, job_text, rescue
from tests.cases.test_couplings import line

practice = pytest.mark.outside(source="common practice, no source", clause="rescue of a dead unit", status="common practice")
secured = pytest.mark.outside(
    source="RAIB safety digest 01/2017", clause="secured before its brake system is reconfigured", status="from memory"
)
each_rescue = pytest.mark.parametrize("rescued", RESCUES, ids=[rescued.name for rescued in RESCUES])


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("rescues")


def train_of(plan: JobPlan) -> Train:
    assert plan.assembled.task is not None
    return plan.assembled.task.train


def last(steps: tuple[Step, ...], words: str) -> int:
    return max(number for number, step in enumerate(steps) if step.key.startswith(words))


@each_rescue
def test_every_rescue_is_planned_proved_best_and_accepted_by_the_checker(rescued: Rescued, folder: Path) -> None:
    plan = rescue(rescued, folder)
    steps = steps_of(plan)
    assert plan.domain is not None and plan.order is not None
    assert check(steps, plan.domain).holds and plan.order.proved_best
    on_air = rescued.second in ("fell", "crag")  # its hand brakes are found off: nothing but air may hold it
    assert [text for text in plan.as_found if "226 is not held" in text] == list(plan.as_found) and bool(plan.as_found) == on_air


@each_rescue
def test_a_line_left_out_is_missed(rescued: Rescued, folder: Path) -> None:
    plan = rescue(rescued, folder)
    steps = steps_of(plan)
    assert plan.domain is not None
    assert not_missed(steps, plan.domain) == []


@practice
@pytest.mark.parametrize("bad", BAD_RESCUES, ids=lambda bad: bad.name)
def test_a_bad_rescue_is_refused_for_its_reason(bad: BadRescue, folder: Path) -> None:
    found = breaks_of(order_in(rescue(bad.job, folder)), bad.edit)
    assert bad.breaks in found, f"{bad.because}; found {sorted(found)}"


@secured
@each_rescue
def test_the_dead_unit_is_secured_before_its_brake_is_touched_and_let_off_last_of_all(rescued: Rescued, folder: Path) -> None:
    steps = steps_of(rescue(rescued, folder))
    scotched, proved, tested = line(steps, "lay scotches"), line(steps, "watch 226"), line(steps, "test, rear restored")
    assert scotched < line(steps, "pull the release cord") <= last(steps, "pull the release cord") < proved
    assert proved < line(steps, "call to") < tested < line(steps, "hold the train on a full application")
    off = last(steps, "take the scotches away")
    assert tested < off < line(steps, "ride along")
    answered = [number for number, step in enumerate(steps) if step.key.startswith("look at the brake of 226")]
    other = [number for number, step in enumerate(steps) if step.key.startswith(("release the springs", "take off the"))
             and "226" in step.key and "board" not in step.key]  # fmt: skip
    assert all(tested < number < off for number in other) and max(answered) < min([*other, off])


@practice
def test_no_wires_are_joined_though_the_types_are_declared_for_full_multiple_working(folder: Path) -> None:
    for rescued in (SAME, BLOW):
        plan = rescue(rescued, folder)
        assert not any("jumper" in step.key and "dummy" not in step.key for step in steps_of(plan))
        assert not any("heads" in step.key for step in steps_of(plan))
        assert plan.assembled.join.best.level == "rescue" and any("30 km/h" in r for r in plan.assembled.join.best.restrictions)


@practice
def test_main_reservoirs_are_joined_only_when_the_air_says_that_the_live_one_stays_high_enough(folder: Path) -> None:
    unasked, told = rescue(SAME, folder), rescue(MAIN, folder)
    assert not any(step.key.startswith("open the main reservoir") for step in steps_of(unasked))
    keys = [step.key for step in steps_of(told)]
    assert any(key.startswith("open the main reservoir pipe cock") for key in keys) and not any("by hand" in key for key in keys)
    asked = rescue(Rescued("tarn", "tarn", by_air=True), folder)
    assert any("by hand" in step.key for step in steps_of(asked))
    words = sheet_of(asked).opening
    assert "Main reservoirs not joined: the live ones fall to" in words and "5.3 bar are needed" in words


@practice
def test_what_cannot_be_rescued_is_refused_with_every_reason(folder: Path) -> None:
    moss = rescue(Rescued("moss", "moss"), folder)
    assert moss.answer == "no" and "no scotches are carried" in moss.reasons[0]
    beck = rescue(Rescued("beck", "beck"), folder)
    assert beck.answer == "no" and any("a written method for hauling unbraked" in reason for reason in beck.reasons)
    dead_brake = rescue(Rescued("tarn", "wold", "2", "1", "screw"), folder)
    assert dead_brake.answer == "no" and any("from the main reservoir pipe alone" in reason for reason in dead_brake.reasons)


@pytest.mark.parametrize(
    ("edit", "said"),
    [
        (("leaves_from: 217/1", "leaves_from: 226/2"), "would be pushed"),
        (("controls_afterwards: 217/1", "controls_afterwards: 226/2"), "no air to charge a brake pipe"),
    ],
)
def test_a_rescue_is_neither_pushed_nor_led_from_the_dead_unit(edit: tuple[str, str], said: str, tmp_path: Path) -> None:
    path = tmp_path / "job.yaml"
    path.write_text(job_text(SAME).replace(*edit), encoding="utf-8")
    plan = plan_job(path, FLEET)
    assert plan.answer == "no" and any(said in reason for reason in plan.reasons)


@pytest.mark.parametrize(
    ("edit", "said"),
    [
        (("226.main_reservoir: dead", "226.main_reservoir: working"), "nothing says that it is dead"),
        (("226.main_reservoir: dead", "226.main_reservoir: dead, 217.main_reservoir: dead"), "the portion that comes"),
    ],
)
def test_who_is_dead_must_be_said_and_who_comes_must_not_be(edit: tuple[str, str], said: str, tmp_path: Path) -> None:
    path = tmp_path / "job.yaml"
    path.write_text(job_text(SAME).replace(*edit), encoding="utf-8")
    with pytest.raises(InputError) as error:
        plan_job(path, FLEET)
    assert said in str(error.value)


@each_rescue
def test_the_sheet_of_every_rescue_is_printed_with_its_restrictions(rescued: Rescued, folder: Path) -> None:
    plan = rescue(rescued, folder)
    sheet = sheet_of(plan)
    assert render_job_sheet(sheet).startswith(b"%PDF")
    assert any("At most 30 km/h" in text for text in sheet.restrictions)
    assert any(text.startswith("As joined: At most 30 km/h, empty, not propelled.") for text in sheet.cautions)
    by_hand = plan.assembled.task is not None and plan.assembled.task.rescue is not None and plan.assembled.task.rescue.by_hand
    assert any("Springs released by hand: 226" in text for text in sheet.tell_afterwards) == bool(by_hand)


@practice
def test_an_adapter_is_pinned_and_seen_before_anything_moves_and_once_more_with_the_pull_taken(folder: Path) -> None:
    steps = steps_of(rescue(PORT, folder))
    fetched, hung, called = line(steps, "take the adapter"), line(steps, "hang the adapter"), line(steps, "call to 1 m")
    keeper, seen = line(steps, "put the pin keeper of the adapter"), line(steps, "look at the adapter on 217/1: hung")
    assert fetched < hung < keeper < seen < called < line(steps, "couple 217/1 and 226/1 by the adapter")
    again, hose = (
        line(steps, "look at the adapter on 217/1 with the pull taken"),
        line(steps, "join the brake pipe hose of 217/1"),
    )
    assert line(steps, "pull lightly") < again < hose
    assert hose < line(steps, "open the brake pipe cock of the adapter") < line(steps, "open the brake pipe cock of 217/1 slowly")
    assert not any("screw" in step.key for step in steps if step.key.startswith(("hang", "turn", "take the screw")))


def test_no_forecast_is_made_over_an_adapter_with_a_hose_of_its_own(folder: Path) -> None:
    assert train_under_test(rescue(PORT, folder)) is None
    tested = train_under_test(rescue(SAME, folder))
    assert tested is not None and tested.without_air == frozenset({"226"})


@practice
def test_springs_are_filled_by_the_dead_units_air_inlet_where_there_is_one_and_no_reservoir_is_joined(folder: Path) -> None:
    plan = rescue(PORT, folder)
    steps = steps_of(plan)
    joined, opened = (
        line(steps, "join the main reservoir pipe hose of 217/1 to the air inlet"),
        line(steps, "open the main reservoir"),
    )
    waits, off = line(steps, "wait until the gauge of the parking brake's air"), line(steps, "take off the parking brake of 226")
    assert joined < opened < waits < line(steps, "hold the train on a full application") < off
    assert not any("by hand" in step.key for step in steps)
    assert "filling springs by the air inlet takes the live ones to" in sheet_of(plan).opening
    dip = springs_dip(*(train_of(plan).portions()))
    # Boyle by hand: the working pressure in 800 l, then in 800 l and four vehicles' springs of 2.5 l.
    live = main_bar_of(train_of(plan).units[0])
    assert dip is not None and dip.lowest_bar == pytest.approx(((live + 1.01325) * 800 + 1.01325 * 10) / 810 - 1.01325, abs=0.01)


@practice
def test_after_a_rescue_by_screw_all_goes_back_and_springs_released_by_hand_are_asked_for(tmp_path: Path) -> None:
    path = tmp_path / "job.yaml"
    parted = job_text(SAME).replace("work: rescue", "work: detach").replace("make: true", "part: true")
    path.write_text(parted.replace("moving:", "way: screw\nmoving:"), encoding="utf-8")
    plan = plan_job(path, FLEET)
    steps = steps_of(plan)
    assert line(steps, "slacken the screw") < line(steps, "draw away") < line(steps, "put the screw coupling of 217 back")
    assert any("may have been released by hand" in text for text in sheet_of(plan).cautions)


@practice
def test_where_local_rules_allow_pushing_somebody_rides_in_front_whatever_else_they_say(tmp_path: Path) -> None:
    rules = (RULES / "wending-vale.yaml").read_text(encoding="utf-8")
    pushing = rules.replace("propelled: {value: false", "propelled: {value: true")
    pushing = pushing.replace("rides_along: {value: true", "rides_along: {value: false")
    (tmp_path / "push.yaml").write_text(pushing, encoding="utf-8")
    path = tmp_path / "job.yaml"
    job = job_text(SAME).replace("wending-vale", "push.yaml").replace("leaves_from: 217/1", "leaves_from: 226/2")
    path.write_text(job, encoding="utf-8")
    assert line(steps_of(plan_job(path, FLEET)), "ride along in cab 226/2") > 0


def test_the_forecast_of_a_rescue_begins_with_a_unit_that_has_no_air_anywhere(folder: Path) -> None:
    train = train_of(rescue(SAME, folder))
    air, values = train_air_of(train), joint_made(train, frozenset({"226"}))
    openings = train_openings_of(air, train, values)
    pipes = {"217": 3.4, "226": 0.0}
    charge = air_charge_of(air, train, openings, PipePressures(pipes, {"217": 8.5, "226": 0.0}, frozenset({"226"})))
    dead = [pa for (vehicle, _), pa in zip(air.gear.vessels, charge.vessel_pa, strict=True) if vehicle.startswith("226")]
    assert dead and all(pa == pytest.approx(101325.0) for pa in dead)
    cylinders = dict(zip(air.gear.distributors, charge.cylinder_pa, strict=True))
    assert all((pa == 0.0) == vehicle.startswith("226") for vehicle, pa in cylinders.items())


@practice
def test_springs_of_an_empty_unit_are_on_however_their_handle_stands(folder: Path) -> None:
    hand_brakes = ", ".join(["", '226.parking_brake: "off"', *(f'226{number}.hand_brake: "on"' for number in "23")])
    steps = steps_of(rescue(MAIN, folder, hand_brakes))
    assert line(steps, "wait until the main reservoir gauge") < line(steps, "take off the hand brake of 226")
    by_hand = steps_of(rescue(SAME, folder, hand_brakes))
    assert line(by_hand, "release the springs of 2261") > line(by_hand, "hold the train on a full application")
