"""Numbers with their unit, read and spoken."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from headstock.base import quantities
from headstock.base.errors import QuantityError
from headstock.base.quantities import (
    ATMOSPHERE_PA,
    UNITS,
    Quantity,
    force_n_from,
    length_m_from,
    mass_kg_from,
    parse_quantity,
    pressure_pa_from,
    slope_from,
    speed_mps_from,
    spoken_length,
)


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("72 psi", 72.0, "psi"),
        ("72psi", 72.0, "psi"),
        (" 4.9  bar ", 4.9, "bar"),
        ("-0.5 BAR", -0.5, "bar"),
        ("500 kPa", 500.0, "kPa"),
        ("+1.5 m", 1.5, "m"),
        (".5 ft", 0.5, "ft"),
        ("5. mm", 5.0, "mm"),
        ("12 kN", 12.0, "kN"),
        ("40 t", 40.0, "t"),
        ("40 tonnes", 40.0, "t"),
        ("25 km/h", 25.0, "km/h"),
        ("25 kph", 25.0, "km/h"),
        ("3 mph", 3.0, "mph"),
        ("12 per mille", 12.0, "per mille"),
        ("-12 ‰", -12.0, "per mille"),
        ("1 in 150", 150.0, "1 in"),
        ("-1 in 37.5", -37.5, "1 in"),
    ],
)
def test_a_number_with_its_unit_is_read(text: str, value: float, unit: str) -> None:
    assert parse_quantity(text) == Quantity(value, unit)


@pytest.mark.parametrize(
    ("text", "what", "nearest"),
    [
        ("72 pis", "unit not known", "72 psi"),
        ("72", "no unit", None),
        ("psi", "no number with a unit", None),
        ("", "no number with a unit", None),
        ("nan bar", "no number with a unit", None),
        ("inf bar", "no number with a unit", None),
        ("4,9 bar", "number not understood", "4.9 bar"),
        ("1,000.5 m", "unit not known", None),
        ("1.2.3 m", "number not understood", None),
        ("1e5 m", "unit not known", None),
        ("1 in 0", "slope not understood", None),
        ("1 in -5", "slope not understood", None),
        ("1 in", "unit not known", None),
        ("2 in 100", "unit not known", None),
        ("9" * 80 + " m", "no number with a unit", None),
        ("4.9 bar extra", "unit not known", None),
    ],
)
def test_what_is_no_quantity_is_refused_with_the_nearest_one(text: str, what: str, nearest: str | None) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_quantity(text)
    (fault,) = caught.value.faults
    assert (fault.what, fault.nearest) == (what, nearest)


@given(st.text())
def test_any_text_is_a_quantity_or_a_refusal(text: str) -> None:
    try:
        assert parse_quantity(text).unit in UNITS
    except QuantityError as error:
        assert error.text().isprintable()


@given(st.integers(-10_000, 10_000), st.sampled_from([unit for unit in UNITS if unit != "1 in"]))
def test_a_quantity_written_out_is_read_back(hundredths: int, unit: str) -> None:
    assert parse_quantity(f"{hundredths / 100} {unit}") == Quantity(hundredths / 100, unit)


def test_quantities_turn_into_si_and_absolute_pressure() -> None:
    assert pressure_pa_from(Quantity(5.0, "bar")) == pytest.approx(601_325.0)
    assert pressure_pa_from(Quantity(500.0, "kPa")) == pytest.approx(601_325.0)
    assert pressure_pa_from(Quantity(0.0, "psi")) == ATMOSPHERE_PA
    assert length_m_from(Quantity(10.0, "ft")) == pytest.approx(3.048)
    assert length_m_from(Quantity(2500.0, "mm")) == pytest.approx(2.5)
    assert length_m_from(Quantity(2.0, "m")) == 2.0
    assert speed_mps_from(Quantity(36.0, "km/h")) == pytest.approx(10.0)
    assert speed_mps_from(Quantity(10.0, "mph")) == pytest.approx(4.4704)
    assert mass_kg_from(Quantity(40.0, "t")) == pytest.approx(40_000.0)
    assert force_n_from(Quantity(12.0, "kN")) == pytest.approx(12_000.0)
    assert slope_from(Quantity(-12.0, "per mille")) == pytest.approx(-0.012)
    assert slope_from(Quantity(150.0, "1 in")) == pytest.approx(1 / 150)


@pytest.mark.parametrize("convert", [pressure_pa_from, length_m_from, speed_mps_from, mass_kg_from, force_n_from, slope_from])
def test_a_quantity_of_another_kind_is_refused(convert: object) -> None:
    assert callable(convert)
    own = {unit for unit in UNITS if _is_taken(convert, unit)}
    assert 0 < len(own) < 4


def _is_taken(convert: object, unit: str) -> bool:
    assert callable(convert)
    try:
        convert(Quantity(1.0, unit))
    except QuantityError as error:
        assert error.faults[0].what.startswith("not a ")
        return False
    return True


def test_a_trace_below_nothing_is_not_spoken_as_minus_nothing() -> None:
    assert spoken_length(-0.01, "m") == "0.0 m"
    assert spoken_length(-0.5, "m") == "-0.5 m"


def test_lengths_are_spoken_in_the_unit_asked_for() -> None:
    assert spoken_length(12.5, "m") == "12.5 m"
    assert spoken_length(12.5, "ft") == "41 ft"
    assert spoken_length(0.0125, "mm") == "12 mm"


def test_a_unit_nobody_speaks_is_refused() -> None:
    with pytest.raises(QuantityError, match="unit not known"):
        spoken_length(1.0, "yd")  # type: ignore[arg-type]


def test_a_length_that_is_no_number_is_refused_in_every_unit() -> None:
    for unit in ("m", "ft", "mm"):
        with pytest.raises(QuantityError, match="not a finite number"):
            spoken_length(float("nan"), unit)


def test_every_public_name_is_there() -> None:
    assert all(hasattr(quantities, name) for name in quantities.__all__)
