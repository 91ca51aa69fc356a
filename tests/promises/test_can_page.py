"""The page on what a train can do gives the figures that the code has."""

from __future__ import annotations

from headstock.capability.pull_away import predict_pull
from headstock.capability.rescue import UNBRAKED
from headstock.physics.braked_weight import CURVES, LEAST_PERCENT, MOST_PERCENT
from headstock.physics.braking_adhesion import FEW_AXLES, design_adhesion_law
from headstock.physics.conversion_model import emergency_distance_m
from headstock.usecases.can_stops import RESCUE_KMH
from tests.promises.tree import ROOT

PAGE = " ".join((ROOT / "docs" / "explanation" / "what-it-can-do.md").read_text(encoding="utf-8").split())


def test_adhesion_speeds_and_percentages_of_the_page_are_those_of_the_code() -> None:
    few, many = (design_adhesion_law(axles).at(10.0) for axles in (FEW_AXLES, FEW_AXLES + 1))
    assert FEW_AXLES == 7 and f"{few:g} up to seven, {many:g} above" in PAGE
    speeds = " and ".join(f"{kmh:g}" for kmh in CURVES)
    assert f"known for {speeds} km/h and for {LEAST_PERCENT:g} to {MOST_PERCENT:g} %" in PAGE
    assert f"stops it (from {RESCUE_KMH:g} km/h)" in PAGE
    assert f"{emergency_distance_m(100.0, 200.0, 100.0):.1f} m for 100 % from 100 km/h" in PAGE


def test_the_order_in_which_a_pull_is_tried_is_that_of_the_page() -> None:
    from tests.unit.capability.test_stopping import _question

    tried = [one.notch for one in predict_pull(_question(0.0, notches=(("1", 40e3, 1.0), ("2", 80e3, 1.0)))).tried]
    assert tried == ["none, own brake off", "1", "2"]
    assert "Tried in this order: hanging on the hill with the own brake off, then each notch." in PAGE
    assert len(UNBRAKED) == 4 and "only on the conditions that are listed" in PAGE
