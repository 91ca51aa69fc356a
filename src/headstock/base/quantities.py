"""Numbers with their unit at the faces: "72 psi" in, "12.5 m" out, and the conversions; inside there is SI only."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import Final, Literal, NamedTuple

from headstock.base.conversion import (
    ATMOSPHERE_PA,
    bar_from_pa_difference,
    finite_m,
    ft_from_m,
    gauge_bar_from_pa,
    gauge_kpa_from_pa,
    gauge_psi_from_pa,
    in_from_m,
    kg_from_t,
    kmh_from_mps,
    kn_from_n,
    m_from_ft,
    m_from_in,
    m_from_mm,
    mm_from_m,
    mph_from_mps,
    mps_from_kmh,
    mps_from_mph,
    n_from_kn,
    pa_difference_from_bar,
    pa_difference_from_psi,
    pa_from_gauge_bar,
    pa_from_gauge_kpa,
    pa_from_gauge_psi,
    psi_from_pa_difference,
    t_from_kg,
)
from headstock.base.errors import Fault, QuantityError
from headstock.base.located import shown
from headstock.base.nearest import nearest_of

__all__ = [
    "ATMOSPHERE_PA",
    "UNITS",
    "LengthUnit",
    "Quantity",
    "bar_from_pa_difference",
    "force_n_from",
    "ft_from_m",
    "gauge_bar_from_pa",
    "gauge_kpa_from_pa",
    "gauge_psi_from_pa",
    "in_from_m",
    "kg_from_t",
    "kmh_from_mps",
    "kn_from_n",
    "length_m_from",
    "m_from_ft",
    "m_from_in",
    "m_from_mm",
    "mass_kg_from",
    "mm_from_m",
    "mph_from_mps",
    "mps_from_kmh",
    "mps_from_mph",
    "n_from_kn",
    "pa_difference_from_bar",
    "pa_difference_from_psi",
    "pa_from_gauge_bar",
    "pa_from_gauge_kpa",
    "pa_from_gauge_psi",
    "parse_quantity",
    "pressure_pa_from",
    "psi_from_pa_difference",
    "slope_from",
    "speed_mps_from",
    "spoken_length",
    "t_from_kg",
]

LengthUnit = Literal["m", "ft", "mm"]

UNITS: Final = ("bar", "psi", "kPa", "m", "ft", "mm", "kN", "t", "km/h", "mph", "per mille", "1 in")
_OTHER_SPELLINGS: Final = {"‰": "per mille", "kph": "km/h", "kmh": "km/h", "tonne": "t", "tonnes": "t", "feet": "ft"}
_NUMBER = re.compile(r"[-+]?(?:[0-9]{1,12}(?:\.[0-9]{0,12})?|\.[0-9]{1,12})")
_ONE_IN = re.compile(r"(-?)1 +in +(.+)")
_LONGEST_TEXT = 60


class Quantity(NamedTuple):
    """A number and its unit, one of `UNITS`; a slope of 1 in 150 is `Quantity(150.0, "1 in")`."""

    value: float
    unit: str


def parse_quantity(text: str) -> Quantity:
    """`text` such as "72 psi", "4.9 bar", "12 per mille" or "1 in 150"; raises `QuantityError` if it is none."""
    said = " ".join(text.split()) if len(text) <= _LONGEST_TEXT else ""
    if slope := _ONE_IN.fullmatch(said):
        number = _NUMBER.fullmatch(slope[2])
        if number is None or float(slope[2]) <= 0.0:
            raise _refused("slope not understood", text, "1 in a number above 0, such as 1 in 150")
        return Quantity(float(f"{slope[1]}{float(slope[2])}"), "1 in")
    number = _NUMBER.match(said)
    if number is None:
        raise _refused("no number with a unit", text, "a number and a unit, such as 4.9 bar")
    rest = said[number.end() :].strip()
    if comma := re.fullmatch(r"[,.]([0-9]+) *(\D*)", rest):
        near = f"{number.group()}.{comma[1]} {comma[2]}".strip() if "." not in number.group() else None
        raise _refused("number not understood", text, "a point before the decimals and no other mark", near)
    return Quantity(float(number.group()), _unit(rest, text, number.group()))


def _unit(said: str, text: str, number: str) -> str:
    by_form = {unit.lower(): unit for unit in UNITS if unit != "1 in"}
    # Small and capital letters tell nothing apart in this list, so "72 PSI" is no mistake.
    unit = by_form.get(said.lower()) or _OTHER_SPELLINGS.get(said.lower())
    if unit is None:
        near = nearest_of(said, by_form.values()) if said else None
        expected = f"a unit: {', '.join(by_form.values())}"
        raise _refused("unit not known" if said else "no unit", text, expected, f"{number} {near}" if near else None)
    return unit


def _refused(what: str, text: str, expected: str, nearest: str | None = None) -> QuantityError:
    return QuantityError(Fault(what, found=shown(text), expected=expected, nearest=nearest))


def pressure_pa_from(quantity: Quantity) -> float:
    """Absolute pressure [Pa] of a gauge reading in bar, psi or kPa."""
    convert = {
        "bar": pa_from_gauge_bar,
        "psi": pa_from_gauge_psi,
        "kPa": pa_from_gauge_kpa,
    }
    return convert[_of_kind(quantity, "pressure", tuple(convert))](quantity.value)


def length_m_from(quantity: Quantity) -> float:
    """Length [m] of a quantity in m, ft or mm."""
    convert: dict[str, Callable[[float], float]] = {"m": finite_m, "ft": m_from_ft, "mm": m_from_mm}
    return convert[_of_kind(quantity, "length", tuple(convert))](quantity.value)


def speed_mps_from(quantity: Quantity) -> float:
    """Speed [m/s] of a quantity in km/h or mph."""
    convert = {"km/h": mps_from_kmh, "mph": mps_from_mph}
    return convert[_of_kind(quantity, "speed", tuple(convert))](quantity.value)


def mass_kg_from(quantity: Quantity) -> float:
    """Mass [kg] of a quantity in t."""
    _of_kind(quantity, "mass", ("t",))
    return kg_from_t(quantity.value)


def force_n_from(quantity: Quantity) -> float:
    """Force [N] of a quantity in kN."""
    _of_kind(quantity, "force", ("kN",))
    return n_from_kn(quantity.value)


def slope_from(quantity: Quantity) -> float:
    """Slope [rise over length, 1] of a quantity in per mille or "1 in"."""
    unit = _of_kind(quantity, "slope", ("per mille", "1 in"))
    return quantity.value / 1000.0 if unit == "per mille" else 1.0 / quantity.value


def _of_kind(quantity: Quantity, kind: str, units: tuple[str, ...]) -> str:
    if quantity.unit not in units:
        found = f"{quantity.value:g} {quantity.unit}" if quantity.unit != "1 in" else f"1 in {quantity.value:g}"
        raise QuantityError(Fault(f"not a {kind}", found=found, expected=f"a number in {' or '.join(units)}"))
    return quantity.unit


def spoken_length(length_m: float, unit: LengthUnit) -> str:
    """A length [m] as "12.5 m", "41 ft" or "12500 mm"."""
    convert = {"m": finite_m, "ft": ft_from_m, "mm": mm_from_m}
    length = convert[_of_unit(unit, ("m", "ft", "mm"))](length_m)
    return f"{_rounded(length, 1 if unit == 'm' else 0)} {unit}"


def _of_unit(unit: str, units: tuple[str, ...]) -> str:
    if unit not in units:
        raise QuantityError(Fault("unit not known", found=shown(unit), expected=" or ".join(units)))
    return unit


def _rounded(value: float, decimals: int) -> str:
    text = f"{value:.{decimals}f}"
    # "-0" is the rounding of a trace, and reads like a fault on a gauge.
    return text.removeprefix("-") if float(text) == 0.0 else text


def whole_up(value: float) -> int:
    """To the next whole unit up, never less than it is; a millionth of one is rounding, not length."""
    return math.ceil(round(value, 6))
