"""Accidents as cases, named after what went wrong: would the checker have named the hole, at its step?

Twelve mechanisms were chosen beforehand. Those that an order of work shows are checked on the hand-written instruction, on a
parting or on how things are found; for those that no order catches a test shows what would have told, so that nobody counts
them as caught.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from headstock.reasoning.checker import check
from headstock.reasoning.run import Complaint
from headstock.reasoning.step import Step
from headstock.usecases.found_cautions import found_cautions
from tests.cases.bad_orders import Edit, leave_out, slip_in
from tests.cases.in_the_air import after_a_crimped_break, demo_train, forecast
from tests.cases.jobs import DEMO, PART, SECOND, order_of, planned
from tests.cases.other_answers import due, joined
from tests.cases.other_jobs import RESCUE
from tests.cases.planted_instructions import act
from tests.cases.test_brakes_found_on import with_lines
from tests.cases.test_planted_instructions import hand_written

SHOWN: dict[str, str] = {
    "a cock closed after the test had been passed": "test_a_cock_closed_after_the_test_makes_the_test_void",
    "a cock left shut and the brake not tested after shunting": "test_a_shut_cock_and_no_test_are_both_named",
    "wagons left with no brake on when the locomotives came off": "test_a_portion_left_without_a_brake_is_named",
    "too few hand brakes for the gradient": "test_too_few_hand_brakes_for_the_gradient_are_named_before_anything_moves",
    "left standing on trapped air": "test_trapped_air_holds_nothing",
    "the hold taken off before the brakes were changed over": "test_the_hold_is_not_taken_off_before_the_next_one_is_proved",
    "a coupling that was not seated": "test_a_coupling_that_nobody_looked_at_or_pulled_is_named",
    "somebody between two units about to couple": "test_a_call_to_couple_without_a_look_and_a_person_in_the_gap_are_named",
    "a failed unit hauled with its brakes cut out": "test_hauling_without_a_brake_is_said_before_anything_is_joined",
}
"""An order of work, or the answer before it, names the hole."""
NO_PLAN_CATCHES: dict[str, tuple[str, str]] = {
    "a pipe blocked on the road, seen only in the flow": (
        "test_a_pipe_blocked_at_the_test_is_met_and_one_blocked_later_only_by_a_running_test",
        "it began after a good test; watching the flow is finding faults, not an instruction",
    ),
    "a hose that struck, broke and was crimped shut on the road": (
        "test_behind_a_crimped_break_the_pipe_stays_charged",
        "it began after a good test; the driver's gauge falls and the rear is not braked",
    ),
    "half the vehicles without brake force": (
        "test_half_the_brakes_cut_out_pass_the_test_and_are_said_elsewhere",
        "the method reads the pipe at its rear and no cylinder: only a full test counts vehicles",
    ),
}
"""No order of work catches these: with the test that shows what would have told, and why the order does not."""


def outside(source: str, clause: str) -> pytest.MarkDecorator:
    return pytest.mark.outside(source=source, clause=clause, status="second-hand")


def complaints(edit: Edit) -> tuple[Complaint, ...]:
    order = edit(hand_written())
    assert order != hand_written()
    return check(order, order_of(DEMO, by_air=True)[1]).complaints


def named(found: tuple[Complaint, ...], step: str, about: str) -> bool:
    return any(re.match(step, c.step) and f"{c.kind}:{c.about}" == about for c in found)


def test_the_twelve_are_counted_and_none_twice() -> None:
    assert (len(SHOWN), len(NO_PLAN_CATCHES)) == (9, 3)
    assert not SHOWN.keys() & NO_PLAN_CATCHES.keys()
    assert all(name in globals() for name in (*SHOWN.values(), *(name for name, _ in NO_PLAN_CATCHES.values())))
    assert all(len(reason) > 20 for _, reason in NO_PLAN_CATCHES.values())


@outside("RAIB 05/2020", "cock closed while splitting, after the continuity test")
def test_a_cock_closed_after_the_test_makes_the_test_void() -> None:
    cock = "226/1.brake_pipe_cock"
    shut = slip_in(act("shut the cock in passing", "shunter", "joint", (cock, "shut")), r"try the bell")
    found = complaints(shut)
    assert named(found, "hold the train", "need:brake_test=rear restored")
    assert named(found, "end", "end state:brake_test=rear restored")
    assert named(found, "end", f"end state:{cock}=open")
    # Putting it back does not bring the test back.
    back = slip_in(act("open it again", "shunter", "joint", (cock, "open")), r"shut the cock in passing")
    again = complaints(lambda order: back(shut(order)))
    assert named(again, "end", "end state:brake_test=rear restored")
    assert not named(again, "end", f"end state:{cock}=open")


@outside("Durrenast 2006", "cock left shut, brake test not made as it should have been")
def test_a_shut_cock_and_no_test_are_both_named() -> None:
    found = complaints(leave_out(r"open the brake pipe cock of 226/1|brake pipe cock of 226/1 open|^test, |: test: "))
    assert named(found, "open the brake pipe cock of 217/2", "need:226/1.brake_pipe_cock=open")
    assert named(found, "hold the train", "need:brake_test=rear restored")
    assert named(found, "end", "end state:226/1.brake_pipe_cock=open")
    assert named(found, "end", "end state:brake_test=rear restored")
    # With the test made as written the shut cock is met there, before any hold comes off.
    tested = complaints(leave_out(r"open the brake pipe cock of 226/1|brake pipe cock of 226/1 open"))
    first = next(c for c in tested if c.step.startswith("test, charged") and c.kind in ("need", "knowledge"))
    off = next(n for n, step in enumerate(hand_written(), start=1) if step.key.startswith("take off the parking brake"))
    assert first.line < off


@outside("TSB R11Q0056", "35 hand brakes on, 57 needed")
def test_too_few_hand_brakes_for_the_gradient_are_named_before_anything_moves(tmp_path: Path) -> None:
    too_few = with_lines(SECOND, '  5081.hand_brake: "on"\n  5082.hand_brake: "off"', tmp_path)
    answer = planned(too_few)
    assert any("508 is not held" in text for text in answer.as_found)
    steps, _ = order_of(SECOND)
    found = check(steps, order_of(too_few)[1])
    assert [c.about for c in found.as_found] == ["portion-held"]
    assert any(c.about == "5082.hand_brake=on" for c in found.holes), "an instruction for two brakes finds one"
    assert sum(step.key.startswith("screw on the hand brake of 508") for step in order_of(too_few)[0]) == 1


@outside("TSB R95M0072", "vehicles left on an application behind a shut cock")
def test_trapped_air_holds_nothing(tmp_path: Path) -> None:
    found = with_lines(DEMO, '  226.parking_brake: "off"', tmp_path)
    steps, domain = order_of(found)
    assert domain.start["226.brake_pipe"] != "charged", "its air brake is on"
    assert [c.about for c in check(steps, domain).as_found] == ["portion-held"]
    assert check(steps, domain).holds
    trusting = [step for step in steps if not step.key.startswith("put on the parking brake of 226")]
    assert any(c.about == "226.parking_brake=on" for c in check(trusting, domain).holes)


@outside("RAIB digest 01/2017", "parking brakes isolated and not scotched before the attached vehicle was reconfigured")
def test_the_hold_is_not_taken_off_before_the_next_one_is_proved() -> None:
    early = act("take the parking brake off to change over", "guard", "cab 226/2", ("226.parking_brake", "off"))
    found = complaints(slip_in(early, r"open the main reservoir pipe cock of 217/2"))
    assert named(found, "take the parking brake off", "constraint:between-held")
    assert named(found, "test, charged", "need:226.parking_brake=on")


@outside("Helsinki 2010", "screw coupling not seated in the hook, brakes released on the coaches")
def test_a_coupling_that_nobody_looked_at_or_pulled_is_named() -> None:
    unlooked = complaints(leave_out(r"look at the lock"))
    assert named(unlooked, "tell the driver: couple", "knowledge:couple=locked")
    unpulled = complaints(leave_out(r"call for a light pull|pull lightly|watch the pull"))
    assert named(unpulled, "go between, coupled", "knowledge:couple.pulled=held")
    assert named(unpulled, "join the brake pipe hoses", "constraint:couple-proved")
    let_off = Step("let the brakes off", "guard", "cab 226/2", effects=(("226.parking_brake", "off"),))
    assert named(complaints(slip_in(let_off, r"^couple ")), "let the brakes off", "constraint:portion-held")


@outside("RAIB 09/2020", "driver walked between two units as one moved to couple")
def test_a_call_to_couple_without_a_look_and_a_person_in_the_gap_are_named() -> None:
    unlooked = complaints(leave_out(r"look at both sides of the joint, 0\.6 m"))
    assert named(unlooked, "call to couple", "knowledge:joint_clear=seen")
    through = act("walk through the gap", "guard", "joint", goes_to="between")
    found = complaints(slip_in(through, r"call to couple"))
    assert named(found, "walk through the gap", "constraint:between-protected")
    assert named(found, "walk through the gap", "constraint:movement-clear")


@outside("NTSB RAR-89/05", "locomotives uncoupled, vehicles left with neither emergency nor hand brakes")
def test_a_portion_left_without_a_brake_is_named() -> None:
    steps, domain = order_of(PART)
    left = leave_out(
        r"^put on the parking brake of 226|hand brake of 226|braked wheels of 226|^watch the whole|parking brake of 226 on"
    )
    found = check(left(list(steps)), domain).complaints
    assert named(found, "charge the whole train", "constraint:portion-held")
    assert named(found, "let the brake pipe of 217 and 226 down", "need:226.hold=proved")
    assert named(found, "call to draw away", "need:226.parking_brake=on")
    assert named(found, "end", "end state:226.hold=proved")
    held = [c for c in found if c.about == "portion-held"]
    away = next(n for n, step in enumerate(left(list(steps)), start=1) if step.key.startswith("draw away"))
    assert held[0].line < away


@outside("RAIB 09/2011", "dead unit's brakes cut out, coupler broke, run back")
def test_hauling_without_a_brake_is_said_before_anything_is_joined(tmp_path: Path) -> None:
    """Said by joinability and cautions; a rescue asks for scotches before its brake is touched and for somebody who rides."""
    said = joined("beck/1", "tarn/1")
    assert "hauling unbraked" in said and "no brake across the joint" in said
    dead = with_lines(DEMO, "".join(f"  226{n}.automatic_brake: isolated\n" for n in (1, 2, 3)).rstrip(), tmp_path)
    task = planned(dead, by_air=True).assembled.task
    assert task is not None and not task.opens_on_air
    assert sum("found isolated" in text and "does not brake" in text for text in found_cautions(task)) >= 1
    assert "continuity" in due("rescue coupled")
    steps, domain = order_of(RESCUE)
    unsecured = check(leave_out(r"^lay scotches|^take the scotches")(list(steps)), domain).holes
    assert named(unsecured, "pull the release cord", "constraint:dead-secured")
    ridden = check(leave_out(r"^ride along")(list(steps)), domain).holes
    assert {hole.kind for hole in ridden} >= {"end state"}, "nobody who could stop it if the couple breaks"


@outside("TSB R18E0007", "27 of 58 vehicles not braked")
def test_half_the_brakes_cut_out_pass_the_test_and_are_said_elsewhere() -> None:
    assert all(forecast({f"{unit}{n}.automatic_brake": "isolated" for unit, n in (("217", 2), ("226", 1), ("226", 2))}).values())
    task = planned(DEMO, by_air=True).assembled.task
    assert task is not None and "A vehicle whose own brake is cut out." in task.method.cannot_show
    assert "full" in due("brake isolated")


@outside("Granite Canyon 2018", "flow restricted between cars, emergency did not reach the rear")
def test_a_pipe_blocked_at_the_test_is_met_and_one_blocked_later_only_by_a_running_test() -> None:
    at_the_test = forecast({}, gate=0.002)
    assert not at_the_test["Charged, rear"] and not at_the_test["Applied, front"]
    assert "Anything touched after the last stage." in demo_train().method.cannot_show
    assert due("standing test passed") == ["running"]


@outside("Braz 2010", "pipe broken, the rear part's end crimped shut")
def test_behind_a_crimped_break_the_pipe_stays_charged() -> None:
    """Five seconds after the break the front pipe is all but empty and the rear one as it was."""
    front_bar, rear_bar = after_a_crimped_break(5.0)
    assert front_bar < 0.5 and rear_bar > 4.8
    assert due("standing test passed") == ["running"]
