"""A flow meter beside the driver's valve, forecast: what leaks out goes in, what leaks and cocks change, its band."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import pi, sqrt

import numpy as np
import pytest

from headstock.base.errors import InputError
from headstock.brake_test.air_under_test import AirUnderTest
from headstock.brake_test.band_task import BandTask
from headstock.brake_test.blind_spots import CauseSeen, blind_spots
from headstock.brake_test.causes import Cause
from headstock.brake_test.flow_reading import free_air_l_per_min, supply_probe
from headstock.brake_test.forecast import FaultCase, Forecast, ForecastReading, TrainUnderTest, predict_readings, stage_spans
from headstock.brake_test.forecast_band import ReadingBand, band_of
from headstock.brake_test.gauge_error import gauge_errors
from headstock.brake_test.probes import probes_of
from headstock.brake_test.signature_set import Signatures, SignatureTask, laid_together
from headstock.formation.train_air import brake_pipe_air_of, train_air_of
from headstock.local_rules.test_method import built_in_methods, load_test_method
from headstock.physics.fast_many import answer_many
from headstock.physics.fast_run import answer_fast
from headstock.usecases.given_faults import given_faults, usual_faults
from headstock.usecases.other_method import by_method
from tests.cases.drawn_trains import DRAWN, train_of

METHOD = load_test_method(built_in_methods()["example-leak-by-flow-units"])
LAST = "2264"


@cache
def by_flow(vehicles: int = 8) -> TrainUnderTest:
    return by_method(train_of(vehicles), METHOD)


def forecast(*faults: FaultCase, of: TrainUnderTest | None = None) -> Forecast:
    return predict_readings(of or by_flow(), faults, lambda runs: tuple(answer_fast(run) for run in runs))


def flow(found: Forecast, case: int = 0) -> ForecastReading:
    return found.cases[case].readings[-1]


@pytest.mark.outside(
    source="closed form", clause="choked nozzle, each leak at the set pressure; free air by the gas law", status="computed"
)
@pytest.mark.parametrize("vehicles", [4, 8, 12])
def test_what_flows_in_is_what_the_leaks_let_out(vehicles: int) -> None:
    """0.0404 sqrt(K) s/m is the choked flow of air a unit of area and pressure: sqrt(1.4/287) (2/2.4)^3."""
    tested = by_flow(vehicles)
    air = train_air_of(tested.train)
    leaks = [leak for leak in air.network.brakes if leak.at_m < air.network.gear.second_from_m]
    choked = sqrt(1.4 / 287.05) * (2.0 / 2.4) ** 3
    out_kg_s = sum(leak.leak_area_m2 for leak in leaks) * 601325.0 * choked / sqrt(288.15)
    l_per_min = out_kg_s / (101325.0 / (287.05 * 288.15)) * 60e3
    assert flow(forecast(of=tested)).shows_bar == pytest.approx(l_per_min, rel=0.01)
    assert l_per_min == pytest.approx(0.3505 * vehicles, rel=0.01)


@pytest.mark.outside(
    source="closed form", clause="gas law: volume times fall a minute over the pressure outside", status="computed"
)
@pytest.mark.parametrize("fall", [0.3, 0.6, 1.2])
def test_a_leak_of_so_many_bar_a_minute_draws_the_pipe_s_volume_times_it(fall: float) -> None:
    pieces = train_air_of(by_flow().train).network
    at_m, litres = 0.0, 0.0
    for piece in pieces.pieces:
        if at_m < pieces.gear.second_from_m - 1e-9:
            litres += pi / 4 * piece.bore_m**2 * piece.length_m * 1e3
        at_m += piece.length_m
    found = forecast(FaultCase("leak", {}, {LAST: fall}))
    assert flow(found, 1).shows_bar - flow(found).shows_bar == pytest.approx(litres * fall / 1.01325, rel=0.02)


def test_a_drop_and_a_flow_of_one_leak_are_one_leak() -> None:
    """Feed cut off the pipe falls, feed on the meter shows what the fall takes, but for what chambers give."""
    leak = FaultCase("leak", {}, {LAST: 0.9})
    by_drop = by_method(train_of(8), load_test_method(built_in_methods()["leak-by-drop"]))
    fell = [case.readings[-1].shows_bar for case in forecast(leak, of=by_drop).cases]
    found = forecast(leak)
    litres = (flow(found, 1).shows_bar - flow(found).shows_bar) * 1.01325 / (fell[1] - fell[0])
    assert 85.0 < litres < 140.0  # the pipe holds 87 l; control chambers and a lower pressure slow the fall


def test_a_shut_cock_makes_a_short_and_tight_pipe_and_one_that_vents_a_torrent() -> None:
    cases = usual_faults(by_flow())
    assert [case.name for case in cases] == [
        "brake pipe cock of 217/2 shut", "brake pipe cock of 226/1 shut", "brake pipe leaks at 2264, 0.6 bar a minute",
    ]  # fmt: skip
    found = forecast(*cases)
    near, far, leak = (flow(found, number) for number in (1, 2, 3))
    assert near.shows_bar == pytest.approx(flow(found).shows_bar / 2, rel=0.02) and near.within
    assert far.shows_bar > 500.0 and not far.within
    assert not leak.within and not found.cases[1].readings[0].within, "the short pipe is seen at the rear gauge alone"


def test_an_isolated_brake_changes_nothing_and_a_lapped_valve_lets_nothing_in() -> None:
    stages = list(METHOD.stages)
    own = METHOD.model_dump()
    lap = {**stages[1].model_dump(), "key": "lapped", "says": "lap", "reading": None,
           "valve": {"at": "front", "before": "running", "after": "lap"}}  # fmt: skip
    own["stages"] = [own["stages"][0], own["stages"][1], lap, own["stages"][2]]
    lapped = by_method(train_of(8), type(METHOD).model_validate(own))
    assert flow(forecast(of=lapped)).shows_bar == 0.0
    found = forecast(FaultCase("isolated", {f"{LAST}.automatic_brake": "isolated"}))
    assert flow(found, 1).shows_bar == pytest.approx(flow(found).shows_bar, rel=1e-3)


def test_the_further_the_leak_and_the_more_of_them_the_more_flows() -> None:
    faults = [FaultCase(str(fall), {}, {LAST: fall}) for fall in (0.1, 0.2, 0.4, 0.8, 1.6)]
    shown = [flow(forecast(*faults), number).shows_bar for number in range(6)]
    assert shown == sorted(shown) and shown[-1] > 100.0


@cache
def air() -> AirUnderTest:
    return AirUnderTest(by_flow(), brake_pipe_air_of(by_flow().train), stage_spans(by_flow()))


def band_with(leak_high: float, off: float = 0.05) -> ReadingBand:
    healthy = DRAWN.healthy.model_copy(
        update={"leak_share_of_limit": DRAWN.healthy.leak_share_of_limit.model_copy(update={"high": leak_high})}
    )
    drawn = DRAWN.model_copy(update={"healthy": healthy, "reading": DRAWN.reading.model_copy(update={"flow_off_share": off})})
    task = BandTask(air(), drawn, 60)
    found = band_of(task, task.answer(answer_many)).of_stage("flow")
    assert found is not None
    return found


@pytest.mark.outside(
    source="closed form", clause="even draws: the middle 95 per cent of what the gas law makes of the leaks", status="computed"
)
def test_the_band_is_that_of_the_leaks_drawn_opened_by_the_meter_to_whole_marks() -> None:
    """Leaks evenly from 0 to 0.16 bar a minute on 87 l: 0 to 13.7 l/min beside the 2.8 of the data that drawn leaks replace."""
    band = band_with(0.8)
    assert band.low < 1.5 and 11.5 < band.high < 15.5
    assert band.lowest == 0.0 and band.highest == 5.0 * np.ceil(1.05 * band.high / 5.0)
    wider = band_with(1.6)
    assert wider.high == pytest.approx(2.0 * band.high, rel=0.05)
    assert band_with(0.8, 0.5).highest > band.highest


def test_blind_spots_know_flows_leaks_are_seen_from_a_size_on_and_isolated_brakes_never() -> None:
    task = SignatureTask(air(), DRAWN, 3)
    blocks = [task.answer(number, answer_many) for number in range(task.blocks)]
    signatures: Signatures = laid_together(task, tuple(blocks))
    errors = gauge_errors(by_flow(), DRAWN)
    spots = blind_spots(signatures, errors)
    seen: dict[Cause, CauseSeen] = {one.cause: one for one in spots.causes}
    leak = seen[Cause("pipe leaks", LAST)]
    assert (leak.answer, leak.from_severity) == ("seen from", 0.8)
    assert seen[Cause("brake isolated", LAST)].answer == "never"
    meter = errors.drawn(np.random.default_rng(1), 4000)[:, -1]
    assert meter.std() == pytest.approx(sqrt((40 * 0.05 / 3) ** 2 + (5 * 0.25) ** 2 / 3), rel=0.05)
    assert errors.apart[-1] == pytest.approx(3.0 * meter.std(), rel=0.05)


def test_a_valve_fed_from_a_pipe_is_read_at_its_source_and_free_air_is_that_of_outside() -> None:
    tested = by_flow()
    model = brake_pipe_air_of(tested.train)
    probe = supply_probe(tested.train, model, tested.front)
    assert probe is not None and probe.kind == "branch"
    assert model.network.brakes[probe.number].at_m > model.network.gear.second_from_m
    assert probes_of(tested, model)[-1] == probe and len(probes_of(tested, model)) == 3
    assert free_air_l_per_min(1.225 / 60e3, 101325.0) == pytest.approx(1.0, rel=1e-3)
    assert free_air_l_per_min(1.0, 84559.7) > free_air_l_per_min(1.0, 101325.0)


@pytest.mark.parametrize(
    ("written", "said"),
    [("9999.leak=0.5", "no such vehicle"), ("2264.leak=much", "how fast"), ("2264.leak=-1", "how fast"),
     ("2264.leak", "how fast"), ("2264.leak=nan", "how fast"), ("2264.leek=1", "unknown fault")],
)  # fmt: skip
def test_a_leak_that_cannot_be_meant_is_one_clear_fault(written: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        given_faults(by_flow(), [written])


def test_leaks_are_written_beside_devices_each_case_with_its_name() -> None:
    one, both = given_faults(by_flow(), ["2264.leak=0.5", "217/2.brake_pipe_cock=shut, 2171.leak=1"])
    assert one.leaks == {LAST: 0.5} and one.values == {} and one.name == "brake pipe leaks at 2264, 0.5 bar a minute"
    assert both.leaks == {"2171": 1.0} and both.values == {"217/2.brake_pipe_cock": "shut"} and " and " in both.name


def test_without_a_limit_on_leaks_none_is_tried() -> None:
    tested = by_flow()
    limits = tested.rules.limits.model_copy(update={"leak_at_most_bar_per_min": None})
    bare = replace(tested, rules=tested.rules.model_copy(update={"limits": limits}))
    assert [case.name for case in usual_faults(bare)] == ["brake pipe cock of 217/2 shut", "brake pipe cock of 226/1 shut"]
