"""Two people between: the jumpers are the guard's work by these rules, everything else between the shunter's."""

from __future__ import annotations

import re
import tempfile
from functools import cache
from pathlib import Path

import pytest

from headstock.base.errors import OutsideModelError
from headstock.compute.kept_runs import KeptRuns
from headstock.equipment.library import load_fleet
from headstock.local_rules.rules import BUILT_IN
from headstock.reasoning.checker import check
from headstock.reasoning.domain import Domain
from headstock.reasoning.step import Step
from headstock.sheets.compose import sheet_of
from headstock.sheets.job_sheet import render_job_sheet
from headstock.usecases.half_done import point_of
from headstock.usecases.job_mistakes import ready_to_go_wrong
from headstock.usecases.plan_job import JobPlan, plan_job
from headstock.usecases.trade_words import BUILT_IN as BUILT_IN_WORDS
from headstock.usecases.trade_words import load_trade_words
from headstock.usecases.written_instruction import Instruction, read_instruction
from tests.cases.bad_orders import Edit, by_other_hands, leave_out, move, move_after, slip_in
from tests.cases.jobs import DEMO, PART, not_missed
from tests.cases.planted_instructions import HAND_WRITTEN, act
from tests.outside import NO_SOURCE

practice = pytest.mark.outside(source=NO_SOURCE, clause="two people between", status="common practice")
JUMPERS = "  handles_jumpers: {value: [guard, shunter], source: demo}\n"
_FOLDER = Path(tempfile.mkdtemp(prefix="hs-two-between-"))


def _rules(jumpers: str) -> str:
    text = (BUILT_IN / "wending-vale.yaml").read_text(encoding="utf-8")
    text = text.replace("most_between: {value: 1", "most_between: {value: 2").replace("{name} alone goes", "{name} alone go")
    return text.replace("  works_standing_cab:", f"{jumpers}  works_standing_cab:", 1)


@cache
def plan_for_two(job: Path, jumpers: str = JUMPERS) -> JobPlan:
    """The plan of a job with rules that let two be between."""
    (_FOLDER / "two.yaml").write_text(_rules(jumpers), encoding="utf-8")
    path = _FOLDER / job.name
    text = job.read_text(encoding="utf-8").replace("local_rules: wending-vale", "local_rules: two.yaml")
    path.write_text(text, encoding="utf-8")
    return plan_job(path, load_fleet(), KeptRuns())


def order_for_two(job: Path, jumpers: str = JUMPERS) -> tuple[list[Step], Domain]:
    """Its order of work and its domain."""
    plan = plan_for_two(job, jumpers)
    assert plan.order is not None and plan.domain is not None, plan.reasons
    return list(plan.order.steps), plan.domain


def at(steps: list[Step], words: str) -> int:
    return next(number for number, step in enumerate(steps) if re.match(words, step.key))


@practice
@pytest.mark.parametrize("job", [DEMO, PART], ids=lambda path: path.stem)
def test_two_between_are_planned_each_with_an_own_protection(job: Path) -> None:
    steps, domain = order_for_two(job)
    assert check(steps, domain).holds
    jumpers = {step.role for step in steps if "jumper" in step.key}
    hoses = {step.role for step in steps if "hose" in step.key and step.place == "between"}
    assert (jumpers, hoses) == ({"guard"}, {"shunter"})
    for role, whose in (("shunter", ""), ("guard", ", the guard")):
        assured, gone = at(steps, f"assure the {role} .*coupled"), at(steps, f"go between, coupled{whose}$")
        out = max(number for number, step in enumerate(steps) if step.key == f"come out from between{whose}")
        inside = steps[gone:out]
        assert assured < gone and {step.role for step in inside if step.place == "between"} >= {role}
    given = [step for step in steps if step.key.startswith("give the protection back")]
    assert {step.role for step in given} == {"shunter", "guard"}
    assert all(step.effects == ((f"protection/{step.role}", "none"),) for step in given), "given back by that person alone"


@pytest.mark.parametrize("job", [DEMO, PART], ids=lambda path: path.stem)
def test_a_line_left_out_is_missed(job: Path) -> None:
    steps, domain = order_for_two(job)
    assert not_missed(steps, domain) == []


_SECOND_IN, _SECOND_OUT = r"^go between, coupled, the guard", r"^(come out from between|give the protection back), the guard"
THIRD = act("go between as well", "driver", "joint", goes_to="between")
# What is done wrong; where and of what the checker complains; why. Written before any of it was checked.
BAD: dict[str, tuple[Path, Edit, str, str, str]] = {
    "the second one in on the first one's protection": (
        DEMO, leave_out(r"^assure the guard"), "go between, coupled, the guard", "constraint:between-protected",
        "the shunter gives it back over the guard's head"),
    "the second one's protection given back by the first": (
        DEMO, by_other_hands(r"^give the protection back, the guard", "shunter"), "give the protection back, the guard",
        "unknown step:give the protection back, the guard", "only who was protected knows that he is out"),
    "given back by the second one still between": (
        DEMO, move(r"^give the protection back, the guard", r"^come out from between, the guard"),
        "give the protection back, the guard", "constraint:between-protected", "the driver may move with him in"),
    "drawn away with the second one between": (
        PART, move_after(_SECOND_OUT, r"^call to draw away"), "call to draw away", "constraint:movement-clear",
        "one has come out and the other has not"),
    "drawn away with one protection not given back": (
        PART, leave_out(r"^give the protection back, the guard"), "call to draw away", "need:protection/guard=none",
        "nobody knows whether the second is out"),
    "the first one's word taken for both": (
        PART, leave_out(_SECOND_OUT), "call to draw away", "constraint:movement-clear", "two went in, one came out"),
    "supply on with the second at the jumper": (
        DEMO, slip_in(act("switch it on already", "driver", "cab 217/2", ("217.supply", "on")), _SECOND_IN),
        "take the jumper", "constraint:jumper-dead", "the plug in his hand is live"),
    "a valve freed when the first is out": (
        DEMO, slip_in(act("unlock it already", "driver", "cab 217/2", ("217/2.brake_valve", "full")), _SECOND_IN),
        "unlock it already", "constraint:between-still", "the second is still at the plug"),
    "a third one goes in": (
        DEMO, slip_in(THIRD, _SECOND_IN), "go between as well", "constraint:between-protected", "the rules say two"),
}  # fmt: skip


@practice
@pytest.mark.parametrize("name", BAD)
def test_a_bad_order_with_two_between_is_named(name: str) -> None:
    job, edit, step, about, _ = BAD[name]
    steps, domain = order_for_two(job)
    edited = edit(list(steps))
    assert edited != steps
    found = [(hole.step, f"{hole.kind}:{hole.about}") for hole in check(edited, domain).holes]
    assert any(re.match(step, at_step) and about == told for at_step, told in found), found


@practice
def test_a_hand_written_order_with_a_second_one_between_is_judged_where_no_duty_asks_for_one() -> None:
    """The rules allow two and give the second no work: the planner sends one, a written instruction may send two."""
    steps, domain = order_for_two(DEMO, "")
    assert not any(step.key.endswith(", the guard") for step in steps)
    own = {step.key: step for step in domain.steps}
    first = at(steps, "go between, coupled")
    stay = [own[key] for key in ("assure the guard that the brake is on and locked, coupled", "go between, coupled, the guard",
                                 "come out from between, the guard", "give the protection back, the guard")]  # fmt: skip
    told = own["tell the guard: pulled, no gap, the couple holds"]
    right = [*steps[:first], told, *stay[:2], *steps[first : first + 3], *stay[2:], *steps[first + 3 :]]
    assert check(right, domain).holds, check(right, domain).holes
    unprotected = [step for step in right if step is not stay[0]]
    assert any(hole.about == "between-protected" for hole in check(unprotected, domain).holes)


@pytest.mark.parametrize("job", [DEMO, PART], ids=lambda path: path.stem)
def test_sheet_and_mistakes_of_two_between(job: Path) -> None:
    plan = plan_for_two(job)
    assert render_job_sheet(sheet_of(plan)).startswith(b"%PDF")
    going, reasons = ready_to_go_wrong(plan)
    assert going is not None, reasons
    agreed = next(step for step in going.order if step.key.startswith("agree"))
    assert "J. Tolk and P. Oad" in agreed.said[0].words


def _written_for_two() -> str:
    """The hand-written instruction, its jumper handed to the guard: nothing is said of "the second"."""
    lines = HAND_WRITTEN.read_text(encoding="utf-8").splitlines()
    lines = [line.replace("Shunter:", "Guard:") if "jumper of 226/1" in line else line for line in lines]
    # The guard saw the supply off and does not tell it; nor that the jumper is in.
    lines = [line for line in lines if "tell the guard: jumper" not in line and "electric supply of 226 off" not in line]
    second = next(number for number, line in enumerate(lines) if "assure the shunter" in line and "coupled" in line)
    lines[second + 1 : second + 1] = ["Shunter: tell the guard: pulled, no gap, the couple holds",
                                      "Driver: assure the guard that the brake is on and locked, coupled",
                                      "Guard: go between, coupled"]  # fmt: skip
    tug = next(number for number, line in enumerate(lines) if "tug the jumper" in line)
    lines[tug + 1 : tug + 1] = ["Guard: come out from between", "Guard: give the protection back"]
    return "\n".join(lines)


def _read(text: str, name: str) -> Instruction:
    plan, path = plan_for_two(DEMO), _FOLDER / f"{name}.txt"
    path.write_text(text, encoding="utf-8")
    task = plan.assembled.task
    assert task is not None and plan.domain is not None
    return read_instruction(path, plan.domain, task.train, load_trade_words(BUILT_IN_WORDS))


@practice
def test_a_hand_written_instruction_with_two_between_is_understood_and_has_no_hole() -> None:
    written, (_, domain) = _read(_written_for_two(), "right"), order_for_two(DEMO)
    assert written.count("sure") == len(written.order), [line for line in written.order if not isinstance(line, Step)]
    assert check(written.order, domain).holds, check(written.order, domain).holes


@practice
def test_one_who_forgets_to_assure_the_second_in_writing_is_told_at_the_line() -> None:
    text = "\n".join(line for line in _written_for_two().splitlines() if "assure the guard" not in line)
    holes = check(_read(text, "forgotten").order, order_for_two(DEMO)[1]).holes
    assert ("go between, coupled, the guard", "between-protected") in {(hole.step, hole.about) for hole in holes}


def test_two_between_are_proved_the_cheapest_within_the_same_budget() -> None:
    """Found once without any bound for a second entry, in 1016 states; one reading of 8 s has come in since."""
    order = plan_for_two(DEMO).order
    assert order is not None and order.proved_best and order.cost_s == pytest.approx(2323.5)
    assert order.expanded < 900


def test_a_stop_is_worked_out_only_once_the_second_is_out() -> None:
    plan = plan_for_two(PART)
    assert plan.order is not None
    steps = list(plan.order.steps)
    given = at(steps, "assure the guard") + 1
    with pytest.raises(OutsideModelError, match="second person between"):
        point_of(plan, given)
    assert point_of(plan, given - 1).state["protection/guard"] == "none"
    back = at(steps, "give the protection back, the guard") + 1
    assert point_of(plan, back).state["protection/guard"] == "none"
