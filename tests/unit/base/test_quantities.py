"""Quantities at the faces: exact published factors, and back again."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from headstock.base.conversion import (
    ft_from_m,
    gauge_bar_from_pa,
    gauge_psi_from_pa,
    m_from_ft,
    mps_from_mph,
    pa_from_gauge_bar,
    pa_from_gauge_psi,
)
from headstock.base.errors import InputError
from headstock.base.quantities import parse_quantity, slope_from, spoken_pressure


@pytest.mark.outside(source="common practice, no source", clause="inch, mile, pound-force", status="common practice")
def test_units_convert_by_their_definitions() -> None:
    assert m_from_ft(1.0) == pytest.approx(12 * 0.0254, rel=1e-12)
    assert mps_from_mph(1.0) == pytest.approx(1609.344 / 3600, rel=1e-12)
    assert pa_from_gauge_psi(1.0) - pa_from_gauge_psi(0.0) == pytest.approx(0.45359237 * 9.80665 / 0.0254**2, rel=1e-9)


@given(st.floats(min_value=0, max_value=20))
def test_pressures_come_back(gauge: float) -> None:
    assert gauge_bar_from_pa(pa_from_gauge_bar(gauge)) == pytest.approx(gauge, abs=1e-9)
    assert gauge_psi_from_pa(pa_from_gauge_psi(gauge)) == pytest.approx(gauge, abs=1e-9)
    assert ft_from_m(m_from_ft(gauge)) == pytest.approx(gauge, abs=1e-9)


def test_slopes_are_read_both_ways() -> None:
    assert slope_from(parse_quantity("1 in 150")) == pytest.approx(1 / 150)
    assert slope_from(parse_quantity("6.7 per mille")) == pytest.approx(0.0067)


@pytest.mark.parametrize("text", ["", "bar", "5 furlongs", "1 in 0", "five bar", "1e999 bar"])
def test_what_is_no_quantity_is_refused(text: str) -> None:
    with pytest.raises(InputError):
        slope_from(parse_quantity(text))


def test_a_pressure_is_spoken_in_the_unit_of_the_rules() -> None:
    assert spoken_pressure(pa_from_gauge_bar(5.0), "bar") == "5.00 bar"
    assert spoken_pressure(pa_from_gauge_psi(72.0), "psi").startswith("72")
