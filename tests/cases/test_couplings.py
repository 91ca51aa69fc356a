"""Every coupler family is joined and parted: planned, held by the checker, and each line missed when it is left out."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from headstock.equipment.library import BUILT_IN, load_fleet
from headstock.reasoning.checker import check
from headstock.reasoning.step import Step
from headstock.sheets.compose import sheet_of
from headstock.sheets.job_sheet import render_job_sheet
from headstock.usecases.plan_job import plan_job
from tests.cases.couplings import FLEET, PAIRS, PARTED, Pair, coupling
from tests.cases.jobs import not_missed, steps_of
from tests.cases.two_units import two_units

practice = pytest.mark.outside(source="common practice, no source", clause="coupling and parting", status="common practice")
JOBS = [*((pair, "attach") for pair in PAIRS), *((pair, "detach") for pair in PARTED)]
each_job = pytest.mark.parametrize(("pair", "work"), JOBS, ids=[f"{work}-{pair.name}" for pair, work in JOBS])


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("couplings")


def line(steps: tuple[Step, ...], words: str) -> int:
    """The number of the first line that begins so."""
    return next(number for number, step in enumerate(steps) if step.key.startswith(words))


@each_job
def test_every_pair_is_planned_and_the_checker_accepts_it(pair: Pair, work: str, folder: Path) -> None:
    plan = coupling(pair, work, folder)
    assert plan.domain is not None
    assert check(steps_of(plan), plan.domain).holds


@each_job
def test_a_line_left_out_is_missed(pair: Pair, work: str, folder: Path) -> None:
    plan = coupling(pair, work, folder)
    steps = steps_of(plan)
    assert plan.domain is not None
    assert not_missed(steps, plan.domain) == []


@practice
@pytest.mark.parametrize("pair", PARTED, ids=[pair.name for pair in PARTED])
def test_parting_follows_the_order_of_the_trade(pair: Pair, folder: Path) -> None:
    steps = steps_of(coupling(pair, "detach", folder))
    proof, empty = line(steps, "watch the whole train"), line(steps, "let the brake pipe of 217 and 226 down")
    away = line(steps, "draw away 20 m, stop")
    assert proof < empty < away < line(steps, "test, charged")
    for words in ("shut the joined brake pipe cock", "unlatch the jumper", "uncouple 217"):
        at = [number for number, step in enumerate(steps) if step.key.startswith(words)]
        assert all(empty < number < away for number in at), "nothing is parted with air in the pipe"
    parted = [number for number, step in enumerate(steps) if ("couple", "apart") in step.effects]
    assert len(parted) == 1 and line(steps, "press lightly") < parted[0] < away


@practice
def test_a_driver_alone_leaves_no_cab_with_its_valve_unlocked_before_the_test(folder: Path) -> None:
    pair = Pair("gale", "gale", by_air=True)
    steps = steps_of(coupling(pair, "attach", folder))
    assert {step.role for step in steps} == {"driver"}
    valves, place = {"217/1": "full", "226/2": "locked"}, "cab 217/1"
    for step in steps[: line(steps, "test, charged")]:
        if step.place is not None and step.place != place:
            left = place.removeprefix("cab ")
            assert valves.get(left, "locked") == "locked", f"{left} left at {valves.get(left)} for {step.key}"
            place = step.place
        valves |= {key.removesuffix(".brake_valve"): value for key, value in step.effects if key.endswith(".brake_valve")}


@practice
def test_a_loose_screw_is_fetched_hung_on_bare_hooks_and_goes_back_with_heads_raised_again(folder: Path) -> None:
    pair = Pair("tarn", "moss")
    joined = steps_of(coupling(pair, "attach", folder))
    assert line(joined, "let the head of 217/2 down") < line(joined, "close up 217/2 and 226/1")
    assert line(joined, "close up") < line(joined, "lift the screw coupling") < line(joined, "turn the screw")
    assert not any(step.key.startswith("pull lightly") for step in joined), "a screw is proved by looking at it"
    parted = steps_of(coupling(pair, "detach", folder))
    assert line(parted, "draw away") < line(parted, "raise the head of 217/2") < line(parted, "test, charged")


def test_what_leaves_without_a_cab_at_its_rear_is_refused(folder: Path) -> None:
    plan = coupling(Pair("crag", "crag", "2", "2"), "detach", folder)
    assert plan.answer == "no" and "no cab at 217/2, the rear of the train that leaves" in plan.reasons[0]


@practice
def test_a_standing_portion_that_cannot_hold_the_whole_train_is_refused_with_both_forces(folder: Path) -> None:
    plan = coupling(Pair("tarn", "moss"), "detach", folder, place="quarry-neck-1")
    if plan.answer == "no":
        assert "226 cannot be held here" in plan.reasons[0] and "kN are needed with the margin" in plan.reasons[0]
    else:
        holding = {result.portion: result for result in plan.assembled.holding}
        own = {result.portion: result for result in coupling(Pair("tarn", "moss"), "attach", folder).assembled.holding}
        assert holding["226"].needed_force_n > 1.5 * own["226"].needed_force_n


DRAWN = {
    "driven from the end at the joint": ("wold", "1", "moss", "2", "", ("driven_from: 217/2", "driven_from: 217/1")),
    "the only cab of what stays is at the joint": ("fell", "1", "crag", "1", "", ("", "")),
    "a loose screw between two drop-heads": ("fell", "1", "fell", "1", "way: screw\n", ("", "")),
    "driver and guard alone": ("moss", "1", "moss", "1", "", ("shunter: J. Tolk, ", "")),
}


@pytest.mark.parametrize("name", DRAWN)
def test_partings_that_drawn_jobs_found_wanting_are_planned(name: str, tmp_path: Path) -> None:
    first, near, second, far, more, (before, after) = DRAWN[name]
    text = two_units("detach", first, second, (near, far), cab="2").replace(before, after, 1)
    path = tmp_path / "job.yaml"
    path.write_text(text + more, encoding="utf-8")
    plan = plan_job(path, FLEET)
    assert plan.domain is not None and check(steps_of(plan), plan.domain).holds
    if more:
        keys = [step.key for step in steps_of(plan)]
        assert any("back in its stowage" in key for key in keys) and "raise the head of 217/1" in keys


@pytest.mark.parametrize("pair", PARTED, ids=[pair.name for pair in PARTED])
def test_the_sheet_of_every_parting_is_printed(pair: Pair, folder: Path) -> None:
    sheet = sheet_of(coupling(pair, "detach", folder))
    assert render_job_sheet(sheet).startswith(b"%PDF")
    assert {block.title for block in sheet.blocks} >= {"Agree the job", "Part, draw away 20 m", "Charge 217, test"}


@practice
def test_a_board_comes_off_before_anything_moves_and_one_that_nobody_placed_stops_the_parting(tmp_path: Path) -> None:
    steps = steps_of(coupling(Pair("fell", "fell"), "detach", tmp_path))
    boards = [line(steps, f"take off the board of {unit}") for unit in ("217", "226")]
    assert line(steps, "watch the whole train") < min(boards) and max(boards) < line(steps, "press lightly")
    text = next(tmp_path.glob("*.yaml"))
    text.write_text(text.read_text(encoding="utf-8").replace('"217": guard, ', ""), encoding="utf-8")
    refused = plan_job(text, FLEET)
    assert refused.answer == "no" and "board of 217 off" in refused.reasons[0]


@practice
def test_a_driver_alone_parts_with_brakes_put_on_from_his_cab_and_leaves_it_locked(tmp_path: Path) -> None:
    off = '217.parking_brake: "off", 226.parking_brake: "off"'
    plan = coupling(Pair("gale", "gale"), "detach", tmp_path, off)
    steps = steps_of(plan)
    assert plan.domain is not None and check(steps, plan.domain).holds
    assert "put on the parking brake of 226, cab 217/1" in [step.key for step in steps]
    assert not any(step.key.startswith(("go between", "take protection", "give the")) for step in steps), "nobody goes between"


@practice
def test_main_reservoir_hoses_that_nobody_can_let_out_are_not_parted(tmp_path: Path) -> None:
    fleet = tmp_path / "fleet"
    fleet.mkdir()
    for path in BUILT_IN.glob("*.yaml"):
        text = path.read_text(encoding="utf-8")
        if path.stem == "tarn":
            text = re.sub(r"vents_hose_when_shut: true\n +vent_area_mm2: \d+", "vents_hose_when_shut: false", text)
        (fleet / path.name).write_text(text, encoding="utf-8")
    job = tmp_path / "job.yaml"
    job.write_text(two_units("detach", "tarn", "tarn"), encoding="utf-8")
    refused = plan_job(job, load_fleet(fleet))
    assert refused.answer == "no" and "neither cock vents" in " ".join(refused.reasons)


@pytest.mark.parametrize("work", ["attach", "detach"])
def test_an_indicator_is_read_where_the_data_say_that_it_is(work: str, tmp_path: Path) -> None:
    """Outside: by whoever looks at the holds, beside the unit; the plan holds and is proved the cheapest."""
    fleet = tmp_path / "fleet"
    fleet.mkdir()
    for path in BUILT_IN.glob("*.yaml"):
        text = path.read_text(encoding="utf-8")
        (fleet / path.name).write_text(re.sub(r"( +)(indicator: .*)", r"\1\2\n\1indicator_at: beside", text), encoding="utf-8")
    job = tmp_path / "job.yaml"
    job.write_text(two_units(work, "tarn", "tarn"), encoding="utf-8")
    plan = plan_job(job, load_fleet(fleet))
    steps = steps_of(plan)
    reads = [step.place for step in steps if "parking brake indicator" in step.key]
    assert plan.domain is not None and check(steps, plan.domain).holds
    assert plan.order is not None and plan.order.proved_best
    assert reads and all(place in ("beside 217", "beside 226") for place in reads)
