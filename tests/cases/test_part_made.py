"""From every part-made state an order of work that the checker holds; bad ones refused for the reason written by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.compute.kept_runs import KeptRuns
from headstock.procedures.part_made_constraints import part_made_constraints
from headstock.reasoning.checker import check
from headstock.reasoning.mistake_study import study
from headstock.reasoning.mistakes import single_mistakes
from headstock.sheets.compose import sheet_of
from headstock.sheets.job_sheet import render_job_sheet
from headstock.usecases.job_file import PLACES_FOLDER
from headstock.usecases.job_mistakes import ready_to_go_wrong
from headstock.usecases.plan_job import JobPlan, plan_job
from tests.cases.bad_part_made import BAD_PART_MADE, BadPartMade
from tests.cases.jobs import MADE, STUCK, breaks_of, not_missed, planned
from tests.cases.part_made import (
    BY_HAND,
    FLEET,
    JOINING,
    LOW_AIR,
    NO_WIRES,
    PARTING,
    PLANNED,
    Found,
    order_from,
    part_made,
)
from tests.cases.test_couplings import line

practice = pytest.mark.outside(source="common practice, no source", clause="part-made automatic couple", status="common practice")
each = pytest.mark.parametrize("found", PLANNED, ids=lambda found: found.name)


@each
def test_every_part_made_state_is_planned_and_the_checker_holds_it(found: Found) -> None:
    steps, domain = order_from(found)
    result = check(steps, domain)
    assert result.holds and not result.as_found


@each
def test_a_line_left_out_is_missed(found: Found) -> None:
    steps, domain = order_from(found)
    assert not_missed(steps, domain) == []


@practice
@pytest.mark.parametrize("bad", BAD_PART_MADE, ids=lambda bad: bad.name)
def test_a_bad_order_is_refused_for_its_reason(bad: BadPartMade) -> None:
    found = breaks_of(order_from(bad.found), bad.edit)
    assert bad.breaks in found, f"{bad.because}; found {sorted(found)}"


def test_each_constraint_of_a_part_made_couple_is_broken_by_a_bad_order() -> None:
    tasks = [part_made(found).assembled.task for found in (NO_WIRES, BY_HAND)]
    keys = {constraint.key for task in tasks if task is not None for constraint in part_made_constraints(task)}
    assert len(keys) == 12 and keys <= {bad.breaks for bad in BAD_PART_MADE}


@practice
@pytest.mark.parametrize("found", JOINING, ids=lambda found: found.name)
def test_joining_goes_on_by_the_way_of_the_trade(found: Found) -> None:
    """Locked and air through: stays together. Else drawn clear, dressed, tried once more, pulled, tested."""
    steps, _ = order_from(found)
    keys = [step.key for step in steps]
    pull, test = next(n for n, key in enumerate(keys) if key.startswith("pull lightly")), line(tuple(steps), "test, charged")
    assert pull < test
    tried = [number for number, key in enumerate(keys) if key.startswith("couple 611/2")]
    if found.so.startswith("11"):
        assert not tried and not any("draw away" in key for key in keys)
        assert any("until the electrical heads" in key for key in keys) == (found.so == "110")
        return
    assert len(tried) == 1
    assert line(tuple(steps), "draw away 20 m") < line(tuple(steps), "look at the end 604/1") < tried[0] < pull
    assert any(key.startswith("uncouple") for key in keys) == (found.so[0] == "1")
    assert any(key.startswith("clear the ports") for key in keys) == (found.so[0] == "1")


@practice
@pytest.mark.parametrize("found", PARTING, ids=lambda found: found.name)
def test_parting_goes_on_by_the_button_once_more_or_draws_away(found: Found) -> None:
    steps, _ = order_from(found)
    keys = [step.key for step in steps]
    away = line(tuple(steps), "draw away 20 m")
    if found.so[0] == "1":
        assert line(tuple(steps), "press lightly") < line(tuple(steps), "uncouple") < away
    assert not any("release handle" in key for key in keys)


@practice
def test_the_latch_is_turned_by_hand_from_the_working_side_heads_first_and_all_is_put_back() -> None:
    steps = tuple(order_from(BY_HAND)[0])
    words = ("assure", "go between", "stand at the coupler on the east side", "wind the electrical head of 611/2",
             "pull the release handle", "come out", "draw away 20 m", "put the release handle", "test, charged")  # fmt: skip
    between = [line(steps, begins) for begins in words]
    assert between == sorted(between)
    assert line(steps, "press lightly") < between[0]


def test_the_button_waits_for_air() -> None:
    steps = tuple(order_from(LOW_AIR)[0])
    assert line(steps, "wait until the main reservoir gauge reads 6 bar") < line(steps, "uncouple")


REFUSED = {
    "tries used up, the other cab left": (Found("attach", "011", 2), "left: 1 from the cab of 604"),
    "all tries used up": (Found("attach", "011", 2, "tries_from_the_other_cab: 1"), "the portions stay apart"),
    "presses used up": (Found("attach", "110", 2), "without_wires: true"),
    "signs that do not decide": (Found("attach", "111", signs="{mechanical_lamp: lit, electrical_lamp: lit}"), "look next: "),
    "signs that cannot be": (Found("attach", "111", signs="{gap: seen, pull: holds}"), "no known state"),
    "hold not proved": (Found("attach", "111", proved=False), "the hold of 604 is not proved"),
    "a hold said to be proved with its brake off": (Found("attach", "111", left='604.parking_brake: "off"'), "is found off"),
    "a driver alone at a stuck latch": (Found("detach", "100", 2, crew="crew: {driver: H. Wain}"), "a driver alone"),
}


@practice
@pytest.mark.parametrize("name", REFUSED)
def test_what_cannot_go_on_is_refused_with_what_is_left(name: str) -> None:
    found, words = REFUSED[name]
    plan = part_made(found)
    assert plan.answer == "no" and any(words in reason for reason in plan.reasons), plan.reasons


@practice
def test_the_other_cab_has_its_own_tries() -> None:
    assert part_made(Found("attach", "000", 0, "tries_from_the_other_cab: 2")).answer == "yes"
    assert part_made(Found("attach", "000", 1, "tries_from_the_other_cab: 2")).answer == "no"


@practice
def test_couplers_without_contacts_or_handle_go_on_by_air_alone(tmp_path: Path) -> None:
    """Wolds have neither electrical heads nor a handle: what the wires would say does not matter, a stuck latch is a fitter's."""
    joined = _of_wolds(Found("attach", "100", signs="{pull: holds, rear_brake_pipe: follows}"), tmp_path)
    assert joined.answer == "yes" and joined.order is not None
    assert not any("electrical head" in step.key or "draw away" in step.key for step in joined.order.steps)
    again = _of_wolds(Found("attach", "100", signs="{pull: parts}"), tmp_path)
    assert again.answer == "yes" and again.domain is not None and again.order is not None
    assert check(again.order.steps, again.domain).holds
    stuck = _of_wolds(Found("detach", "100", 2), tmp_path)
    assert stuck.answer == "no" and "a fitter parts it" in stuck.reasons[0]


def _of_wolds(found: Found, folder: Path) -> JobPlan:
    text = found.text.replace("type: gale", "type: wold").replace("604/1, ", "604/2, ").replace("604/1]", "604/2]")
    path = folder / "job.yaml"
    path.write_text(text, encoding="utf-8")
    return plan_job(path, FLEET, KeptRuns())


@practice
def test_rules_that_do_not_say_how_often_are_a_refusal(tmp_path: Path) -> None:
    path = tmp_path / "job.yaml"
    path.write_text(Found("attach", "111").text.replace("local_rules: wending-vale", "local_rules: lanthorn-reach"), "utf-8")
    refused = plan_job(path, FLEET, KeptRuns())
    assert refused.answer == "no" and "couple_tries" in refused.reasons[0]


@practice
def test_at_a_third_rail_one_stands_away_from_it(tmp_path: Path) -> None:
    place = (PLACES_FOLDER / "harrow-ings-3.yaml").read_text(encoding="utf-8")
    (tmp_path / "rail.yaml").write_text(place.replace("power_supply: none", "power_supply: third rail"), encoding="utf-8")
    path = tmp_path / "job.yaml"
    text = Found("detach", "100", 2, "pull_on_it: eased").text
    path.write_text(text.replace("place: harrow-ings-3", "place: rail.yaml"), encoding="utf-8")
    plan = plan_job(path, FLEET)
    assert plan.order is not None
    line(plan.order.steps, "stand at the coupler on the east side, away from the live rail and the next road")


@pytest.mark.parametrize("found", [Found("attach", "101"), BY_HAND, NO_WIRES], ids=lambda found: found.name)
def test_its_sheet_is_printed(found: Found) -> None:
    assert render_job_sheet(sheet_of(part_made(found))).startswith(b"%PDF")


@practice
def test_the_last_gauge_shows_ports_that_nobody_cleared_and_a_look_shows_ice_that_nobody_took_off() -> None:
    """Left out: carried on as people would, and who would notice it."""
    for path, left_out, role, key in ((MADE, "clear the ports of 604/1", "driver", "604.brake_pipe"),
                                      (STUCK, "clear the latch of ice", "shunter", "couple")):  # fmt: skip
        going = ready_to_go_wrong(planned(path, by_air=True))[0]
        assert going is not None
        number = line(going.order, left_out)
        mistakes = [one for one in single_mistakes(going) if one.kind == "left out" and one.lines == (number,)]
        (outcome,) = study(going, mistakes)
        assert outcome.noticing is not None and outcome.verdict == "noticed"
        assert outcome.noticing.who == role and key in {key for key, _ in outcome.noticing.facts}


def test_a_sheet_of_ends_that_stay_together_tells_nobody_to_dress_them_apart() -> None:
    titles = [block.title for block in sheet_of(part_made(NO_WIRES)).blocks]
    assert "Between" in titles and not any("off" in title and "Dress" in title for title in titles)


def test_a_valve_locked_again_is_counted_as_unlocked_again() -> None:
    """Without that the bound of this parting lies 6 s, one unlocking, below its best order."""
    order = part_made(PARTING[0]).order
    assert order is not None and order.proved_best
    assert order.cost_s == pytest.approx(order.bound_s)


@practice
@pytest.mark.parametrize("couple", [PARTING[4], PARTING[5]], ids=lambda couple: couple.name)
def test_what_stays_is_left_without_bottled_air_before_the_other_is_tested_and_the_order_is_proved(couple: Found) -> None:
    """Emptied before the test or after it cost the same, and no bound counted what both have in common."""
    order = part_made(couple).order
    assert order is not None and order.proved_best and order.expanded < 3000
    lines = [step.key for step in order.steps]
    emptied = lines.index("let the brake pipe down to nothing, cab 604/2")
    assert emptied < min(number for number, key in enumerate(lines) if key.startswith("test, charged"))
