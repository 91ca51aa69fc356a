"""Parking on a gradient, held against published figures, each solved forwards and back."""

import math

import pytest

from headstock.capability.holding import (
    AdhesionLimits,
    ForceFallsShort,
    HoldingBrake,
    HoldingResult,
    PortionOnGradient,
    predict_balance,
    predict_holding,
)
from headstock.physics.adhesion import adhesion_asked_on_gradient, gradient_held_by_adhesion, smallest_braked_share
from headstock.physics.gradient import (
    G_M_S2,
    gradient_from_one_in,
    gradient_from_per_mille,
    gradient_of_slope_force,
    mass_of_slope_force_kg,
    one_in_from_gradient,
    per_mille_from_gradient,
    slope_acceleration_m_s2,
    slope_force_n,
)

TSI = "Regulation (EU) No 1302/2014 (TSI LOC&PAS), 2015 text"
RT2044 = "GM/RT2044"
DOREE = "TSB R11Q0056"
STATICS = "statics of the inclined plane, F = m g i"
ETCS = "SUBSET-026"

UNIT_MASS_KG = 150_000.0
PARKING_ADHESION = 0.12


def _unit_parked(braked_share: float, per_mille: float, force_n: float = 1e6) -> HoldingResult:
    """A unit on one parking brake, by default so strong that only the rail sets the limit."""
    brake = HoldingBrake("parking", "unit", force_n, braked_share * UNIT_MASS_KG)
    gradient = gradient_from_per_mille(per_mille)
    return predict_holding(PortionOnGradient("unit", UNIT_MASS_KG, gradient, (brake,), 1.0, PARKING_ADHESION, 1))


# 40 per mille


@pytest.mark.outside(source=TSI, clause="4.2.4.5.5(1)", status="read")
def test_a_parking_brake_made_for_40_per_mille_holds_it_and_no_more() -> None:
    needed_n = slope_force_n(UNIT_MASS_KG, gradient_from_per_mille(40.0))
    assert _unit_parked(0.5, 40.0, needed_n).holds
    assert not _unit_parked(0.5, 40.1, needed_n).holds


@pytest.mark.outside(source=TSI, clause="4.2.4.5.5(1)", status="read")
def test_the_force_for_40_per_mille_gives_40_per_mille_back() -> None:
    needed_n = slope_force_n(UNIT_MASS_KG, gradient_from_one_in(25.0))
    assert per_mille_from_gradient(gradient_of_slope_force(needed_n, UNIT_MASS_KG)) == pytest.approx(40.0)
    assert mass_of_slope_force_kg(needed_n, 0.040) == pytest.approx(UNIT_MASS_KG)


@pytest.mark.outside(source=TSI, clause="4.2.4.5.5(3)", status="read")
def test_the_gradient_held_by_the_brake_alone_is_part_of_the_answer() -> None:
    needed_n = slope_force_n(UNIT_MASS_KG, gradient_from_per_mille(40.0))
    # Asked on a gentler road, the brake still says what it was made for.
    assert per_mille_from_gradient(_unit_parked(0.5, 10.0, needed_n).held_gradient) == pytest.approx(40.0)


# Adhesion 0.12


@pytest.mark.outside(source=TSI, clause="4.2.4.5.5(1) with 4.2.4.6.1(3)", status="read")
def test_a_third_of_the_weight_must_stand_on_braked_axles() -> None:
    assert smallest_braked_share(0.040, PARKING_ADHESION) == pytest.approx(1 / 3)
    assert _unit_parked(1 / 3, 40.0).holds
    refused = _unit_parked(0.332, 40.0)
    assert not refused.holds
    [limit] = [reason for reason in refused.reasons if isinstance(reason, AdhesionLimits)]
    assert limit.smallest_braked_share == pytest.approx(0.333, abs=0.0005)


@pytest.mark.outside(source=TSI, clause="4.2.4.5.5(1) with 4.2.4.6.1(3)", status="read")
def test_a_third_of_the_weight_gives_40_per_mille_and_0_12_back() -> None:
    assert gradient_held_by_adhesion(1 / 3, PARKING_ADHESION) == pytest.approx(0.040)
    assert adhesion_asked_on_gradient(1 / 3, 0.040) == pytest.approx(PARKING_ADHESION)
    assert per_mille_from_gradient(_unit_parked(1 / 3, 10.0).held_gradient) == pytest.approx(40.0)


# 1 in 30


@pytest.mark.outside(
    source=RT2044, clause="parking brake, 1 in 30", status="from memory", why="sine for tangent; one figure is rounded"
)
def test_1_in_30_asks_five_sixths_of_1_in_25() -> None:
    assert per_mille_from_gradient(gradient_from_one_in(30.0)) == pytest.approx(33.3, abs=0.05)
    share = smallest_braked_share(gradient_from_one_in(30.0), PARKING_ADHESION)
    assert share == pytest.approx(5 / 6 * smallest_braked_share(gradient_from_one_in(25.0), PARKING_ADHESION))
    assert share == pytest.approx(0.278, abs=0.0005)


@pytest.mark.outside(
    source=RT2044, clause="parking brake, 1 in 30", status="from memory", why="sine for tangent; one figure is rounded"
)
def test_a_brake_made_for_1_in_30_gives_1_in_30_back_and_fails_on_1_in_25() -> None:
    needed_n = slope_force_n(UNIT_MASS_KG, gradient_from_one_in(30.0))
    result = _unit_parked(0.5, 40.0, needed_n)
    assert not result.holds
    assert one_in_from_gradient(result.held_gradient) == pytest.approx(30.0)
    assert result.all_on.share_of_need == pytest.approx(5 / 6, rel=0.001)


# An ore train that ran away: 12 hand brakes by the rule, 35 applied, 57 needed

SHORT_TON_KG = 907.184_74
POUND_FORCE_N = 4.448_221_615_260_5
TRAIN_KG = 10_070.0 * SHORT_TON_KG
CARS = 112
AVERAGE_GRADIENT = 0.013
# Computed from the need and the 57; the count itself is the check, the force is not one.
FORCE_PER_BRAKE_N = 4_593.0 * POUND_FORCE_N


def _ore_train(brakes_on: int) -> PortionOnGradient:
    car_kg = TRAIN_KG / (CARS + 2)
    brakes = tuple(HoldingBrake(f"car {n}", "", FORCE_PER_BRAKE_N, car_kg) for n in range(brakes_on))
    return PortionOnGradient("ore train", TRAIN_KG, AVERAGE_GRADIENT, brakes, 1.0, PARKING_ADHESION, 1)


@pytest.mark.outside(
    source=DOREE, clause="hand brakes needed", status="second-hand", why="one brake more or less; masses are given to a ton"
)
def test_the_ore_train_needed_57_hand_brakes() -> None:
    result = predict_holding(_ore_train(CARS))
    assert len(result.smallest_set) == 57
    assert result.slope_force_n / POUND_FORCE_N == pytest.approx(261_800.0, rel=1e-4)
    assert not any(brake.is_adhesion_limited for brake in result.available)


@pytest.mark.outside(
    source=DOREE, clause="hand brakes applied and by the rule", status="second-hand", why="given in whole per cent"
)
@pytest.mark.parametrize(("applied", "share_of_need"), [(35, 0.61), (12, 0.21)])
def test_the_hand_brakes_applied_were_too_few(applied: int, share_of_need: float) -> None:
    balance = predict_balance(_ore_train(CARS), [f"car {n}" for n in range(applied)])
    assert not balance.stands
    assert balance.share_of_need == pytest.approx(share_of_need, abs=0.005)
    result = predict_holding(_ore_train(applied))
    assert not result.holds
    [short] = [reason for reason in result.reasons if isinstance(reason, ForceFallsShort)]
    assert short.more_brakes_needed == 57 - applied


@pytest.mark.outside(
    source=DOREE, clause="hand brakes needed", status="second-hand", why="one brake more or less; masses are given to a ton"
)
def test_57_hand_brakes_give_the_average_gradient_back() -> None:
    result = predict_holding(_ore_train(57))
    assert result.held_gradient == pytest.approx(AVERAGE_GRADIENT, rel=1 / 57)
    assert result.held_gradient >= AVERAGE_GRADIENT
    assert predict_holding(_ore_train(56)).held_gradient < AVERAGE_GRADIENT
    assert mass_of_slope_force_kg(57 * FORCE_PER_BRAKE_N, AVERAGE_GRADIENT) / SHORT_TON_KG == pytest.approx(10_070.0, rel=1e-4)


# F = m g i


@pytest.mark.outside(source=STATICS, clause="worked figures, rounded to 0.1 kN", status="computed")
@pytest.mark.parametrize(
    ("mass_t", "gradient", "pull_kn"),
    [(200.0, gradient_from_per_mille(10.0), 19.6), (160.0, gradient_from_one_in(150.0), 10.5)],
)
def test_the_pull_of_the_hill_is_mass_times_g_times_gradient(mass_t: float, gradient: float, pull_kn: float) -> None:
    pull_n = slope_force_n(1000.0 * mass_t, gradient)
    assert round(pull_n / 1000.0, 1) == pull_kn
    assert mass_of_slope_force_kg(pull_n, gradient) == pytest.approx(1000.0 * mass_t)
    assert gradient_of_slope_force(pull_n, 1000.0 * mass_t) == pytest.approx(gradient)


@pytest.mark.outside(source=STATICS, clause="the sine form on seven gradients, rounded to 10 N", status="computed")
@pytest.mark.parametrize(
    ("fall_percent", "pull_kn"),
    [(0.5, 9.81), (1.0, 19.61), (1.25, 24.51), (2.0, 39.22), (2.5, 49.02), (3.5, 68.60), (4.0, 78.39)],
)
def test_the_pull_on_200_t_follows_the_sine_and_not_the_tangent(fall_percent: float, pull_kn: float) -> None:
    pull_n = slope_force_n(200_000.0, fall_percent / 100.0)
    assert pull_n / 1000.0 == pytest.approx(pull_kn, abs=0.0051)
    assert 100.0 * gradient_of_slope_force(pull_n, 200_000.0) == pytest.approx(fall_percent)
    assert pull_n == pytest.approx(200_000.0 * G_M_S2 * math.sin(math.atan(fall_percent / 100.0)))


# Turning parts on a gradient


@pytest.mark.outside(source=ETCS, clause="3.13.4.3.2 and its worked figure", status="read", why="printed to three or four digits")
@pytest.mark.parametrize(
    ("per_mille", "rotating_mass_share", "acceleration_m_s2"),
    [(-9.0, 0.02, -0.0865), (-18.0, 0.02, -0.1729), (-8.0, 0.02, -0.0769), (7.0, 0.15, 0.05965)],
)
def test_turning_parts_on_a_gradient_give_the_printed_acceleration(
    per_mille: float, rotating_mass_share: float, acceleration_m_s2: float
) -> None:
    # The rotating shares are not printed beside the figures: 2 % down and 15 % up are what they fit.
    gradient = gradient_from_per_mille(per_mille)
    acceleration = slope_acceleration_m_s2(gradient, rotating_mass_share)
    assert acceleration == pytest.approx(acceleration_m_s2, rel=0.0011)
    # Back: from the printed acceleration to the gradient.
    back = gradient_of_slope_force(acceleration_m_s2 * (1.0 + rotating_mass_share), 1.0)
    assert per_mille_from_gradient(back) == pytest.approx(per_mille, rel=0.0011)
