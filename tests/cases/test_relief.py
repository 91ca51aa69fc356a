"""A half-done job handed to a relief: the checker accepts handing over and the rest; what is left out of it is refused."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from headstock.base.errors import InputError
from headstock.reasoning.checker import check
from headstock.usecases.plan_job import JobPlan
from headstock.usecases.relieve_job import JobRelieved, relieve_job
from tests.cases.couplings import PAIRS, PARTED, Pair, coupling
from tests.cases.half_done import line_after
from tests.cases.jobs import DEMO, PART, planned

practice = pytest.mark.outside(source="common practice, no source", clause="relief of a half-done job", status="common practice")


def relieved_at(words: str, role: str, path: Path = DEMO) -> JobRelieved:
    plan = planned(path)
    found = relieve_job(plan, line_after(plan, words), role, "T. Wray")
    assert found.answer == "yes", found.reasons
    return found


def every_relief_goes_on(plan: JobPlan, at_each: int, begin: int = 0) -> int:
    """Each role relieved after every so many lines; returns how often."""
    assert plan.order is not None and plan.assembled.task is not None, plan.reasons
    tried = 0
    for role in plan.assembled.task.crew:
        for line in range(begin, len(plan.order.steps) + 1, at_each):
            found = relieve_job(plan, line, role, "T. Wray")
            assert found.answer == "yes", (role, line, found.reasons)
            assert check(found.steps, found.domain).holes == ()
            tried += 1
    return tried


def test_any_role_is_relieved_at_points_all_along_a_job() -> None:
    assert every_relief_goes_on(planned(DEMO), 36, 20) == 9


@pytest.mark.slow
@pytest.mark.parametrize("path", [DEMO, PART], ids=lambda path: path.stem)
def test_any_role_is_relieved_after_any_line(path: Path) -> None:
    assert every_relief_goes_on(planned(path), 1) > 200


@pytest.mark.slow
@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: pair.name)
@pytest.mark.parametrize("work", ["attach", "detach"])
def test_any_role_is_relieved_in_every_family(pair: Pair, work: str, tmp_path: Path) -> None:
    if work == "detach" and pair not in PARTED:
        pytest.skip("has no parting: no cab at its rear")
    assert every_relief_goes_on(coupling(pair, work, tmp_path), 9) >= 5


@practice
def test_who_is_between_comes_out_and_gives_back_before_and_the_relief_is_protected_anew() -> None:
    found = relieved_at("join the brake pipe hoses", "shunter")
    assert [step.key for step in found.ready][-2:] == ["come out from between", "give the protection back"]
    taken = next(number for number, step in enumerate(found.steps) if step.key.startswith("take over as"))
    assured = next(number for number, step in enumerate(found.steps) if step.key.startswith("assure the shunter"))
    assert taken < assured
    assert "T. Wray" in found.steps[assured].said[0].words


@practice
def test_nobody_goes_between_on_a_protection_taken_over() -> None:
    found = relieved_at("join the brake pipe hoses", "shunter")
    steps = tuple(step for step in found.steps if not step.key.startswith("assure the shunter"))
    holes = {(hole.kind, hole.about) for hole in check(steps, found.domain).holes}
    assert ("need", "protection/shunter=given") in holes
    assert ("constraint", "between-protected") in holes


@practice
def test_the_relief_of_whoever_watches_holds_looks_at_hand_brakes_himself() -> None:
    plan = planned(PART)
    found = relieve_job(plan, line_after(plan, "watch the whole train"), "shunter", "T. Wray")
    assert "hand brake of 2263 on" in found.looked_at
    assert not any("hand brake" in words for words in found.told)
    steps = tuple(step for step in found.steps if step.key != "look at the braked wheels of 2263")
    assert len(steps) < len(found.steps)
    assert ("knowledge", "2263.hand_brake=on") in {(hole.kind, hole.about) for hole in check(steps, found.domain).holes}


@practice
def test_told_only_half_is_refused() -> None:
    found = relieved_at("join the main reservoir pipe hoses", "driver")
    number = next(number for number, step in enumerate(found.steps) if step.key.startswith("hand over by word"))
    handing = found.steps[number]
    half = replace(handing, tells=handing.tells[:1], knows=handing.knows[:1])
    domain = replace(found.domain, steps=(*found.domain.steps, half))
    holes = check((*found.steps[:number], half, *found.steps[number + 1 :]), domain).holes
    missing = {f"{key}={value}" for key, value in handing.tells[1:]}
    assert missing and missing <= {hole.about for hole in holes if hole.kind == "knowledge"}


@practice
def test_what_the_one_going_off_only_heard_is_told_by_who_saw_it() -> None:
    found = relieved_at("watch the pull", "shunter")
    assert ("guard", "brake valve of 226/2 shut and locked") in found.told_anew
    assert "brake valve of 226/2 shut and locked" not in found.told


@practice
def test_a_test_under_way_is_begun_anew_by_who_drives_and_goes_on_with_another_shunter() -> None:
    driver, shunter = (relieved_at("test, front fallen", role) for role in ("driver", "shunter"))
    assert any("void" in note for note in driver.notes)
    assert any(step.key.startswith("test, charged") for step in driver.steps)
    assert not any("void" in note for note in shunter.notes)
    assert not any(step.key.startswith("test, charged") for step in shunter.steps)


@practice
def test_a_board_changes_hand_for_hand() -> None:
    from headstock.usecases.job_file import JOBS_FOLDER

    plan = planned(JOBS_FOLDER / "second-attach.yaml")
    found = relieve_job(plan, 3, "guard", "T. Wray")
    assert found.answer == "yes", found.reasons
    order = [step.key for step in found.steps]
    changed = next(number for number, key in enumerate(order) if key.startswith("change the board of 508"))
    off = next(number for number, key in enumerate(order) if key.startswith("take off the board of 508"))
    assert changed < off and found.steps[changed].role == "guard going off"


def test_nothing_is_done_before_the_relief_has_taken_over() -> None:
    found = relieved_at("call to couple", "driver")
    taken = next(number for number, step in enumerate(found.steps) if step.key.startswith("take over as"))
    assert not any(step.effects for step in found.steps[:taken])
    assert found.ready[-1].key == "take the call back: no movement"


def test_a_role_that_nobody_has_is_named_with_what_there_is() -> None:
    with pytest.raises(InputError, match="nobody of this job has that role"):
        relieve_job(planned(DEMO), 3, "fireman", "T. Wray")


def test_facts_told_are_few_once_the_ends_have_met() -> None:
    found = relieved_at("join the brake pipe hoses", "shunter")
    assert not any(re.search("head pin|buffers", words) for words in found.told)
