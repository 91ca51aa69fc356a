"""Conversions against the exact factors, and back to the start."""

import math
import subprocess
import sys
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from headstock.base import conversion
from headstock.base.conversion import ATMOSPHERE_PA
from headstock.base.errors import QuantityError

Conversion = Callable[[float], float]

# 1 lbf = 0.45359237 kg x 9.80665 m/s2, on a square inch of 25.4 mm.
PSI_PA = 0.45359237 * 9.80665 / 0.0254**2

THERE_AND_BACK: list[tuple[Conversion, Conversion]] = [
    (conversion.ft_from_m, conversion.m_from_ft),
    (conversion.in_from_m, conversion.m_from_in),
    (conversion.mm_from_m, conversion.m_from_mm),
    (conversion.kmh_from_mps, conversion.mps_from_kmh),
    (conversion.mph_from_mps, conversion.mps_from_mph),
    (conversion.t_from_kg, conversion.kg_from_t),
    (conversion.kn_from_n, conversion.n_from_kn),
    (conversion.bar_from_pa_difference, conversion.pa_difference_from_bar),
    (conversion.psi_from_pa_difference, conversion.pa_difference_from_psi),
]
GAUGES: list[tuple[Conversion, Conversion]] = [
    (conversion.gauge_bar_from_pa, conversion.pa_from_gauge_bar),
    (conversion.gauge_psi_from_pa, conversion.pa_from_gauge_psi),
    (conversion.gauge_kpa_from_pa, conversion.pa_from_gauge_kpa),
]


@pytest.mark.outside(source="NIST SP 811", clause="appendix B.8", status="from memory")
@pytest.mark.parametrize(
    ("convert", "value", "expected"),
    [
        (conversion.pa_difference_from_psi, 1.0, 6894.757293168),
        (conversion.pa_difference_from_psi, 1.0, PSI_PA),
        (conversion.pa_difference_from_bar, 1.0, 100_000.0),
        (conversion.m_from_in, 1.0, 0.0254),
        (conversion.m_from_ft, 1.0, 0.3048),
        (conversion.mps_from_mph, 3600.0, 1609.344),
        (conversion.mps_from_kmh, 3.6, 1.0),
        (conversion.kg_from_t, 1.0, 1000.0),
        (conversion.n_from_kn, 1.0, 1000.0),
        (conversion.m_from_mm, 1.0, 0.001),
        (conversion.pa_from_gauge_bar, 0.0, 101_325.0),
        (conversion.gauge_psi_from_pa, 0.0, -14.69594877551345),
    ],
)
def test_conversions_agree_with_the_published_factors(convert: Conversion, value: float, expected: float) -> None:
    assert convert(value) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(("there", "back"), THERE_AND_BACK)
@given(value=st.floats(-1e9, 1e9))
def test_a_conversion_and_its_return_come_back_to_the_start(there: Conversion, back: Conversion, value: float) -> None:
    assert back(there(value)) == pytest.approx(value, rel=1e-12, abs=1e-300)
    assert there(back(value)) == pytest.approx(value, rel=1e-12, abs=1e-300)


@pytest.mark.parametrize(("gauge", "absolute"), GAUGES)
@given(pressure_pa=st.floats(0.0, 1e8))
def test_a_gauge_reading_comes_back_to_the_pressure(gauge: Conversion, absolute: Conversion, pressure_pa: float) -> None:
    assert absolute(gauge(pressure_pa)) == pytest.approx(pressure_pa, rel=1e-12, abs=1e-9)


@pytest.mark.parametrize(("gauge", "absolute"), GAUGES)
def test_a_gauge_shows_nothing_at_the_atmosphere(gauge: Conversion, absolute: Conversion) -> None:
    assert gauge(ATMOSPHERE_PA) == 0.0
    assert absolute(0.0) == ATMOSPHERE_PA


@pytest.mark.parametrize(("gauge", "absolute"), GAUGES)
def test_a_pressure_below_an_empty_space_is_refused(gauge: Conversion, absolute: Conversion) -> None:
    with pytest.raises(QuantityError, match="below an empty space"):
        gauge(-1.0)
    with pytest.raises(QuantityError, match="below an empty space"):
        absolute(gauge(0.0) * 1.001)


@pytest.mark.parametrize("convert", [function for pair in THERE_AND_BACK + GAUGES for function in pair])
@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_no_finite_number_is_refused_not_passed_on(convert: Conversion, value: float) -> None:
    with pytest.raises(QuantityError):
        convert(value)


def test_pint_is_loaded_with_the_first_conversion_and_not_before() -> None:
    code = (
        "import sys, headstock.base.quantities as q; before = 'pint' in sys.modules; q.ft_from_m(1.0);"
        "print(before, 'pint' in sys.modules)"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, env=_path_env())
    assert run.stdout.split() == ["False", "True"]


def _path_env() -> dict[str, str]:
    import os

    return {**os.environ, "PYTHONPATH": os.pathsep.join(part for part in sys.path if part)}
