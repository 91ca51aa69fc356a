"""Units at the faces: inside there is SI and absolute pressure only; people see bar or psi, km/h or mph, tonnes.

The factors come from pint, which is loaded with the first conversion and not before.
"""

from __future__ import annotations

import functools
import math
from typing import Any, Final

from headstock.base.errors import Fault, QuantityError

# The standard atmosphere; a gauge shows nothing at this pressure.
ATMOSPHERE_PA: Final = 101_325.0
BAR_PA: Final = 1e5
"""A bar [Pa], for sums inside that would not wait for a conversion of quantities."""


def _converted(value: float, unit: str, into: str) -> float:
    if not math.isfinite(value):
        raise QuantityError(Fault("not a finite number", found=str(value), expected=f"a number of {unit}"))
    return value * _factor(unit, into) if unit != into else value


@functools.cache
def _factor(unit: str, into: str) -> float:
    return float(_registry().convert(1.0, unit, into))


@functools.cache
def _registry() -> Any:
    import pint  # noqa: PLC0415  # a third of a second, which a command that converts nothing must not pay

    return pint.UnitRegistry(cache_folder=None)


def _gauge_from_pa(absolute_pa: float, unit: str) -> float:
    _refuse_less_than_nothing(absolute_pa, f"{absolute_pa:g} Pa")
    return _converted(absolute_pa - ATMOSPHERE_PA, "pascal", unit)


def _pa_from_gauge(gauge: float, unit: str) -> float:
    absolute_pa = _converted(gauge, unit, "pascal") + ATMOSPHERE_PA
    # Rounding at the very bottom may leave a trace below nothing.
    absolute_pa = 0.0 if -1e-6 < absolute_pa < 0.0 else absolute_pa
    _refuse_less_than_nothing(absolute_pa, f"{gauge:g} {unit}")
    return absolute_pa


def _refuse_less_than_nothing(absolute_pa: float, said: str) -> None:
    if absolute_pa < 0.0:
        raise QuantityError(Fault("pressure below an empty space", found=said, expected="at least 0 Pa absolute"))


def gauge_bar_from_pa(absolute_pa: float) -> float:
    """Gauge pressure [bar] from absolute [Pa, >= 0]."""
    return _gauge_from_pa(absolute_pa, "bar")


def pa_from_gauge_bar(gauge_bar: float) -> float:
    """Absolute pressure [Pa] from gauge [bar, >= -1.01325]; raises `QuantityError` below."""
    return _pa_from_gauge(gauge_bar, "bar")


def gauge_psi_from_pa(absolute_pa: float) -> float:
    """Gauge pressure [psi] from absolute [Pa, >= 0]."""
    return _gauge_from_pa(absolute_pa, "psi")


def pa_from_gauge_psi(gauge_psi: float) -> float:
    """Absolute pressure [Pa] from gauge [psi, >= -14.696]; raises `QuantityError` below."""
    return _pa_from_gauge(gauge_psi, "psi")


def gauge_kpa_from_pa(absolute_pa: float) -> float:
    """Gauge pressure [kPa] from absolute [Pa, >= 0]."""
    return _gauge_from_pa(absolute_pa, "kilopascal")


def pa_from_gauge_kpa(gauge_kpa: float) -> float:
    """Absolute pressure [Pa] from gauge [kPa, >= -101.325]; raises `QuantityError` below."""
    return _pa_from_gauge(gauge_kpa, "kilopascal")


def bar_from_pa_difference(difference_pa: float) -> float:
    """A drop or rise of pressure [bar] from [Pa]; no atmosphere is taken off."""
    return _converted(difference_pa, "pascal", "bar")


def pa_difference_from_bar(difference_bar: float) -> float:
    """A drop or rise of pressure [Pa] from [bar]."""
    return _converted(difference_bar, "bar", "pascal")


def psi_from_pa_difference(difference_pa: float) -> float:
    """A drop or rise of pressure [psi] from [Pa]; no atmosphere is taken off."""
    return _converted(difference_pa, "pascal", "psi")


def pa_difference_from_psi(difference_psi: float) -> float:
    """A drop or rise of pressure [Pa] from [psi]."""
    return _converted(difference_psi, "psi", "pascal")


def finite_m(length_m: float) -> float:
    """Length [m] as it is; raises `QuantityError` when it is no finite number."""
    return _converted(length_m, "meter", "meter")


def ft_from_m(length_m: float) -> float:
    """Length [ft] from [m]."""
    return _converted(length_m, "meter", "foot")


def m_from_ft(length_ft: float) -> float:
    """Length [m] from [ft]."""
    return _converted(length_ft, "foot", "meter")


def in_from_m(length_m: float) -> float:
    """Length [in] from [m]."""
    return _converted(length_m, "meter", "inch")


def m_from_in(length_in: float) -> float:
    """Length [m] from [in]."""
    return _converted(length_in, "inch", "meter")


def mm_from_m(length_m: float) -> float:
    """Length [mm] from [m]."""
    return _converted(length_m, "meter", "millimeter")


def m_from_mm(length_mm: float) -> float:
    """Length [m] from [mm]."""
    return _converted(length_mm, "millimeter", "meter")


def kmh_from_mps(speed_mps: float) -> float:
    """Speed [km/h] from [m/s]."""
    return _converted(speed_mps, "meter/second", "kilometer/hour")


def mps_from_kmh(speed_kmh: float) -> float:
    """Speed [m/s] from [km/h]."""
    return _converted(speed_kmh, "kilometer/hour", "meter/second")


def mph_from_mps(speed_mps: float) -> float:
    """Speed [mph] from [m/s]."""
    return _converted(speed_mps, "meter/second", "mile/hour")


def mps_from_mph(speed_mph: float) -> float:
    """Speed [m/s] from [mph]."""
    return _converted(speed_mph, "mile/hour", "meter/second")


def t_from_kg(mass_kg: float) -> float:
    """Mass [t] from [kg]."""
    return _converted(mass_kg, "kilogram", "metric_ton")


def kg_from_t(mass_t: float) -> float:
    """Mass [kg] from [t]."""
    return _converted(mass_t, "metric_ton", "kilogram")


def kn_from_n(force_n: float) -> float:
    """Force [kN] from [N]."""
    return _converted(force_n, "newton", "kilonewton")


def n_from_kn(force_kn: float) -> float:
    """Force [N] from [kN]."""
    return _converted(force_kn, "kilonewton", "newton")
