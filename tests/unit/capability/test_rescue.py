"""Hauling: what starts, what the couple takes, and unbraked only where the hauling portion alone stops and holds."""

from __future__ import annotations

from dataclasses import replace

import pytest

from headstock.capability.rescue import UNBRAKED, HaulQuestion, WeakPart, hold_while_releasing, predict_haul
from headstock.capability.standing_portion import HoldingBrake, PortionOnGradient
from headstock.physics.gradient import slope_force_n
from headstock.physics.pull import coupling_pull_n, hauling_pull_n, seconds_to_move, steepest_start

PARTS = (WeakPart("the coupler", 480e3), WeakPart("the adapter", 120e3))
ASKED = HaulQuestion(66e3, 157e3, 0.06, 150e3, 97e3, 9e3, 7e3, 0.010, PARTS, True, True, True, 0.05)


def test_a_strong_enough_portion_hauls_and_the_weakest_part_is_named() -> None:
    haul = predict_haul(ASKED)
    assert (haul.verdict, haul.weakest.part, haul.conditions) == ("yes", "the adapter", ())
    assert haul.couple_n == pytest.approx(157e3 * 1.06 * 0.05 + slope_force_n(157e3, 0.010) + 7e3)


def test_the_rail_and_not_the_notch_limits_the_start() -> None:
    haul = predict_haul(ASKED)
    # On the rise that is just started nothing of the adhesion is left.
    needed = slope_force_n(223e3, haul.steepest_start) + 9e3 + 223e3 * 1.06 * 0.05
    assert needed == pytest.approx(97e3)
    assert predict_haul(replace(ASKED, rise=haul.steepest_start + 0.001)).verdict == "no"


def test_too_weak_a_part_refuses() -> None:
    weak = predict_haul(replace(ASKED, parts=(WeakPart("the screw", 20e3),)))
    assert weak.verdict == "no" and not weak.couple_holds and "the screw is rated for 20 kN" in weak.reasons[0]


def test_unbraked_is_only_if_and_refused_without_hold_or_stop() -> None:
    only = predict_haul(replace(ASKED, is_braked=False))
    assert (only.verdict, only.conditions) == ("only if", UNBRAKED)
    for change in ({"holds_alone": False}, {"stops_alone": False}, {"stops_alone": None}):
        refused = predict_haul(replace(ASKED, is_braked=False, **change))  # type: ignore[arg-type]
        assert refused.verdict == "no" and len(refused.reasons) == 1


def test_the_hold_is_told_at_every_release_and_the_first_dip_is_named() -> None:
    brakes = tuple(HoldingBrake(name, "", force, 50e3) for name, force in (("a", 12e3), ("b", 9e3), ("c", 6e3)))
    portion = PortionOnGradient("train", 150e3, 0.010, brakes, 1.2, 0.15, 1)
    order = hold_while_releasing(portion, ["c", "b", "a"])
    assert [step.force_n for step in order.steps] == [21e3, 12e3, 0.0]
    assert [step.stands for step in order.steps] == [True, False, False] and order.dips == "b"
    assert hold_while_releasing(portion, ["c", "b", "a"], also_holds_n=20e3).dips is None


@pytest.mark.outside(source="closed form", clause="pull-away of 200 t, and a standing pull on 1 in 50", status="computed")
def test_pulls_by_hand() -> None:
    pull = hauling_pull_n(200e3, 0.5, 0.08, 5.0 * 200.0 * 9.80665, 0.0)
    assert pull / 1e3 == pytest.approx(117.8, abs=0.05)
    assert (pull - 5.0 * 200.0 * 9.80665) / (200e3 * 1.08) == pytest.approx(0.5)
    assert coupling_pull_n(0.0, 200e3, 0.02) / 1e3 == pytest.approx(39.2, abs=0.03)
    assert coupling_pull_n(30e3, 200e3, 0.0, own_brake_n=30e3) == 0.0, "an own brake takes all of the pull"
    assert 100e3 / 2 / 200e3 * seconds_to_move(1.0, 100e3, 200e3, 0.0) ** 2 == pytest.approx(1.0)
    assert slope_force_n(200e3, steepest_start(60e3, 200e3, 10e3)) == pytest.approx(50e3)
