"""Throw on a curve: against the worked figure, and against a vehicle set on a circle point by point."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from headstock.base.errors import OutsideModelError
from headstock.physics.curve_throw import MAX_RADIUS_M, end_angle, exact_outward_throw, outward_throw, overhang

CENTRES_M, OVERHANGS_M, RADII_M = st.floats(1.5, 30), st.floats(0.1, 6), st.floats(60, 5000)


def set_on_a_circle(centres_m: float, overhang_m: float, radius_m: float) -> tuple[float, float]:
    """Throw [m] and angle [rad] of a straight vehicle with both bogies put on a circle about the origin."""
    turn = 2 * math.asin(centres_m / 2 / radius_m)
    rear = (radius_m, 0.0)
    front = (radius_m * math.cos(turn), radius_m * math.sin(turn))
    along = ((front[0] - rear[0]) / centres_m, (front[1] - rear[1]) / centres_m)
    end = (front[0] + overhang_m * along[0], front[1] + overhang_m * along[1])
    tangent = (-end[1] / math.hypot(*end), end[0] / math.hypot(*end))
    cross = along[0] * tangent[1] - along[1] * tangent[0]
    return math.hypot(*end) - radius_m, math.asin(cross)


@pytest.mark.outside(source="curve throw", clause="2a = 16 m, u = 3.5 m, R = 150 m", status="computed")
def test_the_worked_vehicle_stands_out_as_far_as_worked_out_by_hand() -> None:
    assert outward_throw(16.0, 3.5, 150.0) == pytest.approx(0.228, abs=0.0005 + 1e-12)
    assert 2 * outward_throw(16.0, 3.5, 150.0) == pytest.approx(0.46, abs=0.005 + 1e-12)


@pytest.mark.outside(source="curve throw", clause="a vehicle set on a circle", status="computed")
@given(CENTRES_M, OVERHANGS_M, RADII_M)
def test_the_exact_throw_and_angle_are_those_of_a_vehicle_on_a_circle(centres_m: float, over_m: float, radius_m: float) -> None:
    throw_m, angle = set_on_a_circle(centres_m, over_m, radius_m)
    assert exact_outward_throw(centres_m, over_m, radius_m) == pytest.approx(throw_m, abs=1e-9)
    assert end_angle(centres_m, over_m, radius_m) == pytest.approx(angle, abs=1e-9)


@given(CENTRES_M, OVERHANGS_M, RADII_M)
def test_the_throw_for_small_angles_is_never_less_and_hardly_more(centres_m: float, over_m: float, radius_m: float) -> None:
    short, exact = outward_throw(centres_m, over_m, radius_m), exact_outward_throw(centres_m, over_m, radius_m)
    assert exact <= short <= exact * (1 + over_m * (centres_m + over_m) / (2 * radius_m**2)) * (1 + 1e-12)


@given(CENTRES_M, OVERHANGS_M)
def test_overhang_comes_back_from_the_length(centres_m: float, over_m: float) -> None:
    assert overhang(centres_m + 2 * over_m, centres_m) == pytest.approx(over_m, abs=1e-9)


@pytest.mark.parametrize("formula", [outward_throw, exact_outward_throw, end_angle])
@pytest.mark.parametrize(
    "asked",
    [(16, 3.5, 24.9), (16, 3.5, 0), (16, 3.5, -150), (16, 3.5, math.nan), (16, 3.5, MAX_RADIUS_M * 2), (math.inf, 3.5, 150),
     (-1, 3.5, 150), (16, -0.1, 150), (60, 3.5, 30)],
)  # fmt: skip
def test_what_is_no_curve_or_no_vehicle_is_refused(
    formula: Callable[[float, float, float], float], asked: tuple[float, float, float]
) -> None:
    with pytest.raises(OutsideModelError):
        formula(*asked)


@pytest.mark.parametrize(("length_m", "centres_m"), [(16.0, 16.0), (16.0, 20.0), (16.0, 0.0), (math.inf, 16.0)])
def test_bogies_stand_under_their_vehicle(length_m: float, centres_m: float) -> None:
    with pytest.raises(OutsideModelError):
        overhang(length_m, centres_m)
