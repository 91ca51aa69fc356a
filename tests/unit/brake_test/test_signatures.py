"""What a test reads under each cause: laws of the air that hold for every draw, and what this method can never see."""

from __future__ import annotations

from functools import cache
from itertools import pairwise

import numpy as np
import pytest

from headstock.brake_test.air_under_test import AirUnderTest, leak_area_m2
from headstock.brake_test.causes import NOTHING, Cause, causes_of
from headstock.brake_test.drawing import draw, middle
from headstock.brake_test.fault_places import places_of
from headstock.brake_test.forecast import stage_spans
from headstock.brake_test.signatures import Floats, Scenario, outside_limits, readings_of
from headstock.brake_test.stage_readings import reading_places
from headstock.compute.kept_runs import KeptRuns
from headstock.formation.train_air import train_air_of
from headstock.local_rules.drawn_tests import DEMONSTRATION, FAULT_KINDS, load_drawn_tests
from headstock.physics.fast_many import answer_many
from headstock.physics.pipe_network import Piece, PipeNetwork
from headstock.usecases.forecast_job import train_under_test
from headstock.usecases.plan_job import plan_job
from headstock.wiring import DEMO_JOB, fleet_from
from tests.cases.drawn_trains import air_of

DRAWN = load_drawn_tests(DEMONSTRATION)


@cache
def demo() -> AirUnderTest:
    tested = train_under_test(plan_job(DEMO_JOB, fleet_from(None), KeptRuns()))
    assert tested is not None
    return AirUnderTest(tested, train_air_of(tested.train), stage_spans(tested))


def read(*causes: Cause, draw: int = 0) -> Floats:
    return readings_of(demo(), DRAWN, [Scenario(causes, draw)], 1, answer_many)[0]


def names_outside(*causes: Cause) -> set[str]:
    places = reading_places(demo().tested)
    row = outside_limits(places, read(*causes)[None, :])[0]
    return {place.name for place, is_outside in zip(places, row, strict=True) if is_outside}


def test_priors_sum_to_one_and_each_kind_has_its_weight_wherever_it_can_be() -> None:
    found = causes_of(demo().tested, demo().air, DRAWN)
    assert sum(one.prior for one in found) == pytest.approx(1.0)
    by_kind = {fault.kind: sum(one.prior for one in found if one.cause.kind == fault.kind) for fault in DRAWN.faults}
    assert by_kind["cock shut"] / by_kind["nothing"] == pytest.approx(0.06)
    assert by_kind["parking brake on"] == 0.0  # both are on: they hold the train while it is tested
    assert {fault.kind for fault in DRAWN.faults} == set(FAULT_KINDS)


def test_each_kind_has_its_places_in_a_train_of_two_units_with_two_pipes() -> None:
    count = {kind: len(tuple(places_of(kind, demo().tested, demo().air))) for kind in FAULT_KINDS}
    assert count["cock shut"] == 2 and count["main reservoir cock shut"] == 2 and count["pipe blocked"] == 1
    assert count["brake isolated"] == count["pipe leaks"] == 8 and count["other valve feeds"] == 3
    assert count["gauge stuck"] == 2 and count["nothing"] == 1


def test_a_draw_is_the_same_whenever_it_is_drawn_and_lies_in_its_ranges() -> None:
    healthy = DRAWN.healthy
    for number in range(40):
        one = draw(demo(), DRAWN, 3, number)
        assert one == draw(demo(), DRAWN, 3, number) != draw(demo(), DRAWN, 4, number)
        assert 0.0 <= one.leak_bar_per_min <= healthy.leak_share_of_limit.high * healthy.leak_limit_bar_per_min
        assert sum(one.leak_shares) == pytest.approx(1.0)
        assert healthy.temperature_c.low <= one.temperature_k - 273.15 <= healthy.temperature_c.high
    assert middle(demo(), DRAWN).leak_bar_per_min == pytest.approx(0.08)


def test_a_scenario_reads_the_same_alone_and_in_a_block() -> None:
    scenarios = [Scenario((one.cause,), 7) for one in causes_of(demo().tested, demo().air, DRAWN)[::9]]
    together = readings_of(demo(), DRAWN, scenarios, 1, answer_many)
    for number in (0, 3, len(scenarios) - 1):
        assert np.array_equal(together[number], readings_of(demo(), DRAWN, [scenarios[number]], 1, answer_many)[0])


def test_draws_of_one_length_and_unlike_temperatures_are_each_run_as_alone() -> None:
    in_time = DRAWN.healthy.model_copy(update={"stage_longer_s": DRAWN.healthy.stage_longer_s.model_copy(update={"high": 0.0})})
    punctual = DRAWN.model_copy(update={"healthy": in_time})
    scenarios = [Scenario((NOTHING,), number) for number in range(3)]
    together = readings_of(demo(), punctual, scenarios, 1, answer_many)
    for number, scenario in enumerate(scenarios):
        assert np.array_equal(together[number], readings_of(demo(), punctual, [scenario], 1, answer_many)[0])
    assert len(set(together[:, 0].tolist())) == 3


@pytest.mark.outside(
    source="closed form", clause="choked outflow from a volume, isothermal: dp/dt = a p psi sqrt(RT) / V", status="computed"
)
def test_a_leak_of_one_bar_a_minute_is_the_opening_that_the_closed_form_gives() -> None:
    network = PipeNetwork((Piece(100.0, 0.03, 5e-5),), ambient_k=293.15)
    volume_m3, pressure_pa = np.pi / 4 * 0.03**2 * 60.0, 5e5 + 101325.0
    expected = 1e5 / 60 * volume_m3 / (pressure_pa * 0.684731 * np.sqrt(287.05 * 293.15))
    assert leak_area_m2(network, 60.0, 1.0, 5.0) == pytest.approx(expected, rel=1e-5)


def test_a_pipe_that_leaks_falls_as_fast_as_its_severity_says() -> None:
    # Lapped 38 s in the no-rise watch at about 3.4 bar; choked outflow is in proportion to the absolute pressure.
    healthy, leaking = read(NOTHING), read(Cause("pipe leaks", "2172", 0.8))
    rise = [place.name for place in reading_places(demo().tested)].index("Rise, front")
    watched_s = 38.0 + draw(demo(), DRAWN, 1, 0).longer_s[6]
    expected = 0.8 * watched_s / 60 * (3.1 + 1.013) / (5.0 + 1.013)
    # Small vessels that are open to the pipe while the brake is applied give to the leak as well.
    assert 0.8 * expected < healthy[rise] - leaking[rise] < 1.01 * expected


def test_a_shut_cock_is_seen_and_a_brake_that_is_cut_out_never_by_this_method() -> None:
    assert names_outside(NOTHING) == set()
    assert "Charged, rear" in names_outside(Cause("cock shut", "217/2.brake_pipe_cock"))
    for vehicle in ("2171", "2264"):
        assert names_outside(Cause("brake isolated", vehicle)) == set()
    assert names_outside(Cause("main reservoir cock shut", "226/1.main_reservoir_pipe_cock")) == set()
    assert "Applied, front" in names_outside(Cause("other valve feeds", "217/2.brake_valve"))


def test_a_hose_plugged_with_ice_reads_like_a_cock_shut_beside_it() -> None:
    plugged, shut = read(Cause("pipe blocked", "217/2 and 226/1", 0.0)), read(Cause("cock shut", "217/2.brake_pipe_cock"))
    assert plugged == pytest.approx(shut, abs=0.15)


def test_a_wider_opening_never_reads_further_from_healthy() -> None:
    healthy = read(NOTHING)
    gaps = [
        np.abs(read(Cause("cock part open", "217/2.brake_pipe_cock", share)) - healthy).max() for share in (0.3, 0.1, 0.03, 0.01)
    ]
    assert all(milder <= worse + 0.002 for milder, worse in pairwise(gaps)) and gaps[-1] > gaps[0]


def test_faults_of_a_gauge_are_put_on_what_is_read_there_and_nowhere_else() -> None:
    places, healthy = reading_places(demo().tested), read(NOTHING)
    for end in ("front", "rear"):
        here = np.array([place.at == end for place in places])
        change = np.array([place.is_change for place in places])
        off = read(Cause("gauge off", end, 0.3)) - healthy
        assert off[here & ~change] == pytest.approx(0.3) and off[~here | change] == pytest.approx(0.0)
        wrong = read(Cause("wrong gauge read", end))
        assert wrong[here & ~change] == pytest.approx(8.5) and np.array_equal(wrong[~here], healthy[~here])
        stuck = read(Cause("gauge stuck", end))
        assert set(stuck[here & ~change].tolist()) == {5.0} and stuck[here & change] == pytest.approx(0.0)


def test_a_reservoir_that_is_not_fed_is_empty_and_its_brake_does_not_apply_though_the_pipe_is_right() -> None:
    air = air_of(8, "full-count")
    names = [place.name for place in reading_places(air.tested)]
    scenarios = [Scenario((cause,), 0) for cause in (Cause("reservoir not fed", "2172"), NOTHING)]
    empty, healthy = readings_of(air, DRAWN, scenarios, 1, answer_many)
    counted = names.index("Applied, counted")
    assert (healthy[counted], empty[counted]) == (1.0, 7 / 8)
    assert np.delete(empty, counted) == pytest.approx(np.delete(healthy, counted), abs=0.01)


def test_two_causes_at_once_are_both_there() -> None:
    both = read(Cause("pipe leaks", "2172", 1.6), Cause("gauge off", "front", 0.3))
    alone = read(Cause("pipe leaks", "2172", 1.6))
    assert (both - alone).max() == pytest.approx(0.3)
