"""Lanes with brake gear eight abreast: each is what it is one by one, and hangs on no neighbour."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from headstock.physics.distributor import DistributorSetting, Vessel, VesselSetting
from headstock.physics.fast import FastResult
from headstock.physics.pipe_network import SHUT, Change, GateSetting, PipeNetwork, Probe
from tests.accuracy.gear_bench import DIRECT, TWO_PIPE, at_rest, feeds, lets_out, pa, train

COUNT, UNTIL_S, CUT_S = 3, 70.0, 22.3
PROBES = tuple(Probe(kind, n) for kind in ("branch", "brake cylinder", "vessel") for n in range(COUNT))  # type: ignore[arg-type]
FULL, RELEASE, GENTLE = lets_out(60e-6, 3.5), feeds(95e-6), lets_out(12e-6, 4.4)
Line = tuple[Change, ...]


def both_pipes() -> PipeNetwork:
    """Two pipes, a compressor and a safety valve, a leaking vessel, wires, a gate with vents after the second vehicle."""
    main = Vessel(0.0, 0.3, 2e-4, compressor_kg_s=0.02, starts_pa=pa(8.3), stops_pa=pa(8.9), safety_m2=2e-5,
                  safety_opens_pa=pa(8.7), safety_shuts_pa=pa(8.4))  # fmt: skip
    return train(TWO_PIPE, COUNT, (1,), main)


def direct() -> PipeNetwork:
    """Direct release, the reservoirs filled from the pipe."""
    return replace(train(DIRECT, COUNT, (1,)), atmosphere_pa=84559.7)


def emergency() -> PipeNetwork:
    """Rate chambers and vents that an emergency opens."""
    network = train(replace(DIRECT, bulb=None), COUNT)
    rated = tuple(Vessel(one.at_m, 0.4e-3, 0.35e-6, True, k) for k, one in enumerate(network.gear.distributors))
    brakes = tuple(
        replace(one, rate_chamber=COUNT + k, vent_m2=150e-6, vent_opens_pa=1.0e5, vent_shuts_pa=pa(0.8))
        for k, one in enumerate(network.gear.distributors)
    )
    return replace(network, gear=replace(network.gear, vessels=network.gear.vessels + rated, distributors=brakes))


def lines_of_both() -> list[Line]:
    """Applications, releases, wires, a brake cut off and in again, a shut gate with a vent, a leaking cylinder, no reservoir."""
    wired = [DistributorSetting(False, True, True), DistributorSetting(False, False, True), DistributorSetting()]
    moves = (Change(1.0, 0, FULL), Change(30.0, 0, RELEASE))
    return [
        moves,
        (*(Change(2.0 + 6.0 * k, 1, to) for k, to in enumerate(wired)),),
        (Change(0.5, 1, DistributorSetting(True)), *moves, Change(45.0, 1, DistributorSetting())),
        (Change(0.5, 0, GateSetting(0.0, 0.0, 2e-6)), *moves, Change(40.0, 0, GateSetting(0.3))),
        (Change(0.2, 2, DistributorSetting(cylinder_leak_m2=1e-6)), *moves),
        (Change(0.2, 3, VesselSetting(0.0)), Change(0.3, 4, VesselSetting(1.0, 3e-6)), *moves),
        (Change(1.5, 0, GENTLE), Change(20.0, 0, SHUT), Change(33.0, 0, RELEASE)),
        (Change(1.5, 1, lets_out(300e-6)), Change(12.0, 1, SHUT), Change(20.0, 0, feeds(40e-6))),
    ]


def lines_of_one_pipe() -> list[Line]:
    return [
        (Change(1.0, 0, lets_out(60e-6 * share, 3.4)), Change(20.0, 0, SHUT), Change(25.0 + k, 0, feeds(90e-6)))
        for k, share in enumerate((1.0, 0.4, 6.0, 0.8, 2.0))
    ]


CASES = {
    "both pipes": (both_pipes, lines_of_both),
    "direct": (direct, lines_of_one_pipe),
    "emergency": (emergency, lines_of_one_pipe),
}


def ran(network: PipeNetwork, lines: Sequence[Line], until_s: float = UNTIL_S) -> FastResult:
    return at_rest([network] * len(lines)).run(lines, until_s, PROBES)


def readings(result: FastResult, lane: int) -> NDArray[np.float64]:
    """Every quarter of a second [mbar]."""
    wanted, t_s = np.arange(0.0, UNTIL_S, 0.25), result.times_of(lane)
    return np.stack([np.interp(wanted, t_s, result.readings_pa[:, n, lane]) for n in range(len(PROBES))], axis=1) / 100.0


@pytest.mark.parametrize("case", CASES)
def test_every_lane_is_what_it_is_one_by_one(case: str) -> None:
    network, lines = CASES[case][0](), CASES[case][1]()
    together = ran(network, lines)
    assert np.all(np.abs(together.mass_balance) < 1e-10)
    for lane, line in enumerate(lines):
        alone = ran(network, [line])
        off = np.abs(readings(together, lane) - readings(alone, 0))
        print(case, lane, off.max(), alone.steps)
        assert off.mean() < 1.0 and off.max() < 10.0, lane
        assert together.lane_steps[lane] == pytest.approx(alone.steps, rel=0.05)
        assert np.array_equal(together.state.gear.mode[:, lane], alone.state.gear.mode[:, 0])


@pytest.mark.parametrize("case", CASES)
def test_a_lane_is_the_same_to_the_last_bit_whatever_stands_beside_it(case: str) -> None:
    network, lines = CASES[case][0](), CASES[case][1]()
    together = ran(network, lines)
    for lane, line in enumerate(lines):
        beside = ran(network, [line, lines[(lane + 3) % len(lines)]])
        count = together.lane_steps[lane]
        assert beside.lane_steps[0] == count
        assert np.array_equal(together.t_s[: count + 1, lane], beside.t_s[: count + 1, 0])
        assert np.array_equal(together.readings_pa[: count + 1, :, lane], beside.readings_pa[: count + 1, :, 0])


def test_what_the_gear_remembers_is_handed_on() -> None:
    network, lines = both_pipes(), lines_of_both()
    rest = [[change for change in line if change.t_s > CUT_S] for line in lines]

    def cut(whose: slice) -> FastResult:
        stand = at_rest([network] * len(lines[whose]))
        first = stand.run(lines[whose], CUT_S)
        return replace(stand, state=first.state).run(rest[whose], UNTIL_S, PROBES)

    together = cut(slice(None))
    for lane in range(len(lines)):
        off = np.abs(readings(together, lane) - readings(cut(slice(lane, lane + 1)), 0))
        assert off.mean() < 1.0 and off.max() < 10.0, lane
    assert np.all(np.abs(together.mass_balance) < 1e-10)


def test_an_emergency_vent_does_not_open_and_shut_at_every_step() -> None:
    together = ran(emergency(), lines_of_one_pipe())
    assert together.steps < 2000, "seen: 12,000 where a vent might open with the pipe already so low that it shuts"
