"""Unit types as plain values, and their data in words."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from pydantic import BaseModel

from headstock.devices.distributor import DistributorSpec
from headstock.devices.end_cock import PIPES
from headstock.devices.kind import DeviceSpec
from headstock.devices.wired_brake import WiredBrakeSpec
from headstock.equipment.unit_type import UnitType

UNITS: Final[dict[str, str]] = {
    "mm": "mm", "mm2": "mm²", "m": "m", "l": "l", "bar": "bar", "kn": "kN", "n": "N", "t": "t", "s": "s", "kmh": "km/h", "a": "A",
    "percent": "%",
}  # fmt: skip
"""What a field's name ends with, and the unit as people write it."""
WHOLE: Final[dict[str, tuple[str, str]]] = {
    "per_kmh_n": ("", "N per km/h"), "per_kmh2_n": ("", "N per (km/h)²"), "breakaway_n_per_tonne": ("breakaway", "N per t"),
    "leak_area_mm2_per_vehicle": ("leak area", "mm² a vehicle"), "free_air_l_per_min": ("free air", "l a minute"),
    "cylinder_bar_per_bar": ("cylinder", "bar per bar"),
}  # fmt: skip
"""Fields whose unit is not at the end of their name: words before the figure, unit behind it."""


def type_as_json(unit_type: UnitType) -> dict[str, object]:
    """A type in short."""
    return {"type": unit_type.type, "title": unit_type.title, "issue": unit_type.issue, "invented": unit_type.invented,
            "vehicles": len(unit_type.vehicles), "mass_kg": unit_type.mass_kg, "length_m": unit_type.length_m}  # fmt: skip


def carries(unit_type: UnitType) -> str:
    """Size, couplers, pipes and brake on one line."""
    count = len(unit_type.vehicles)
    size = f"{count} vehicle{'s' if count > 1 else ''}, {unit_type.mass_kg / 1000:g} t, {unit_type.length_m:g} m"
    couplers = [coupler_words(end.devices["coupler"]) for _, end in sorted(unit_type.ends.items())]
    ends = couplers[0] if len(set(couplers)) == 1 else " and ".join(f"end {n} {words}" for n, words in enumerate(couplers, 1))
    pipes = [pipe for pipe in PIPES if unit_type.air_pipe(pipe) is not None]
    brakes = [spec.kind for spec in unit_type.devices.values() if isinstance(spec, DistributorSpec | WiredBrakeSpec)]
    return "; ".join((size, ends, " and ".join(pipes) or "no pipe", " and ".join(dict.fromkeys(brakes))))


def coupler_words(spec: DeviceSpec) -> str:
    """A coupler by its kind and face."""
    face = getattr(spec, "face", "")
    return f"{spec.kind} (face {face})" if face else spec.kind  # type: ignore[attr-defined]


def running_lines(unit_type: UnitType) -> Iterator[str]:
    """What it states of running, stopping and meeting; nothing where it states none."""
    parts: list[tuple[str, BaseModel, tuple[str, ...]]] = [
        ("", unit_type, ("greatest_speed_kmh", "draft_gear_inside", "resistance", "traction", "supply"))
    ]
    parts += [(f"end {end} ", spec, ("draft_gear", "body_behind_face_m")) for end, spec in unit_type.ends.items()]
    fields = ("rotating_mass_share", "friction_brake", "electric_retardation", "width_m")
    parts += [(f"vehicle {vehicle.suffix} ", vehicle, fields) for vehicle in unit_type.vehicles]
    for where, part, names in parts:
        data = part.model_dump(mode="json", include=set(names))
        yield from (f"{where}{with_unit(name, data[name])}" for name in names if data[name] is not None)


def said_of(data: dict[str, object]) -> str:
    """The data of one part on one line."""
    parts = []
    for key, value in data.items():
        if value is None or value == [] or key in ("kind", "source"):
            continue
        parts.append(with_unit(key, value))
    kind, source = data.get("kind"), data.get("source")
    return "; ".join((*([plainly(kind)] if kind else []), *parts)) + (f" [{source}]" if source else "")


def with_unit(field: str, value: object) -> str:
    """A field of a unit file and its value, its unit behind the figure: ``height_mm: 1025`` as ``height 1025 mm``.

    Only a figure stands before a unit: other values keep the whole name of their field.
    """
    name, _, unit = field.rpartition("_")
    figures = value if isinstance(value, list) else [value]
    is_figure = all(isinstance(one, int | float) and not isinstance(one, bool) for one in figures)
    if is_figure and field in WHOLE:
        return f"{WHOLE[field][0]} {plainly(value)} {WHOLE[field][1]}".lstrip()
    said = UNITS.get(unit) if name and not name.endswith("_per") and is_figure else None
    return f"{name.replace('_', ' ')} {plainly(value)} {said}" if said else f"{field.replace('_', ' ')} {plainly(value)}"


def plainly(value: object) -> str:
    """A value of a unit file on one line."""
    if isinstance(value, dict):
        return ", ".join(with_unit(str(key), item) for key, item in value.items() if item is not None and item != [])
    if isinstance(value, list):
        return ", ".join(plainly(item) for item in value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, float) else str(value)
