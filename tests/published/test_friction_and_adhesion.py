"""Friction of blocks, adhesion and resistance against their printed tables; those nobody has read are marked so."""

from __future__ import annotations

import numpy as np
import pytest

from headstock.base.errors import OutsideModelError
from headstock.physics.brake_force import FrictionBrake, karwatzki_law
from headstock.physics.braking_adhesion import curtius_kniffler_law, design_adhesion_law
from headstock.physics.resistance import modified_davis_lb_per_ton
from headstock.physics.speed_law import KMH

TSI = "Regulation (EU) No 1302/2014 (TSI LOC&PAS), 2015 text"
CAST_IRON = [
    (0.0, (0.4610, 0.3024, 0.2326)),
    (20.0, (0.2766, 0.1815, 0.1396)),
    (60.0, (0.1844, 0.1210, 0.0930)),
    (100.0, (0.1537, 0.1008, 0.0775)),
]


@pytest.mark.outside(source="Karwatzki", clause="friction of cast iron blocks", status="from memory",
                     why="back from frictions given to four decimals")  # fmt: skip
@pytest.mark.parametrize(("kmh", "frictions"), CAST_IRON)
def test_cast_iron_blocks_follow_their_table_and_give_speed_and_force_back(kmh: float, frictions: tuple[float, ...]) -> None:
    law = karwatzki_law()
    for force_n, friction in zip((5e3, 20e3, 40e3), frictions, strict=True):
        assert law.friction(kmh * KMH, force_n) == pytest.approx(friction, abs=5.1e-5)
        # Back to the speed: y = (V + 100) / (5 V + 100).
        y = friction / law.friction(0.0, force_n)
        assert (100.0 - 100.0 * y) / (5.0 * y - 1.0) == pytest.approx(kmh, abs=0.2)
        # Back to the force: z = (16 x + 100) / (80 x + 100), x the force in kgf x 1000.
        z = friction / law.friction(kmh * KMH, 0.0)
        assert (100.0 - 100.0 * z) / (80.0 * z - 16.0) * 9.81 == pytest.approx(force_n / 1e3, abs=0.06)


@pytest.mark.outside(source="Karwatzki", clause="force at the rail of one vehicle", status="from memory",
                     why="the friction is given to four decimals")  # fmt: skip
def test_a_vehicle_on_cast_iron_blocks_is_the_law_times_its_blocks() -> None:
    brake = FrictionBrake(karwatzki_law(), pressed_n=160e3, full_pa=3.8e5, starts_pa=0.3e5, pieces=8)
    assert brake.force_n(3.8e5, 60.0 * KMH) == pytest.approx(160e3 * 0.1210, rel=5e-4)
    assert brake.force_n(0.3e5, 10.0) == 0.0 and brake.force_n(0.0, 10.0) == 0.0
    assert np.all(np.diff(brake.push_n(np.linspace(0.0, 3.8e5, 20))) >= 0.0)


@pytest.mark.outside(source="Karwatzki", clause="range of use", status="from memory")
def test_beyond_their_range_blocks_are_refused() -> None:
    with pytest.raises(OutsideModelError, match="published for 0 to 120 km/h"):
        karwatzki_law().friction(121.0 * KMH, 20e3)
    with pytest.raises(OutsideModelError, match="block force of 61 kN"):
        karwatzki_law().friction(0.0, 61e3)


@pytest.mark.outside(source="Curtius and Kniffler", clause="dry rails", status="from memory",
                     why="back from adhesions given to four decimals")  # fmt: skip
def test_the_adhesion_of_dry_rails_follows_its_table_and_gives_the_speed_back() -> None:
    law = curtius_kniffler_law()
    for kmh, adhesion in ((0.0, 0.3315), (40.0, 0.2503), (80.0, 0.2215), (120.0, 0.2067), (160.0, 0.1978)):
        assert law.at(kmh * KMH) == pytest.approx(adhesion, abs=5.1e-5)
        assert 7.5 / (adhesion - 0.161) - 44.0 == pytest.approx(kmh, abs=0.3)
    with pytest.raises(OutsideModelError):
        law.at(161.0 * KMH)


@pytest.mark.outside(source=TSI, clause="4.2.4.6.1(1)", status="read")
def test_the_adhesion_a_brake_may_count_on_follows_axles_and_speed() -> None:
    at_100 = [design_adhesion_law(axles).at(100.0 * KMH) for axles in (4, 7, 8, 19, 20, 48)]
    assert at_100 == pytest.approx([0.13, 0.13, 0.15, 0.15, 0.15, 0.15], abs=1e-12)
    least = [design_adhesion_law(axles, is_least_load=True).at(100.0 * KMH) for axles in (19, 20)]
    assert least == pytest.approx([0.15, 0.17], abs=1e-12)
    assert design_adhesion_law(16, True, slide_tested=True).at(0.0) == 0.17
    high = design_adhesion_law(32)
    assert [high.at(kmh * KMH) for kmh in (250.0, 300.0, 350.0)] == pytest.approx([0.15, 0.125, 0.1], abs=5e-5)
    with pytest.raises(OutsideModelError):
        high.at(351.0 * KMH)


@pytest.mark.outside(source="modified Davis", clause="w 32.875 short tons an axle, four axles", status="from memory",
                     why="back from figures given to four decimals")  # fmt: skip
def test_the_resistance_of_freight_cars_follows_its_table() -> None:
    for mph, resistance in ((0.0, 1.2084), (20.0, 1.6213), (40.0, 2.4601), (60.0, 3.7247)):
        assert modified_davis_lb_per_ton(32.875, 4, mph) == pytest.approx(resistance, abs=5.1e-5)
        # Back to the speed by the quadratic in V.
        c = 0.07 / (32.875 * 4)
        rest = 0.6 + 20 / 32.875 - resistance
        assert (-0.01 + (0.01**2 - 4 * c * rest) ** 0.5) / (2 * c) == pytest.approx(mph, abs=0.006)
    with pytest.raises(OutsideModelError):
        modified_davis_lb_per_ton(32.875, 4, 81.0)
