"""Mistakes of the trade that no run of the model shows and another part of the program tells: checker, joinability, test.

Some answers are that nothing tells: then the test says so, and where else it is said.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from headstock.devices.scene import AUTHORITY
from headstock.local_rules.tests_due import RUNNING_TEST_BLIND
from headstock.reasoning.checker import check
from headstock.reasoning.domain import Domain
from headstock.reasoning.step import Step
from headstock.usecases.told_afterwards import told_afterwards
from headstock.usecases.which_tests import which_tests
from tests.cases.bad_orders import Edit, Order, leave_out, move, slip_in
from tests.cases.in_the_air import forecast
from tests.cases.jobs import ALONE, DEMO, PART, order_of, planned
from tests.cases.other_answers import FLEET, due, joined
from tests.cases.part_made import Found, order_from
from tests.cases.planted_instructions import act
from tests.cases.rescues import PORT, SAME, Rescued, rescue
from tests.cases.test_brakes_found_on import with_lines
from tests.outside import NO_SOURCE

practice = pytest.mark.outside(source=NO_SOURCE, clause="coupling and parting", status="common practice")
COCK = "226/1.brake_pipe_cock"


def named(order: tuple[Sequence[Step], Domain], edit: Edit, step: str, about: str) -> bool:
    """Whether the checker names a hole of this sort at a step of this sort, and the right order has none."""
    steps, domain = order
    assert check(steps, domain).holds
    edited = edit(list(steps))
    assert edited != list(steps)
    return any(re.match(step, hole.step) and f"{hole.kind}:{hole.about}" == about for hole in check(edited, domain).holes)


@practice
def test_heads_of_unlike_contacts_are_not_to_be_mated_and_joinability_says_so() -> None:
    said = joined("gale/1", "holm/1")
    assert "head of holm/1 locked back" in said and "level='mechanical and automatic brake'" in said


@practice
def test_an_adapter_that_fits_another_face_is_not_taken() -> None:
    """A wold carries one for face L; a beck has face M."""
    assert "neither unit carries one" in joined("wold/1", "beck/1")
    assert "neither unit carries one" not in joined("wold/1", "gale/1")


@practice
def test_a_head_left_free_where_it_is_not_used_is_named() -> None:
    found = order_from(Found("attach", "110", 2, "without_wires: true"))
    assert named(found, leave_out("^lock the electrical head of 604"), "end", "end state:604/1.electrical_head=locked back")


@practice
def test_loops_through_an_open_head_are_named() -> None:
    found = order_from(Found("attach", "110", 2, "without_wires: true"))
    assert named(found, leave_out("^end the loops of 604"), ".*", "constraint:loops-ended")


@practice
def test_a_driver_alone_who_sounds_no_horn_is_named() -> None:
    edit = leave_out("^sound the horn, look ahead, to couple")
    assert named(order_of(ALONE, by_air=True), edit, "couple 611/2 and 604/1", "need:authority=couple")


@practice
def test_going_in_on_anothers_protection_is_named() -> None:
    edit = slip_in(act("go between as well", "guard", "joint", goes_to="between"), "^go between, coupled")
    assert named(order_of(DEMO), edit, "go between as well", "constraint:between-protected")


@practice
def test_somebody_who_walks_through_the_gap_is_named() -> None:
    edit = slip_in(act("walk through the gap", "guard", "joint", goes_to="between"), "^look at both sides of the joint, 0.6")
    assert named(order_of(DEMO), edit, "walk through the gap", "constraint:between-protected")


def _crossed(order: Order) -> Order:
    """The brake pipe hose of one end on the main reservoir hose of the other."""
    effects = (("217/2.brake_pipe_hose", "joined"), ("226/1.main_reservoir_pipe_hose", "joined"))
    crossed = Step("join two hoses that do not belong together", "shunter", "between", effects=effects)
    return [crossed if step.key.startswith("join the brake pipe hoses") else step for step in order]


@practice
def test_hoses_of_two_pipes_joined_to_one_another_are_named() -> None:
    assert named(order_of(DEMO), _crossed, "open the brake pipe cock of 226/1", "constraint:live-hose")
    main = "need:226/1.main_reservoir_pipe_hose=hanging"
    assert named(order_of(DEMO), _crossed, "join the main reservoir pipe hoses", main)


@practice
def test_bleeding_is_no_step_and_the_shut_cock_is_still_named() -> None:
    bleed = act("bleed the brakes of 226", "guard", "beside 226", ("226.brake_pipe", "charged"))

    def edit(order: Order) -> Order:
        return slip_in(bleed, "^test, charged")(leave_out(rf"^open the brake pipe cock of {COCK[:5]}")(order))

    assert named(order_of(DEMO), edit, "bleed the brakes", "unknown step:bleed the brakes of 226")
    assert named(order_of(DEMO), edit, "end", f"end state:{COCK}=open")
    assert "full" in due("brakes bled by hand")


@practice
def test_drawing_away_without_the_stop_is_named() -> None:
    def edit(order: Order) -> Order:
        return [replace(step, effects=tuple(fact for fact in step.effects if fact[0] != AUTHORITY))
                if step.key.startswith("draw away") else step for step in order]  # fmt: skip

    assert named(order_of(PART), edit, "end", f"end state:{AUTHORITY}=none")


@practice
def test_the_leaving_portion_not_tested_is_named() -> None:
    assert named(order_of(PART), leave_out("^test, "), "end", "end state:brake_test=rear restored")


@practice
def test_a_cab_left_on_air_alone_is_named() -> None:
    edit = move(r"look at the outer end 217/1|lamp of 217/1", r"tell the driver: brake pipe cock")
    assert named(order_of(DEMO, by_air=True), edit, ".*217/1", "constraint:between-held")


@practice
def test_a_cock_shut_after_the_test_voids_it_and_a_new_one_is_due() -> None:
    edit = slip_in(act("shut the cock in passing", "shunter", "joint", (COCK, "shut")), "^try the bell")
    assert named(order_of(DEMO), edit, "end", "end state:brake_test=rear restored")
    assert "continuity" in due("cock touched")


@practice
def test_a_test_is_due_after_parting_in_the_middle() -> None:
    assert "continuity" in due("detached in the middle")


@practice
def test_a_running_test_says_what_hides_it() -> None:
    result = which_tests(["standing test passed"], [], None, None, FLEET).result
    assert [one.test for one in result.due] == ["running"]
    assert RUNNING_TEST_BLIND in str(result)


@practice
def test_an_isolated_brake_passes_the_test_and_is_said_elsewhere(tmp_path: Path) -> None:
    """All readings are good, as the method itself says; the sheet warns, and a full test is due."""
    assert all(forecast({"2262.automatic_brake": "isolated"}).values())
    path = with_lines(DEMO, "  2262.automatic_brake: isolated", tmp_path)
    task = planned(path, by_air=True).assembled.task
    assert task is not None and "A vehicle whose own brake is cut out." in task.method.cannot_show
    assert "full" in due("brake isolated")


@practice
def test_what_is_told_afterwards_has_the_order_of_units_and_isolated_brakes(tmp_path: Path) -> None:
    task = planned(with_lines(DEMO, "  2262.automatic_brake: isolated", tmp_path), by_air=True).assembled.task
    assert task is not None
    told = {line.what: line.value for line in told_afterwards(task)}
    assert told["order of units"] == "217, 226" and told["brakes isolated"] == "2262"


@practice
def test_a_missing_seal_is_met_by_the_readings_or_is_not_as_the_method_says() -> None:
    """5 mm2 is made up by the feed and falls unmeasured, which the method says of itself; 60 mm2 lets nothing charge."""
    assert all(forecast({}, leak_m2=5e-6).values())
    task = planned(DEMO, by_air=True).assembled.task
    assert task is not None and any("A leak" in words for words in task.method.cannot_show)
    great = forecast({}, leak_m2=60e-6)
    assert not great["Charged, rear"] and not great["Restored, rear"]


@practice
def test_a_kinked_hose_is_met_by_the_rear_gauge_at_its_time() -> None:
    """1 mm2 for a unit's pipe and reservoirs, some 250 l: about 0.0014 kg/s against 1.5 kg, far longer than the wait."""
    kinked = forecast({}, gate=0.002)
    assert not kinked["Charged, rear"] and not kinked["Applied, front"]
    assert all(forecast({}, gate=0.5).values())


def _rescue(rescued: Rescued, folder: Path) -> tuple[Sequence[Step], Domain]:
    plan = rescue(rescued, folder)
    assert plan.order is not None and plan.domain is not None, plan.reasons
    return plan.order.steps, plan.domain


@practice
def test_scotches_taken_away_too_early_are_named(tmp_path: Path) -> None:
    edit = move(r"^take the scotches away", r"^test, charged")
    assert named(_rescue(SAME, tmp_path), edit, "take the scotches away", "constraint:scotches-last")


@practice
def test_an_adapters_pin_that_is_not_home_is_named(tmp_path: Path) -> None:
    edit = leave_out(r"^push the pin of the adapter|^put the pin keeper of the adapter")
    assert named(_rescue(PORT, tmp_path), edit, ".*", "constraint:adapter-pinned")
