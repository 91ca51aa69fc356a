"""Two portions meet: figures worked out by closed forms and by an independent integration, and turned round."""

from __future__ import annotations

import math

import pytest

from headstock.base.errors import OutsideModelError
from headstock.physics.draft_gear import in_series, linear_gear, measured_gear, power_law_gear, preloaded_gear
from headstock.physics.impact import (
    chain_impact,
    common_speed_m_s,
    contact_s,
    endless_chain_force_n,
    impact_energy_j,
    lump_impact,
    lump_speed_m_s,
    speed_of_energy_m_s,
)
from headstock.physics.speed_law import KMH

CLOSED = "closed form"
STEPS = "figures are given to three or four digits, and a march goes by steps"
CHAIN = "independent integration"
UNIT_KG, STIFF = 200e3, 20e6
LUMPS = [
    (0.5, 0.965, 196.0, 9.8),
    (1.0, 3.858, 393.0, 19.6),
    (2.0, 15.43, 786.0, 39.3),
    (3.0, 34.72, 1179.0, 58.9),
    (5.0, 96.45, 1964.0, 98.2),
    (8.0, 246.9, 3143.0, 157.1),
]


@pytest.mark.outside(source=CLOSED, clause="two lumps of 200 t on 20 kN/mm", status="computed", why=STEPS)
@pytest.mark.parametrize(("kmh", "energy_kj", "force_kn", "stroke_mm"), LUMPS)
def test_two_lumps_on_a_straight_line_and_back_to_the_speed(
    kmh: float, energy_kj: float, force_kn: float, stroke_mm: float
) -> None:
    gear = linear_gear(STIFF, 0.3)
    energy = impact_energy_j(UNIT_KG, UNIT_KG, kmh * KMH)
    assert energy / 1e3 == pytest.approx(energy_kj, rel=6e-4)
    force, stroke = lump_impact(UNIT_KG, UNIT_KG, kmh * KMH, gear)
    assert (force / 1e3, stroke * 1e3) == (pytest.approx(force_kn, abs=0.6), pytest.approx(stroke_mm, abs=0.06))
    assert lump_speed_m_s(UNIT_KG, UNIT_KG, force, gear) / KMH == pytest.approx(kmh)
    assert speed_of_energy_m_s(UNIT_KG, UNIT_KG, energy) / KMH == pytest.approx(kmh)
    assert gear.energy_at(gear.stroke_for(energy)) == pytest.approx(energy)
    by_march = chain_impact([UNIT_KG], [UNIT_KG], kmh * KMH, [], gear, [])
    assert by_march.peak_n / 1e3 == pytest.approx(force / 1e3, rel=1e-4)


@pytest.mark.outside(source=CLOSED, clause="half a swing, common speed", status="computed", why=STEPS)
def test_contact_time_and_common_speed() -> None:
    assert contact_s(UNIT_KG, UNIT_KG, STIFF) == pytest.approx(0.2221, abs=5e-5)
    assert UNIT_KG / 2 * math.pi**2 / contact_s(UNIT_KG, UNIT_KG, STIFF) ** 2 == pytest.approx(STIFF)
    assert common_speed_m_s(100.0, 300.0, 2.0) == 0.5


@pytest.mark.outside(source=CLOSED, clause="preload 100 kN, 10 kN/mm, 3 km/h", status="computed", why=STEPS)
def test_a_preload() -> None:
    gear = preloaded_gear(100e3, 10e6, 0.2)
    force, stroke = lump_impact(UNIT_KG, UNIT_KG, 3 * KMH, gear)
    assert (force / 1e3, stroke * 1e3) == (pytest.approx(839.3, abs=0.06), pytest.approx(73.9, abs=0.06))
    assert lump_speed_m_s(UNIT_KG, UNIT_KG, 839.3e3, gear) / KMH == pytest.approx(3.0, abs=0.001)


@pytest.mark.outside(source=CLOSED, clause="F = k x^3, 2e9 N/m3, 3 km/h", status="computed", why=STEPS)
def test_a_power_law() -> None:
    gear = power_law_gear(2e9, 3.0, 0.2)
    force, stroke = lump_impact(UNIT_KG, UNIT_KG, 3 * KMH, gear)
    assert (force / 1e3, stroke * 1e3) == (pytest.approx(1521.5, abs=0.2), pytest.approx(91.29, abs=0.01))
    assert chain_impact([UNIT_KG], [UNIT_KG], 3 * KMH, [], gear, []).peak_n / 1e3 == pytest.approx(1521.5, abs=0.3)


@pytest.mark.outside(source=CLOSED, clause="constant 600 kN, 3 km/h", status="computed", why=STEPS)
def test_a_gear_of_nearly_constant_force_by_a_measured_table() -> None:
    gear = measured_gear([(1e-6, 600e3), (0.2, 600.001e3)])
    assert lump_impact(UNIT_KG, UNIT_KG, 3 * KMH, gear)[1] * 1e3 == pytest.approx(57.9, abs=0.06)


def _four_and_four(inner_n_per_m: float) -> tuple[float, ...]:
    inner, hit = linear_gear(inner_n_per_m, 1.0), linear_gear(STIFF, 1.0)
    return chain_impact([45e3] * 4, [45e3] * 4, 3 * KMH, [inner] * 3, hit, [inner] * 3).push_n


@pytest.mark.outside(source=CHAIN, clause="4 + 4 vehicles of 45 t, 20 kN/mm, 3 km/h", status="computed")
def test_four_and_four_vehicles_peak_at_the_coupling_that_is_hit() -> None:
    wanted = (433.3, 530.4, 543.0, 581.2, 543.0, 530.4, 433.3)
    assert [push / 1e3 for push in _four_and_four(STIFF)] == pytest.approx(wanted, abs=0.051)


@pytest.mark.outside(source=CHAIN, clause="the same with stiffer couplings within", status="computed")
@pytest.mark.parametrize(("inner_n_per_m", "peak_kn"), [(100e6, 848.6), (2000e6, 1106.7)])
def test_stiffer_couplings_within_lead_towards_the_lump(inner_n_per_m: float, peak_kn: float) -> None:
    assert _four_and_four(inner_n_per_m)[3] / 1e3 == pytest.approx(peak_kn, abs=0.06)


@pytest.mark.outside(source=CLOSED, clause="180 t against 180 t as lumps; endless chains", status="computed", why=STEPS)
def test_a_chain_lies_between_the_endless_chain_and_the_lump() -> None:
    lump = lump_impact(180e3, 180e3, 3 * KMH, linear_gear(STIFF, 1.0))[0]
    endless = endless_chain_force_n(3 * KMH, STIFF, 45e3)
    assert (lump / 1e3, endless / 1e3) == (pytest.approx(1118.0, abs=0.051), pytest.approx(395.3, abs=0.051))
    assert endless < _four_and_four(STIFF)[3] < lump
    assert (2 * endless / (3 * KMH)) ** 2 / 45e3 == pytest.approx(STIFF)


@pytest.mark.outside(source=CLOSED, clause="springs in series", status="computed", why=STEPS)
def test_gears_in_series_share_the_force_and_add_their_strokes() -> None:
    both = in_series(linear_gear(20e6, 0.1), linear_gear(40e6, 0.1))
    assert both.force_at(0.03) == pytest.approx(0.03 / (1 / 20e6 + 1 / 40e6))
    assert both.stroke_at(1e6) == pytest.approx(0.05 + 0.025)


@pytest.mark.outside(source=CLOSED, clause="a gear that keeps half of its work", status="computed", why=STEPS)
def test_a_gear_that_gives_half_back_throws_the_lumps_apart_at_the_root_of_a_half() -> None:
    # The peak stays that of the energy taken in, whatever comes back.
    gear = linear_gear(STIFF, 0.3, returns=0.5)
    assert chain_impact([UNIT_KG], [UNIT_KG], 3 * KMH, [], gear, []).peak_n / 1e3 == pytest.approx(1179.0, rel=0.003)


@pytest.mark.outside(source="common practice, no source", status="common practice")
def test_faster_than_shunting_is_refused() -> None:
    with pytest.raises(OutsideModelError, match="15 km/h"):
        impact_energy_j(UNIT_KG, UNIT_KG, 15.1 * KMH)
