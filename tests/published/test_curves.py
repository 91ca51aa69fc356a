"""Two vehicles on one curve, at its end, on a reverse curve and in a transition: by closed forms of circles and chords."""

from __future__ import annotations

import math

import pytest

from headstock.base.errors import OutsideModelError
from headstock.physics.curve_throw import end_angle, exact_outward_throw
from headstock.physics.track_curve import VehicleEndShape, end_of_curve, reverse, same_hand, worst_meeting

CHORDS = "curve throw"
ARCS = "bogies are set out along the rail, not along the chord"
LONG, SHORT = VehicleEndShape(16.0, 3.5, 1.4, 0.5), VehicleEndShape(14.0, 3.0, 1.4, 0.5)
RADII = [90.0, 150.0, 400.0, 3000.0]


@pytest.mark.outside(source=CHORDS, clause="one curve: difference of the throws, sum of the angles", status="computed", why=ARCS)
@pytest.mark.parametrize("radius_m", RADII)
def test_on_one_curve_the_throws_differ_and_the_angles_add(radius_m: float) -> None:
    met = worst_meeting(same_hand(radius_m), LONG, SHORT)
    apart = exact_outward_throw(16.0, 3.5, radius_m) - exact_outward_throw(14.0, 3.0, radius_m)
    angle = end_angle(16.0, 3.5, radius_m) + end_angle(14.0, 3.0, radius_m)
    # Bogies are set out along the rail, not along the chord: half a millimetre on the sharpest curve.
    assert met.sideways_m == pytest.approx(apart, abs=6e-4)
    assert met.angle_rad == pytest.approx(angle, rel=2e-3)
    # And back to the radius, from the angle: a sum of two arcs.
    assert (16.0 / 2 + 3.5 + 14.0 / 2 + 3.0) / met.angle_rad == pytest.approx(radius_m, rel=3e-3)
    half = angle / 2
    assert met.tight_gap_m == pytest.approx(1.0 * math.cos(half) - 2 * 1.4 * math.sin(half), abs=2e-3)
    assert met.wide_gap_m == pytest.approx(1.0 * math.cos(half) + 2 * 1.4 * math.sin(half), abs=2e-3)


@pytest.mark.outside(source=CHORDS, clause="reverse curve: sum of the throws", status="computed", why=ARCS)
@pytest.mark.parametrize("radius_m", RADII)
def test_on_a_reverse_curve_the_throws_add(radius_m: float) -> None:
    met = worst_meeting(reverse(radius_m), LONG, SHORT)
    both = exact_outward_throw(16.0, 3.5, radius_m) + exact_outward_throw(14.0, 3.0, radius_m)
    assert met.sideways_m == pytest.approx(both, rel=8e-3)
    assert met.at_m == pytest.approx(0.0, abs=0.3)


@pytest.mark.outside(
    source=CHORDS,
    clause="straight: nothing; gap between the bodies is what stands behind the faces",
    status="computed",
    why="a curve of 100 km for a straight",
)
def test_far_from_any_curve_the_ends_face_one_another() -> None:
    met = worst_meeting(same_hand(100_000.0), LONG, LONG)
    assert met.sideways_m == pytest.approx(0.0, abs=1e-6) and met.angle_rad == pytest.approx(0.0, abs=3e-4)
    assert met.tight_gap_m == pytest.approx(1.0, abs=1e-3)


@pytest.mark.outside(source=CHORDS, clause="a longer transition, or straight, never makes it worse", status="computed", why=ARCS)
def test_transitions_and_straights_between_help() -> None:
    into = [worst_meeting(end_of_curve(150.0, m), LONG, SHORT).sideways_m for m in (0.0, 10.0, 30.0, 60.0)]
    between = [worst_meeting(reverse(150.0, m), LONG, SHORT).sideways_m for m in (0.0, 5.0, 10.0, 20.0)]
    assert into == sorted(into, reverse=True) and between == sorted(between, reverse=True)
    # At the end of a curve one is thrown and the other not yet: never more than the greater throw.
    assert into[0] < exact_outward_throw(16.0, 3.5, 150.0) < between[0]


@pytest.mark.outside(source=CHORDS, clause="range", status="computed", why=ARCS)
def test_sharper_than_any_street_is_refused() -> None:
    with pytest.raises(OutsideModelError):
        same_hand(24.0)
