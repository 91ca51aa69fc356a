"""A portion stands on a gradient by hand and parking brakes alone, or the answer says why it does not."""

import math
from dataclasses import replace
from itertools import combinations
from typing import TypeVar

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from headstock.base.errors import InputError, OutsideModelError
from headstock.capability.holding import (
    AdhesionLimits,
    FewerThanLeastCount,
    ForceFallsShort,
    HeldWithMargin,
    HoldingBrake,
    HoldingReason,
    HoldingResult,
    LeastCountDecides,
    NoBrakeCounts,
    PortionOnGradient,
    available_brakes,
    predict_balance,
    predict_holding,
)

VEHICLE_KG = 40_000.0
Kind = TypeVar("Kind", bound=HoldingReason)


def _vehicle_brake(number: int, force_n: float = 14_000.0, axle_mass_kg: float = 20_000.0) -> HoldingBrake:
    return HoldingBrake(f"hand-{number}", f"vehicle {number}", force_n, axle_mass_kg)


def _portion(  # four vehicles of 40 t falling at 1 in 150, a hand brake on half the axles of each
    gradient: float = 1 / 150, count: int = 4, margin: float = 1.5, adhesion: float = 0.12, least_count: int = 1
) -> PortionOnGradient:
    brakes = tuple(_vehicle_brake(number) for number in range(1, count + 1))
    return PortionOnGradient("rear portion", 4 * VEHICLE_KG, gradient, brakes, margin, adhesion, least_count)


def _unequal(*forces_kn: float, need_kn: float, margin: float = 1.0, least_count: int = 1) -> PortionOnGradient:
    """Brakes of these forces, on a gradient made so that the hill pulls need_kn; the rail is not in question."""
    pull = need_kn / (1000.0 * 9.80665)
    brakes = tuple(HoldingBrake(f"b{n}", "", 1000.0 * force, 90_000.0) for n, force in enumerate(forces_kn))
    return PortionOnGradient("toy", 1e6, pull / math.sqrt(1.0 - pull * pull), brakes, margin, 0.4, least_count)


def _reason(result: HoldingResult, kind: type[Kind]) -> Kind:
    found = [reason for reason in result.reasons if isinstance(reason, kind)]
    assert len(found) == 1, result.reasons
    return found[0]


@st.composite
def portions(draw: st.DrawFn, most_brakes: int = 7, margin: float | None = None) -> PortionOnGradient:
    brakes = tuple(
        HoldingBrake(f"b{n}", f"vehicle {n}", draw(st.sampled_from([0.0, 4e3, 8e3, 1.1e4, 2.3e4])), axle_kg)
        for n, axle_kg in enumerate(draw(st.lists(st.floats(0.0, 40_000.0), max_size=most_brakes)))
    )
    return PortionOnGradient(
        name="drawn",
        mass_kg=sum(brake.braked_axle_mass_kg for brake in brakes) + draw(st.floats(20_000.0, 200_000.0)),
        gradient=draw(st.one_of(st.just(0.0), st.floats(-0.06, 0.06), st.floats(-0.15, 0.15))),
        brakes=brakes,
        margin=draw(st.floats(1.0, 2.5)) if margin is None else margin,
        adhesion=draw(st.floats(0.04, 0.3)),
        least_count=draw(st.integers(1, 3)),
    )


# The answer in the plain case


def test_one_hand_brake_holds_the_bare_weight_but_not_the_margin() -> None:
    result = predict_holding(_portion())
    assert result.slope_force_n == pytest.approx(10_460.0, abs=1.0)
    assert result.needed_force_n == pytest.approx(1.5 * result.slope_force_n)
    assert result.holds
    assert result.smallest_set == ("hand-1", "hand-2")
    assert result.set_on is not None
    assert result.set_on.force_n == 28_000.0
    assert result.set_on.margin_reached == pytest.approx(28_000.0 / 10_460.2, rel=1e-4)
    assert result.reasons == (HeldWithMargin(2, result.set_on.margin_reached),)


def test_with_one_of_two_lost_it_still_stands_but_without_the_margin() -> None:
    lost = predict_holding(_portion()).set_with_one_lost
    assert lost is not None
    assert (lost.brakes_on, lost.lost, lost.force_n) == (("hand-2",), "hand-1", 14_000.0)
    assert lost.stands
    assert not lost.stands_with_margin
    assert lost.surplus_n == pytest.approx(14_000.0 - 10_460.0, abs=1.0)


def test_with_all_on_one_can_be_lost() -> None:
    result = predict_holding(_portion())
    assert result.all_on.force_n == 56_000.0
    assert result.all_with_one_lost is not None
    assert result.all_with_one_lost.force_n == 42_000.0
    assert result.all_with_one_lost.stands_with_margin


def test_the_brake_lost_is_the_strongest() -> None:
    result = predict_holding(_unequal(10.0, 30.0, 20.0, need_kn=35.0))
    assert result.all_with_one_lost is not None
    assert (result.all_with_one_lost.lost, result.all_with_one_lost.force_n) == ("b1", 30_000.0)
    assert not result.all_with_one_lost.stands


def test_the_order_stated_decides_between_sets_of_the_same_size() -> None:
    portion = _portion()
    turned = replace(portion, brakes=portion.brakes[::-1])
    assert predict_holding(turned).smallest_set == ("hand-4", "hand-3")


def test_fewest_comes_before_preference() -> None:
    assert predict_holding(_unequal(5.0, 5.0, 5.0, 15.0, need_kn=14.0)).smallest_set == ("b3",)


def test_a_preferred_brake_is_kept_when_a_strong_one_completes_it() -> None:
    assert predict_holding(_unequal(5.0, 9.0, 12.0, 4.0, need_kn=16.0)).smallest_set == ("b0", "b2")


def test_the_way_it_falls_does_not_change_the_answer() -> None:
    assert predict_holding(_portion(gradient=-1 / 150)) == predict_holding(_portion())


def test_a_brake_that_just_holds_is_not_lost_to_rounding() -> None:
    # 40 per mille at an adhesion of 0.12 with exactly a third of the weight braked.
    brake = HoldingBrake("parking", "unit", 1e6, 100_000.0 / 3.0)
    assert predict_holding(PortionOnGradient("unit", 100_000.0, 0.040, (brake,), 1.0, 0.12, 1)).holds
    weaker = replace(brake, braked_axle_mass_kg=33_333.0)
    assert not predict_holding(PortionOnGradient("unit", 100_000.0, 0.040, (weaker,), 1.0, 0.12, 1)).holds


# The level


def test_a_level_road_is_held_too() -> None:
    result = predict_holding(_portion(gradient=0.0, least_count=2))
    assert result.smallest_set == ("hand-1", "hand-2")
    assert result.set_on is not None
    assert result.set_on.margin_reached == math.inf
    assert _reason(result, LeastCountDecides) == LeastCountDecides(0, 2)


def test_the_least_count_decides_only_where_force_alone_asks_fewer() -> None:
    assert [reason.code for reason in predict_holding(_portion(least_count=2)).reasons] == ["held-with-margin"]
    result = predict_holding(_portion(least_count=3))
    assert _reason(result, LeastCountDecides) == LeastCountDecides(2, 3)
    assert _reason(result, HeldWithMargin).brakes_needed == 3


def test_nothing_stands_with_no_brake_on_level_or_not() -> None:
    for gradient in (0.0, 0.01):
        balance = predict_balance(_portion(gradient=gradient), ())
        assert not balance.stands
        assert not balance.stands_with_margin
        assert (balance.force_n, balance.margin_reached, balance.share_of_need) == (0.0, 0.0, 0.0)


def test_the_only_brake_on_a_level_cannot_be_lost() -> None:
    lost = predict_holding(_portion(gradient=0.0)).set_with_one_lost
    assert lost is not None
    assert not lost.stands


def test_no_brake_at_all_is_a_no_with_every_reason() -> None:
    result = predict_holding(_portion(count=0))
    assert not result.holds
    assert result.smallest_set == ()
    assert result.set_on is result.set_with_one_lost is result.all_with_one_lost is None
    assert result.held_gradient == 0.0
    assert [reason.code for reason in result.reasons] == [
        "no-brake-counts",
        "fewer-than-least-count",
        "force-falls-short",
        "adhesion-limits",
    ]


def test_no_brake_on_a_level_is_a_no() -> None:
    result = predict_holding(_portion(gradient=0.0, count=0))
    assert not result.holds
    assert result.reasons == (NoBrakeCounts(), FewerThanLeastCount(0, 1))


# No, and why


def test_more_brakes_are_needed_than_are_fitted() -> None:
    result = predict_holding(_portion(gradient=0.030, count=4))
    assert not result.holds
    short = _reason(result, ForceFallsShort)
    assert short.available_force_n == 56_000.0
    assert short.needed_force_n == pytest.approx(160_000 * 9.80665 * 0.030 * 1.5, rel=1e-3)
    assert short.more_brakes_needed == 2  # 70.6 kN at 14 kN each: six
    assert result.all_on.share_of_need == pytest.approx(56.0 / 70.58, rel=1e-3)


def test_the_least_count_is_a_no_of_its_own() -> None:
    result = predict_holding(_portion(count=3, least_count=4))
    assert not result.holds
    assert result.reasons == (FewerThanLeastCount(3, 4),)
    assert result.all_on.stands_with_margin


def test_a_brake_without_force_or_weight_counts_for_nothing() -> None:
    portion = _portion(count=0, least_count=3)
    dead = (_vehicle_brake(1, force_n=0.0), _vehicle_brake(2, axle_mass_kg=0.0))
    live = (_vehicle_brake(3), _vehicle_brake(4))
    result = predict_holding(replace(portion, brakes=dead + live))
    assert _reason(result, FewerThanLeastCount) == FewerThanLeastCount(2, 3)
    assert predict_holding(replace(portion, brakes=dead + live, least_count=2)).smallest_set == ("hand-3", "hand-4")
    none = predict_holding(replace(portion, brakes=dead, least_count=1))
    assert _reason(none, AdhesionLimits).braked_share == 0.0
    assert _reason(none, NoBrakeCounts) == NoBrakeCounts()
    assert _reason(none, ForceFallsShort).more_brakes_needed is None


def test_the_rail_takes_less_than_the_brakes_give() -> None:
    result = predict_holding(_portion(gradient=0.020, margin=1.5, adhesion=0.05))
    assert not result.holds
    limit = _reason(result, AdhesionLimits)
    assert limit.brakes == ("hand-1", "hand-2", "hand-3", "hand-4")
    assert limit.braked_share == 0.5
    assert limit.smallest_braked_share == pytest.approx(0.6)
    assert limit.would_hold_without_limit
    assert limit.lost_force_n == pytest.approx(56_000.0 - result.all_on.force_n)
    assert all(brake.is_adhesion_limited for brake in result.available)


def test_too_few_braked_axles_are_named_even_where_the_brakes_are_weak() -> None:
    result = predict_holding(_portion(gradient=0.10, adhesion=0.25, margin=1.5))
    limit = _reason(result, AdhesionLimits)
    assert limit.brakes == ()
    assert limit.smallest_braked_share == pytest.approx(0.6)
    assert not limit.would_hold_without_limit


def test_a_brake_too_strong_for_its_axles_is_named_even_where_enough_axles_are_braked() -> None:
    strong, weak = _vehicle_brake(1, 90_000.0, 20_000.0), _vehicle_brake(2, 5_000.0, 120_000.0)
    result = predict_holding(replace(_portion(gradient=0.030), brakes=(strong, weak)))
    limit = _reason(result, AdhesionLimits)
    assert limit.brakes == ("hand-1",)
    assert limit.braked_share > limit.smallest_braked_share
    assert limit.would_hold_without_limit


def test_weak_brakes_on_enough_axles_are_no_matter_of_adhesion() -> None:
    result = predict_holding(_portion(gradient=0.030))
    assert [reason.code for reason in result.reasons] == ["force-falls-short"]


def test_no_number_of_brakes_holds_steeper_than_the_rail_allows() -> None:
    result = predict_holding(_portion(gradient=0.10, adhesion=0.12, margin=1.5))
    assert _reason(result, ForceFallsShort).more_brakes_needed is None
    assert _reason(result, AdhesionLimits).smallest_braked_share > 1.0


# Bad figures


@pytest.mark.parametrize("gradient", [0.151, -0.151, 6.67, math.inf])
def test_a_gradient_beyond_the_formulas_is_outside_the_model(gradient: float) -> None:
    with pytest.raises(OutsideModelError, match="gradient"):
        _portion(gradient=gradient)


def test_an_adhesion_no_rail_has_is_outside_the_model() -> None:
    with pytest.raises(OutsideModelError, match="adhesion"):
        _portion(adhesion=0.6)


def test_all_that_contradicts_itself_is_told_at_once() -> None:
    brakes = (_vehicle_brake(1, -1.0), _vehicle_brake(1, math.nan, math.inf))
    with pytest.raises(InputError) as refused:
        PortionOnGradient("rear", 0.0, math.nan, brakes, 0.9, 0.0, 0)
    assert [fault.what for fault in refused.value.faults] == [
        "brake named twice",
        "force_n",
        "force_n",
        "braked_axle_mass_kg",
        "mass_kg",
        "mass on braked axles",
        "margin",
        "least_count",
        "adhesion",
        "gradient",
    ]
    assert refused.value.where == "rear"


def test_axles_cannot_be_counted_twice() -> None:
    brakes = tuple(_vehicle_brake(number, axle_mass_kg=VEHICLE_KG) for number in range(5))
    with pytest.raises(InputError, match="braked axles"):
        PortionOnGradient("rear", 4 * VEHICLE_KG, 0.01, brakes, 1.5, 0.12, 1)


@pytest.mark.parametrize("margin", [150.0, 0.99, math.inf, math.nan])
def test_a_margin_in_per_cent_is_refused(margin: float) -> None:
    with pytest.raises(InputError, match="margin"):
        _portion(margin=margin)


def test_a_brake_of_next_to_nothing_counts_for_nothing() -> None:
    # A force of 1e-300 N once asked for more brakes than a number can hold.
    brakes = (_vehicle_brake(1, force_n=1e-300), _vehicle_brake(2, axle_mass_kg=2e-309))
    result = predict_holding(replace(_portion(), brakes=brakes))
    assert _reason(result, NoBrakeCounts) == NoBrakeCounts()
    assert result.held_gradient == 0.0


@pytest.mark.parametrize(("brakes_on", "lost"), [(("hand-9",), None), (("hand-1", "hand-1"), None), (("hand-1",), "hand-2")])
def test_a_balance_of_brakes_that_are_not_there_is_refused(brakes_on: tuple[str, ...], lost: str | None) -> None:
    with pytest.raises(InputError):
        predict_balance(_portion(), brakes_on, lost)


# What is true of every portion


@given(portions())
def test_the_smallest_set_is_the_smallest_and_the_first_of_its_size(portion: PortionOnGradient) -> None:
    result = predict_holding(portion)
    counting = [brake.key for brake in available_brakes(portion) if brake.available_force_n > 0.0]
    by_size_then_order = (keys for size in range(portion.least_count, len(counting) + 1) for keys in combinations(counting, size))
    holding = (keys for keys in by_size_then_order if predict_balance(portion, keys).stands_with_margin)
    assert result.smallest_set == next(holding, ())
    assert result.holds == bool(result.smallest_set)


@given(portions())
def test_every_answer_has_its_reasons_and_only_its_own(portion: PortionOnGradient) -> None:
    result = predict_holding(portion)
    is_yes = [isinstance(reason, HeldWithMargin | LeastCountDecides) for reason in result.reasons]
    assert is_yes
    assert all(is_yes) == any(is_yes) == result.holds
    assert math.isfinite(result.held_gradient)
    assert result == predict_holding(portion)


@given(portions())
def test_losing_the_strongest_is_the_worst_single_loss(portion: PortionOnGradient) -> None:
    result = predict_holding(portion)
    keys = [brake.key for brake in portion.brakes]
    worst = min((predict_balance(portion, keys, lost=key).force_n for key in keys), default=None)
    assert (result.all_with_one_lost.force_n if result.all_with_one_lost else None) == worst


@given(portions(), st.floats(1.01, 3.0))
def test_more_mass_never_needs_fewer_brakes(portion: PortionOnGradient, factor: float) -> None:
    light, heavy = predict_holding(portion), predict_holding(replace(portion, mass_kg=factor * portion.mass_kg))
    if heavy.holds:
        assert light.holds
        assert len(light.smallest_set) <= len(heavy.smallest_set)
    assert heavy.held_gradient <= light.held_gradient


@given(portions(), st.floats(1.01, 3.0))
def test_a_larger_margin_never_needs_fewer_brakes(portion: PortionOnGradient, factor: float) -> None:
    usual, wider = predict_holding(portion), predict_holding(replace(portion, margin=factor * portion.margin))
    if wider.holds:
        assert usual.holds
        assert len(usual.smallest_set) <= len(wider.smallest_set)
    assert wider.held_gradient <= usual.held_gradient


@given(portions(), st.floats(0.1, 0.99))
def test_a_gentler_slope_never_needs_more_brakes(portion: PortionOnGradient, factor: float) -> None:
    steep, gentle = predict_holding(portion), predict_holding(replace(portion, gradient=factor * portion.gradient))
    if steep.holds:
        assert gentle.holds
        assert len(gentle.smallest_set) <= len(steep.smallest_set)


@given(portions(), st.integers(2, 4))
def test_doubling_identical_units_leaves_the_held_gradient_unchanged(portion: PortionOnGradient, times: int) -> None:
    many = replace(
        portion,
        mass_kg=times * portion.mass_kg,
        brakes=tuple(replace(brake, key=f"{n}/{brake.key}") for n in range(times) for brake in portion.brakes),
    )
    assert predict_holding(many).held_gradient == pytest.approx(predict_holding(portion).held_gradient, rel=1e-9)


@given(portions())
def test_the_held_gradient_is_where_holding_ends(portion: PortionOnGradient) -> None:
    held = predict_holding(portion)
    assume(held.held_gradient > 1e-6)
    all_keys = [brake.key for brake in portion.brakes]
    below = replace(portion, gradient=held.held_gradient * (1.0 - 1e-6))
    assert predict_balance(below, all_keys).stands_with_margin
    if not held.is_held_gradient_capped:
        above = replace(portion, gradient=min(held.held_gradient * (1.0 + 1e-6), 0.15))
        assert not predict_balance(above, all_keys).stands_with_margin or above.gradient == 0.15


def test_a_held_gradient_beyond_the_formulas_is_capped_and_says_so() -> None:
    brake = HoldingBrake("parking", "unit", 1e6, 100_000.0)
    result = predict_holding(PortionOnGradient("unit", 100_000.0, 0.01, (brake,), 1.0, 0.3, 1))
    assert (result.held_gradient, result.is_held_gradient_capped) == (0.15, True)


def test_a_long_train_is_answered_at_once() -> None:
    brakes = tuple(HoldingBrake(f"b{n}", "", 20_000.0 + n % 7, 40_000.0) for n in range(300))
    result = predict_holding(PortionOnGradient("long", 300 * 90_000.0, 0.012, brakes, 1.3, 0.12, 1))
    assert result.holds
