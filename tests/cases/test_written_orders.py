"""An order written by hand for each family passes the check, and a line left out of it is missed."""

from __future__ import annotations

import pytest

from headstock.procedures.work import domain_of
from headstock.reasoning.checker import check
from headstock.reasoning.run import Run, Verdicts
from headstock.reasoning.step import Step
from tests.cases.bad_orders import move
from tests.cases.written_orders import SECOND_LOOKS, WRITTEN, WrittenOrder, checked

practice = pytest.mark.outside(source="common practice, no source", clause="order by family", status="common practice")
each = pytest.mark.parametrize("order", WRITTEN, ids=lambda order: order.text)


@practice
@each
def test_an_order_written_by_hand_is_understood_and_has_no_hole(order: WrittenOrder) -> None:
    found = checked(order)
    assert found.instruction is not None and found.result is not None
    words = found.instruction
    assert (words.count("sure"), words.count("doubtful"), words.count("none")) == (order.lines, 0, 0)
    assert [complaint.text for complaint in found.result.holes] == []
    assert len(found.result.complaints) == order.as_found
    assert found.holds


@practice
@each
def test_each_line_left_out_is_missed_but_the_second_looks(order: WrittenOrder) -> None:
    found = checked(order)
    assert found.instruction is not None and found.assembled.task is not None
    steps = [step for step in found.instruction.order if isinstance(step, Step)]
    domain, judged = domain_of(found.assembled.task), dict[tuple[str, ...], Verdicts]()
    idle = []
    for number, left_out in enumerate(steps):
        run = Run.begin(domain, judged)
        for line, step in enumerate([*steps[:number], *steps[number + 1 :]], start=1):
            run.follow(line, step)
        run.judge_end(len(steps))
        if not any(complaint.line for complaint in run.complaints):
            idle.append(left_out.key)
    print(order.text, idle)
    assert idle == list(SECOND_LOOKS.get(order.text, ()))


@practice
def test_in_a_parting_need_and_rule_speak_when_the_lock_is_lifted_with_the_leaving_brake_off() -> None:
    """Lifting the lock asks for that brake, and `portion-held` says it of the state."""
    found = checked(next(order for order in WRITTEN if order.text == "part-drop-heads"))
    assert found.instruction is not None and found.assembled.task is not None
    steps = [step for step in found.instruction.order if isinstance(step, Step)]
    early = move("^lift the lock|^look from the side", "^make a full application, wait")(steps)
    complaints = check(early, domain_of(found.assembled.task)).complaints
    assert [(c.kind, c.about, c.step.split(" of ")[0]) for c in complaints] == [
        ("need", "217.brake_pipe=drawn", "lift the lock"), ("constraint", "portion-held", "lift the lock")]  # fmt: skip
