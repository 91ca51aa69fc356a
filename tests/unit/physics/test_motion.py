"""What the integration refuses: masses, gradients, speeds and traces outside what its formulas are made for."""

from __future__ import annotations

import math

import numpy as np
import pytest

from headstock.base.errors import OutsideModelError
from headstock.physics.build_up import build_up_s, time_to_share_s
from headstock.physics.draft_gear import DraftGear, linear_gear, power_law_gear, preloaded_gear
from headstock.physics.impact import chain_impact, reduced_mass_kg
from headstock.physics.motion import (
    MovingTrain,
    Traces,
    Track,
    VehicleOnRail,
    braking_of,
    speed_for_distance,
    stop_from,
)
from headstock.physics.resistance import RunningResistance
from headstock.physics.speed_law import constant_law, law_through, stepped_law

LAW = constant_law("friction", 1.0, 50.0)


def _train(mass_kg: float = 50e3, turning: float = 0.05, length_m: float = 20.0) -> MovingTrain:
    return MovingTrain((VehicleOnRail(mass_kg, turning, LAW),), constant_law("adhesion", 0.5, 60.0), length_m)


def _push(n: float = 40e3) -> Traces:
    return Traces(0.1, np.full((3, 1), n))


@pytest.mark.parametrize(
    "asked",
    [
        lambda: braking_of(_train(mass_kg=500.0), _push()),
        lambda: braking_of(_train(mass_kg=math.nan), _push()),
        lambda: braking_of(_train(turning=0.6), _push()),
        lambda: braking_of(_train(length_m=0.0), _push()),
        lambda: braking_of(_train(), Traces(0.1, np.full((3, 2), 1.0))),
        lambda: braking_of(_train(), _push(math.nan)),
        lambda: braking_of(_train(), _push(-1.0)),
        lambda: Track(((0.0, 0.2),)),
        lambda: Track(((0.0, math.nan),)),
        lambda: Track(((5.0, 0.0), (5.0, 0.01))),
        lambda: stop_from(braking_of(_train(), _push()), 50.1),
        lambda: stop_from(braking_of(_train(), _push()), math.nan),
        lambda: build_up_s(_push(0.0)),
        lambda: law_through("table", [(1.0, 0.3), (2.0, 0.3)]),
        lambda: stepped_law("steps", [(0.0, math.inf)], 10.0),
        lambda: RunningResistance(1.0, 1.0, 1.0, 30.0).at_n(31.0),
        lambda: DraftGear((0.0, 0.1), (0.0, 0.0)),
        lambda: preloaded_gear(0.0, 1e6, 0.1),
        lambda: power_law_gear(1e9, 6.0, 0.1),
        lambda: reduced_mass_kg(0.0, 1e3),
        lambda: chain_impact([1e4], [1e4], 0.5, [linear_gear(1e7, 0.1)], linear_gear(1e7, 0.1), []),
    ],
)
def test_what_the_formulas_are_not_made_for_is_refused(asked: object) -> None:
    with pytest.raises(OutsideModelError):
        asked()  # type: ignore[operator]


def test_the_least_range_of_all_laws_in_use_counts() -> None:
    vehicles = (VehicleOnRail(5e4, 0.0, LAW), VehicleOnRail(5e4, 0.0, constant_law("pads", 1.0, 33.0)))
    braking = braking_of(MovingTrain(vehicles, constant_law("adhesion", 0.5, 60.0), 40.0), Traces(0.1, np.full((2, 2), 4e4)))
    assert braking.up_to_m_s == 33.0
    with pytest.raises(OutsideModelError, match=r"118\.8 km/h"):
        stop_from(braking, 34.0)


def test_where_no_speed_stops_there_is_none_and_where_all_do_the_greatest() -> None:
    free = braking_of(_train(), _push(0.0), Track(((0.0, -0.01),)))
    assert speed_for_distance(free, 1000.0) is None
    assert speed_for_distance(braking_of(_train(), _push(2e5)), 1e5) == 50.0


def test_shares_of_a_straight_rise_come_when_they_should() -> None:
    rise = Traces(0.5, np.linspace(0.0, 1.0, 11)[:, None])
    assert (time_to_share_s(rise, 0.1), time_to_share_s(rise, 0.95)) == (pytest.approx(0.5), pytest.approx(4.75))
    assert build_up_s(rise) == pytest.approx(2.5)


def test_at_the_greatest_speed_of_its_laws_it_stops_on_the_level_and_is_beyond_them_on_a_fall() -> None:
    late = Traces(0.1, np.concatenate([np.zeros((20, 1)), np.full((3, 1), 40e3)]))
    level, falling = (braking_of(_train(), late, Track(((0.0, gradient),))) for gradient in (0.0, -0.005))
    # Free for 1.9 s, then a tenth of a second of rise: v (1.9 + 0.05) + v^2 / 2a - a 0.1^2 / 24.
    a = 40e3 / (50e3 * 1.05)
    assert stop_from(level, 50.0).distance_m == pytest.approx(50.0 * 1.95 + 50.0**2 / (2 * a) - a * 0.01 / 24, rel=1e-9)
    assert stop_from(falling, 50.0).is_beyond and not stop_from(falling, 50.0).is_stopped
