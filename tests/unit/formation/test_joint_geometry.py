"""How far ends stand apart: in height, and sideways on a curve; and what that makes of the ways to join."""

from __future__ import annotations

import pytest

from headstock.base.errors import InputError
from headstock.formation.curve_at_joint import BENDS, CurveAtJoint, curve_from
from headstock.formation.joinability import TypeEnd, can_be_joined
from headstock.formation.joint_geometry import joint_geometry
from tests.unit.formation.test_joinability import RULES, end_of, with_device

GALE_MM = 1000 * 3.5 * (16 + 3.5) / (2 * 150)
"""Vehicle of 23 m, bogies 16 m apart, on 150 m."""
MOSS_MM = 1000 * 2.8 * (12.6 + 2.8) / (2 * 150)


def reasons(first: str, second: str, curve: CurveAtJoint | None, way: str) -> tuple[str, ...]:
    ways = can_be_joined(end_of(first), end_of(second), RULES, curve).ways
    return next(one.reasons for one in ways if one.name == way)


@pytest.mark.parametrize(
    ("bend", "apart_mm"),
    [
        ("one curve", GALE_MM - MOSS_MM),
        ("end of a curve", GALE_MM),
        ("reverse curve", GALE_MM + MOSS_MM),
        (None, GALE_MM + MOSS_MM),
    ],
)
@pytest.mark.parametrize("turned", [False, True])
def test_how_the_curve_bends_decides_how_far_apart_two_ends_stand(bend: str | None, apart_mm: float, turned: bool) -> None:
    ends = [end_of("gale/1"), end_of("moss/2")]
    found = joint_geometry(*(ends[::-1] if turned else ends), curve_from(150.0, bend))
    assert found.sideways_apart_mm == pytest.approx(apart_mm, abs=1e-9)
    assert found.throws_mm == pytest.approx((MOSS_MM, GALE_MM) if turned else (GALE_MM, MOSS_MM))


def test_heads_are_refused_beyond_what_they_gather_with_the_figures() -> None:
    assert reasons("gale/1", "gale/2", curve_from(150.0, "one curve"), "direct") == ()
    (said,) = reasons("gale/1", "gale/2", curve_from(150.0, "reverse curve"), "direct")
    assert said == "not here: on a reverse curve of 150 m the heads stand 455 mm apart sideways, they gather 320 mm"
    (said,) = reasons("tarn/1", "fell/1", curve_from(150.0, "end of a curve"), "direct")
    assert "stand 179 mm apart sideways, they gather 120 mm" in said
    assert reasons("tarn/1", "fell/1", curve_from(250.0, "end of a curve"), "direct") == ()


def test_what_an_adapter_closes_on_gathers_no_more_than_its_own_head() -> None:
    (said,) = reasons("wold/1", "gale/1", curve_from(100.0, "reverse curve"), "adapter")
    assert said.endswith("they gather 320 mm")
    assert can_be_joined(end_of("wold/1"), end_of("gale/1"), RULES, curve_from(100.0, "one curve")).best.name == "adapter"


def test_a_screw_is_laid_by_hand_and_warns_of_locked_buffers_on_a_curve() -> None:
    curved = can_be_joined(end_of("moss/1"), end_of("moss/2"), RULES, curve_from(80.0, None)).best
    straight = can_be_joined(end_of("moss/1"), end_of("moss/2"), RULES).best
    assert (curved.name, curved.answer) == ("screw", "yes")
    assert set(curved.restrictions) - set(straight.restrictions) == {
        "nobody stands on the inside of the curve: buffers can lock there"
    }


@pytest.mark.parametrize("what", ["bogie_centres_m", "gathers_horizontally_mm"])
def test_what_is_not_known_is_a_no_on_a_curve_and_nothing_on_straight_track(what: str) -> None:
    gale = end_of("gale/1")
    if what == "bogie_centres_m":
        bare = tuple(vehicle.model_copy(update={"bogie_centres_m": None}) for vehicle in gale.unit_type.vehicles)
        lacking = TypeEnd("gale/1", gale.unit_type.model_copy(update={"vehicles": bare}), "1")
    else:
        lacking = with_device(gale, "coupler", gathers_horizontally_mm=None)
    assert can_be_joined(lacking, end_of("gale/2"), RULES).answer == "yes"
    found = can_be_joined(lacking, end_of("gale/2"), RULES, curve_from(5000.0, "one curve"))
    assert found.answer == "no"
    said = next(way.reasons for way in found.ways if way.name == "direct")
    assert any("not known whether the heads meet" in reason and what in reason for reason in said)


def test_a_bend_not_said_is_taken_as_the_worst_and_said() -> None:
    (said,) = reasons("gale/1", "gale/2", curve_from(150.0, None), "direct")
    assert "how it bends is not said: taken as a reverse curve" in said


def test_heights_and_throw_are_told_in_words() -> None:
    lines = joint_geometry(end_of("gale/1"), end_of("holm/1"), curve_from(150.0, "one curve")).lines()
    assert lines[0] == "heights can be 40 mm apart over wear, load and suspension, the heads gather 140 mm"
    assert lines[1] == "on one curve of 150 m the ends stand out by 228 mm and 248 mm, 20 mm apart"
    assert lines[2].startswith("heads at an angle of 9.0 degrees"), "half vehicles of 11.5 m and 12.1 m: 23.6 m on 150 m"
    assert lines[2].endswith("the heads gather 320 mm")
    assert joint_geometry(end_of("moss/1"), end_of("holm/2"), None).lines() == ()


@pytest.mark.parametrize(
    ("radius_m", "bend"), [(24.0, None), (1e6, None), (float("nan"), None), (150.0, "bent"), (None, BENDS[0])]
)
def test_a_curve_that_is_none_is_bad_input(radius_m: float | None, bend: str | None) -> None:
    with pytest.raises(InputError):
        curve_from(radius_m, bend)
    assert curve_from(None, None) is None
