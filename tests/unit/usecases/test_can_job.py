"""What a job's train can do: every question answered for the demo, none guessed where data are missing."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest

from headstock.base.errors import InputError
from headstock.equipment.library import BUILT_IN, Fleet, load_fleet, load_unit_type
from headstock.local_rules.rules import BUILT_IN as RULES
from headstock.physics.air_run import AirRun, AirTrace
from headstock.physics.fast_run import answer_fast
from headstock.usecases.can_job import JobCan, can_job
from headstock.usecases.can_load import AskedLoad, load_from_words
from headstock.usecases.can_question import CanQuestion, can_question
from headstock.usecases.can_sections import can_sections
from headstock.usecases.job_file import JOBS_FOLDER
from headstock.usecases.plan_job import plan_job
from tests.cases.jobs import DEMO
from tests.cases.rescues import Rescued, job_text

FLEET = load_fleet()
TSI = "Regulation (EU) No 1302/2014 (TSI LOC&PAS), 2015 text"


def engine(runs: Sequence[AirRun]) -> tuple[AirTrace, ...]:
    return tuple(answer_fast(run) for run in runs)


def asked(job: Path = DEMO, fleet: Fleet = FLEET, question: CanQuestion | None = None) -> JobCan:
    return can_job(job, fleet, engine, question)


WHOLE = asked(question=CanQuestion(keep_m=800.0))


def _job(folder: Path, *changes: tuple[str, str]) -> Path:
    text = DEMO.read_text(encoding="utf-8")
    for before, after in changes:
        assert before in text
        text = text.replace(before, after)
    path = folder / "job.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def _distances(answer: JobCan, call: str) -> list[float]:
    result = next(result for result in answer.stopping if result.call == call)
    return [row[0].distance_m for row in result.table]


def test_the_demo_is_answered_whole() -> None:
    assert (WHOLE.answer, WHOLE.not_answered) == ("yes", {})
    assert [result.call for result in WHOLE.stopping] == ["emergency", "full service", "full service by wires"]
    titles = [section.title for section in can_sections(WHOLE)]
    assert titles[0] == "Stopping" and "Coming together" in titles and "Fit" in titles


def test_an_emergency_stops_sooner_than_full_service_and_a_falling_road_later() -> None:
    assert all(one < other for one, other in zip(_distances(WHOLE, "emergency"), _distances(WHOLE, "full service"), strict=True))
    for row in WHOLE.stopping[0].table:
        metres = [stop.distance_m for stop in row]
        assert metres == sorted(metres)


def test_the_speed_that_keeps_a_distance_stops_within_it() -> None:
    first = WHOLE.stopping[0]
    assert first.keeps_kmh is not None
    again = asked(question=CanQuestion(at_kmh=first.keeps_kmh, keep_m=800.0))
    whole = again.stopping[0].lost[0]
    assert whole.longer_m is not None
    assert whole.stop.distance_m - whole.longer_m == pytest.approx(800.0, abs=0.2)


def test_each_brake_lost_costs_distance_and_all_behind_a_shut_cock_most() -> None:
    lost = WHOLE.stopping[0].lost
    assert all(one.longer_m is not None and one.longer_m > 0 for one in lost)
    assert lost[-1].lost.startswith("all brakes behind 217") and max(lost, key=lambda one: one.longer_m or 0.0) is lost[-1]
    assert all(one.keeps_kmh is not None and one.keeps_kmh < 100.0 for one in lost)


def test_an_isolated_brake_lengthens_the_stop_and_its_own_loss_costs_nothing_more(tmp_path: Path) -> None:
    cut = asked(_job(tmp_path, ("as_left:\n", "as_left:\n  2171.automatic_brake: isolated\n")))
    assert _distances(cut, "emergency")[-1] > _distances(WHOLE, "emergency")[-1] * 1.08
    own = next(one for one in cut.stopping[0].lost if one.lost == "brake of 2171")
    assert own.longer_m == pytest.approx(0.0, abs=1e-6)


def test_a_running_test_tells_a_whole_train_from_one_with_a_shut_cock() -> None:
    whole, cut = WHOLE.running_test
    assert cut.stop.time_s > 1.3 * whole.stop.time_s and cut.stop.distance_m > 1.3 * whole.stop.distance_m


def test_what_a_type_does_not_state_is_not_guessed(tmp_path: Path) -> None:
    text = (BUILT_IN / "tarn.yaml").read_text(encoding="utf-8")
    wanted = ("friction_brake:", "resistance:", "draft_gear:", "supply:")
    kept = [line for line in text.splitlines() if not line.strip().startswith(wanted)]
    (tmp_path / "tarn.yaml").write_text("\n".join(kept), encoding="utf-8")
    answer = asked(fleet=Fleet([load_unit_type(tmp_path / "tarn.yaml")]))
    assert answer.stopping == () and answer.impact is None and answer.pull is None and answer.supply is None
    assert answer.not_answered["stopping"][0] == "not stated for type tarn: friction_brake of vehicle 1"
    assert answer.not_answered["impact"] == tuple(f"not stated for type tarn: draft_gear of end {end}" for end in "21")
    assert set(answer.not_answered) == {"stopping", "impact", "pull", "haul"}
    assert answer.answer == "outside the model" and len(answer.holding) == 3


def test_on_a_steeper_road_what_hauls_and_what_holds_is_told(tmp_path: Path) -> None:
    steep = (BUILT_IN.parents[1] / "formation" / "places" / "harrow-ings-3.yaml").read_text(encoding="utf-8")
    (tmp_path / "steep.yaml").write_text(steep.replace("1 in 150", "1 in 25"), encoding="utf-8")
    answer = asked(_job(tmp_path, ("place: harrow-ings-3", "place: steep.yaml")))
    assert answer.answer == "no" and not answer.holding[0].holds
    assert answer.haul is not None and answer.haul.verdict == "no" and not answer.haul.starts
    assert answer.pull is not None and answer.pull.proof == "not here"


def test_an_own_brake_that_takes_up_the_pull_is_named() -> None:
    assert WHOLE.pull is not None and WHOLE.pull.proof == "in a notch" and WHOLE.pull.use is not None
    assert WHOLE.pull.fooled_by_n == WHOLE.pull.use.coupling_n > 0.0


def test_the_hold_falls_as_brakes_come_off_and_the_first_step_too_far_is_named() -> None:
    assert WHOLE.releases is not None
    forces = [step.force_n for step in WHOLE.releases.steps]
    assert forces == sorted(forces, reverse=True) and forces[-1] == 0.0
    assert WHOLE.releases.dips is not None


@pytest.mark.outside(source=TSI, clause="4.2.4.5.5(3): the gradient held is that of the brake alone", status="read")
def test_doubling_a_unit_leaves_the_gradient_held() -> None:
    one, _, two = WHOLE.holding
    assert two.held_gradient == pytest.approx(one.held_gradient, rel=1e-9)


def test_a_profile_by_distance_counts_where_the_train_is() -> None:
    falls_late = asked(question=can_question(None, None, "0:0,400:-20", None, None)).stopping[0].here
    level = [row[0] for row in WHOLE.stopping[0].table]
    assert falls_late[0].distance_m == pytest.approx(level[0].distance_m)
    assert falls_late[-1].distance_m > level[-1].distance_m + 20


@pytest.mark.parametrize("words", ["", "0", "5:1", "0:-4,0:3", "0:200", "0:x", "0:nan", "0:-4,nan:2", "0:1,inf:2"])
def test_what_is_no_profile_is_refused(words: str) -> None:
    with pytest.raises(InputError, match="gradient profile"):
        can_question(None, None, words, None, None)


def test_speeds_and_lengths_that_cannot_be_meant_are_refused_together() -> None:
    with pytest.raises(InputError) as caught:
        can_question(-1.0, float("nan"), None, 1e9, None)
    assert [fault.path for fault in caught.value.faults] == ["--speed", "--keep", "--platform"]


def test_beyond_the_trains_speed_its_own_is_taken_and_said() -> None:
    answer = asked(question=CanQuestion(at_kmh=220.0))
    assert answer.stopping[0].at_kmh == 160.0 and "220 km/h is beyond" in answer.notes[0]


def test_a_train_too_long_for_its_platform_says_by_how_much() -> None:
    fits = {fit.against: fit for fit in asked(question=CanQuestion(platform_m=150.0)).fit}
    assert fits["platform"].over_m == pytest.approx(-12.0) and not fits["platform"].fits


def test_where_the_data_of_friction_end_the_tables_end_and_it_is_said(tmp_path: Path) -> None:
    text = (
        (BUILT_IN / "tarn.yaml")
        .read_text(encoding="utf-8")
        .replace(", [200, 0.30]]", "]")
        .replace("greatest_speed_kmh: 160\n", "")
    )
    (tmp_path / "tarn.yaml").write_text(text, encoding="utf-8")
    answer = asked(fleet=Fleet([load_unit_type(tmp_path / "tarn.yaml")]))
    assert answer.stopping[0].speeds_kmh[-1] == pytest.approx(100.0)
    assert answer.notes == [
        "not stated for type tarn: greatest_speed_kmh",
        "the tables end at 100 km/h: friction or adhesion is given no further",
        "no data: on that fall it gathers more than 100 km/h, where friction or adhesion ends",
    ]
    # On the level it stops from there; on a fall it gathers speed first.
    assert answer.stopping[0].table[-1][0].is_stopped and answer.stopping[0].table[-1][1].is_beyond


def test_train_control_reckons_with_more_than_the_train_itself_needs() -> None:
    assert WHOLE.braked_weight is not None
    own = dict(zip(WHOLE.stopping[0].speeds_kmh, _distances(WHOLE, "emergency"), strict=True))
    assert all(distance > own[kmh] for kmh, distance in WHOLE.braked_weight.by_control)


def test_of_a_parted_train_the_portion_that_leaves_is_asked() -> None:
    answer = asked(JOBS_FOLDER / "demo-detach.yaml")
    assert len(answer.leaves.units) < len(answer.train.units)
    assert answer.stopping and answer.impact is None and answer.haul is None and answer.alone is None


def _of_types(folder: Path, first: str, second: str) -> Path:
    named = [
        (f'{{name: "{name}", type: tarn}}', f'{{name: "{name}", type: {kind}}}')
        for name, kind in (("217", first), ("226", second))
    ]
    path = _job(folder, *named)
    path.write_text(path.read_text(encoding="utf-8").partition("as_left:")[0], encoding="utf-8")
    return path


def test_a_brake_that_no_air_reaches_is_named_and_its_loss_costs_nothing(tmp_path: Path) -> None:
    answer = asked(_of_types(tmp_path, "gale", "wold"))
    assert "reaches the brake of 2261" in answer.notes[0]
    assert next(one for one in answer.stopping[0].lost if one.lost == "brake of 2261").longer_m == pytest.approx(0.0, abs=1e-6)
    assert answer.haul is not None and (answer.haul.weakest.part, answer.haul.weakest.rated_n) == ("the adapter of 226/1", 400e3)


def test_units_braked_by_wires_alone_stop_by_wires_and_have_a_running_test_of_their_friction(tmp_path: Path) -> None:
    answer = asked(_of_types(tmp_path, "beck", "beck"))
    assert answer.not_answered == {} and answer.answer == "yes"
    assert [result.call for result in answer.stopping] == ["emergency", "full service by wires"]
    assert answer.stops is not None and answer.stops.in_use == (6, 6)
    # The wires move every vehicle at once; what the electric brake adds is in the full service alone.
    assert _distances(answer, "full service by wires")[-1] < _distances(answer, "emergency")[-1]
    whole, cut = answer.running_test
    assert cut.brakes == "all brakes behind 217 (no wires reach them)" and cut.stop.time_s > 1.5 * whole.stop.time_s
    assert answer.reservoirs is not None and answer.reservoirs.lowest_bar < 9.4


def test_where_no_wires_go_through_a_wired_brake_does_not_answer_and_is_named(tmp_path: Path) -> None:
    # Hooks and a screw: wold has a brake pipe, beck none; no wire of the data joins them.
    answer = asked(_of_types(tmp_path, "wold", "beck"))
    assert answer.stops is not None and answer.stops.in_use == (1, 4)
    assert "no emergency reaches the brake of 2261, 2262, 2263" in answer.notes[0]
    assert next(one for one in answer.stopping[0].lost if one.lost == "brake of 2261").longer_m == pytest.approx(0.0, abs=1e-6)


def test_a_unit_without_a_brake_pipe_is_hauled_only_on_conditions_or_not(tmp_path: Path) -> None:
    # The screw of a hook joins them, no pipe goes across: the stop and the hold of the hauling portion decide.
    answer = asked(_of_types(tmp_path, "wold", "beck"))
    assert answer.haul is not None and answer.haul.verdict == "only if"
    assert answer.answer == "only if"
    assert answer.haul.conditions[0] == "a written method for hauling unbraked is there"
    assert answer.alone is not None and answer.alone.stop.is_stopped


RESCUE = JOBS_FOLDER / "demo-rescue.yaml"


def test_a_rescue_is_answered_whole_without_wires_and_with_the_air_as_it_is() -> None:
    answer = asked(RESCUE)
    assert answer.not_answered == {} and answer.answer == "yes"
    assert [result.call for result in answer.stopping] == ["emergency", "full service"], "no wires are joined in a rescue"
    assert answer.haul is not None and answer.releases is not None and answer.impact is not None and answer.pull is not None
    assert answer.reservoirs is not None and not answer.reservoirs.keeps
    assert answer.stopping[0].at_kmh == 30.0
    said = " ".join(str(part) for section in can_sections(answer) for part in section.parts)
    assert "Main reservoirs not joined: the live ones fall to" in said and "parking brakes can come off by their air" not in said
    assert "Restriction: " in said and "30 km/h" in said


def test_a_rescue_that_is_refused_says_every_reason_and_hauls_nothing(tmp_path: Path) -> None:
    path = tmp_path / "job.yaml"
    path.write_text(job_text(Rescued("moss", "moss")), encoding="utf-8")
    answer = asked(path)
    assert answer.answer == "no" and answer.haul is not None and answer.haul.verdict == "no"
    assert any("no scotches are carried" in reason for reason in answer.haul.reasons)
    assert "the moving portion cannot haul the other here" in answer.refused


def test_two_ends_that_cannot_be_joined_are_a_no_and_a_rescue_by_wires_is_told(tmp_path: Path) -> None:
    answer = asked(_of_types(tmp_path, "gale", "moss"))
    assert answer.answer == "no" and answer.refused[0] == "the two ends cannot be joined"
    path = tmp_path / "job.yaml"
    path.write_text(job_text(Rescued("beck", "beck")), encoding="utf-8")
    wired = asked(path)
    assert wired.answer == "no" and wired.haul is not None and any("works no brake pipe" in one for one in wired.haul.reasons)


def test_a_rescue_with_a_compressor_that_nobody_calls_dead_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "job.yaml"
    path.write_text(RESCUE.read_text(encoding="utf-8").replace("main_reservoir: dead", "parking_brake: on"), encoding="utf-8")
    with pytest.raises(InputError, match="nothing says that it is dead"):
        asked(path)


def test_a_job_that_asks_for_a_screw_is_hauled_by_it_and_no_couplers_close(tmp_path: Path) -> None:
    plain = WHOLE.haul
    answer = asked(_job(tmp_path, ("moving:", "way: screw\nmoving:")))
    assert plain is not None and answer.haul is not None and answer.haul.weakest.rated_n == 350e3 < plain.weakest.rated_n
    assert answer.impact is not None and answer.impact.closes_from_kmh is None
    assert [result.call for result in answer.stopping] == ["emergency", "full service"]


def _closing_from(folder: Path, kmh: str) -> Fleet:
    text = (BUILT_IN / "tarn.yaml").read_text(encoding="utf-8")
    stated = "        closes_from_kmh: 1\n"
    assert stated in text
    (folder / "tarn.yaml").write_text(text.replace(stated, kmh and f"        closes_from_kmh: {kmh}\n"), encoding="utf-8")
    return Fleet([load_unit_type(folder / "tarn.yaml")])


def test_the_approach_has_a_least_and_a_greatest_speed_and_none_where_they_cross(tmp_path: Path) -> None:
    assert WHOLE.approach_kmh == (1.0, 3.0)
    crossed = asked(fleet=_closing_from(tmp_path, "3.5"))
    assert crossed.approach_kmh == (3.5, 3.0) and crossed.answer == "no"
    assert crossed.refused == ("no approach speed both closes the couplers and is allowed",)
    plan = plan_job(DEMO, _closing_from(tmp_path, "3.5"))
    assert plan.answer == "no" and plan.reasons == ("the couplers close from 3.5 km/h on, the local rules allow 3 km/h",)
    at_once = asked(fleet=_closing_from(tmp_path, ""))
    assert at_once.approach_kmh == (0.0, 3.0) and at_once.answer == "yes"


def test_under_load_everything_is_heavier_and_the_three_loads_stand_beside_it() -> None:
    heavy = asked(question=CanQuestion(load=AskedLoad("exceptional")))
    assert WHOLE.stops is not None and heavy.stops is not None
    assert [case.load for case, _ in heavy.stops.by_load] == ["working order", "laden", "exceptional"]
    assert [case for case, _ in heavy.stops.by_load] == [case for case, _ in WHOLE.stops.by_load]
    asked_for = heavy.stops.by_load[2][0].stops[-1].distance_m
    assert heavy.stopping[0].here[-1].distance_m == pytest.approx(asked_for)
    assert heavy.holding[2].slope_force_n > 1.2 * WHOLE.holding[2].slope_force_n
    assert heavy.haul is not None and WHOLE.haul is not None and heavy.haul.couple_n > WHOLE.haul.couple_n
    assert heavy.impact is not None and WHOLE.impact is not None
    assert heavy.impact.at[0].energy_j > 1.2 * WHOLE.impact.at[0].energy_j


def test_each_unit_may_have_its_own_load() -> None:
    one = asked(question=can_question(None, None, None, None, None, load="226:exceptional"))
    assert one.asked.load.words() == "226 exceptional, all others working order"
    assert one.holding[0].slope_force_n == pytest.approx(WHOLE.holding[0].slope_force_n)
    assert one.holding[1].slope_force_n > 1.2 * WHOLE.holding[1].slope_force_n


@pytest.mark.parametrize(
    ("words", "said"),
    [("full", "no load"), ("217:full", "no load"), ("217:laden,217:laden", "each unit once"), (":laden", "each unit once")],
)
def test_what_is_no_load_is_refused(words: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        load_from_words(words)
    with pytest.raises(InputError, match="unknown unit"):
        asked(question=CanQuestion(load=load_from_words("218:laden")))


def test_a_load_that_a_type_does_not_state_is_refused_and_without_one_the_table_is_not_answered(tmp_path: Path) -> None:
    lines = (BUILT_IN / "tarn.yaml").read_text(encoding="utf-8").splitlines()
    kept = [line for line in lines if not line.strip().startswith("payload:")]
    (tmp_path / "tarn.yaml").write_text("\n".join(kept), encoding="utf-8")
    fleet = Fleet([load_unit_type(tmp_path / "tarn.yaml")])
    assert asked(fleet=fleet).not_answered == {
        "loads": tuple(f"not stated for type tarn: payload of vehicle {n}" for n in "1234")
    }
    with pytest.raises(InputError, match="payload of vehicle 1"):
        asked(fleet=fleet, question=CanQuestion(load=AskedLoad("laden")))


def test_blocks_pressed_beyond_their_law_by_a_load_are_not_reckoned(tmp_path: Path) -> None:
    text = (BUILT_IN / "moss.yaml").read_text(encoding="utf-8")
    changed = text.replace("pieces: 16,", "pieces: 16, load_sensing: [[0, 1], [6, 8]],")
    (tmp_path / "moss.yaml").write_text(changed, encoding="utf-8")
    answer = asked(_of_types(tmp_path, "moss", "moss"), Fleet([load_unit_type(tmp_path / "moss.yaml")]))
    (reason,) = answer.not_answered["loads"]
    assert "block force of" in reason and "answered for 0 to 60 kN" in reason and answer.stopping


def test_on_a_curve_its_radius_stands_over_the_table() -> None:
    answer = asked(question=CanQuestion(radius_m=150.0))
    captions = [part.caption for section in can_sections(answer) for part in section.parts if not isinstance(part, str)]
    assert any(caption.startswith("The joint on curves of 150 m: ") for caption in captions) and answer.notes == []
    lines = [part for section in can_sections(answer) for part in section.parts if isinstance(part, str)]
    assert any(line.startswith("On a curve of 150 m (how it bends is not said") and "stand out by" in line for line in lines)
    (table,) = [part for section in can_sections(answer) for part in section.parts
                if not isinstance(part, str) and part.caption.startswith("The joint on curves")]  # fmt: skip
    gathers = answer.geometry.gathers_horizontally_mm
    assert gathers is not None
    assert [row[2] for row in table.rows] == ["yes" if met.sideways_mm <= gathers else "no" for met in answer.meetings]


def _by_rules(folder: Path, *changes: tuple[str, str]) -> JobCan:
    rules = (RULES / "wending-vale.yaml").read_text(encoding="utf-8")
    for before, after in changes:
        assert before in rules
        rules = rules.replace(before, after)
    (folder / "rules.yaml").write_text(rules, encoding="utf-8")
    return asked(_job(folder, ("local_rules: wending-vale", "local_rules: rules.yaml")))


def test_speeds_and_thresholds_are_those_of_the_local_rules(tmp_path: Path) -> None:
    faster = _by_rules(
        tmp_path, ("from_kmh: {value: 40", "from_kmh: {value: 60"), ("longest_s: {value: 20", "longest_s: {value: 3")
    )
    assert faster.running_test[0].from_kmh == 60.0 and faster.running_test[0].stop.time_s > WHOLE.running_test[0].stop.time_s
    assert faster.pull is not None and "it would have to be held for 4 s" in faster.pull.tried[1].why_not
    assert WHOLE.pull is not None and WHOLE.pull.tried[1].why_not == ""


def test_what_the_local_rules_do_not_say_is_not_answered(tmp_path: Path) -> None:
    rules = (RULES / "wending-vale.yaml").read_text(encoding="utf-8")
    start, end = rules.index("running_test:"), rules.index("limits:")
    answer = _by_rules(tmp_path, (rules[start:end], ""))
    assert set(answer.not_answered) == {"running test", "pull", "haul"} and answer.running_test == ()
    assert answer.not_answered["pull"] == ("the local rules do not say when a pull proves a joint (pull_proof)",)


def test_a_train_that_draws_more_than_the_place_gives_or_stands_too_long_is_a_no(tmp_path: Path) -> None:
    place = (BUILT_IN.parents[1] / "formation" / "places" / "harrow-ings-3.yaml").read_text(encoding="utf-8")
    (tmp_path / "weak.yaml").write_text(place + "supply_at_most_a: 2000\npantographs_apart_at_least_m: 85\n", encoding="utf-8")
    answer = asked(_job(tmp_path, ("place: harrow-ings-3", "place: weak.yaml")), question=CanQuestion(signal_m=175.0))
    assert answer.answer == "no" and answer.refused == (
        "7.0 m too long (signal)", "it can draw 2800 A, 2000 A may be drawn here",
        "pantographs 217 no. 1 and 226 no. 1 are 81.0 m apart, at least 85 m are asked here",
    )  # fmt: skip


@pytest.mark.outside(source=TSI, clause="4.2.4.5.1(5), 4.2.4.5.2(1)", status="read")
@pytest.mark.parametrize("name", ["tarn", "gale", "fell", "beck"])
def test_two_units_answer_an_emergency_as_soon_and_no_harder_than_is_asked(name: str, tmp_path: Path) -> None:
    # Equivalent response below 5 s, delay below 2 s, mean deceleration below 2.5 m/s2.
    first = asked(_of_types(tmp_path, name, name)).stopping[0]
    assert first.build_up.equivalent_s < 5.0 and first.build_up.begins_s < 2.0
    for kmh, row in zip(first.speeds_kmh, first.table, strict=True):
        assert (kmh / 3.6) ** 2 / (2 * row[0].distance_m) < 2.5


@pytest.mark.outside(source="arrete of 1 July 2004 (France)", clause="annex 1, 2.2.2 and 5.3.1", status="read")
@pytest.mark.parametrize("name", ["tarn", "gale", "beck"])
def test_a_unit_starts_with_an_equal_dead_one_on_10_per_mille(name: str, tmp_path: Path) -> None:
    haul = asked(_of_types(tmp_path, name, name)).haul
    assert haul is not None and haul.steepest_start > 0.010
