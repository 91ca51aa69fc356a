"""``fleet``: list, show and check unit types."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from pydantic import BaseModel

from headstock.base.errors import ContentError, Fault, InputError
from headstock.cli.reply import YES, print_json
from headstock.devices.distributor import DistributorSpec
from headstock.devices.end_cock import PIPES
from headstock.devices.kind import DeviceSpec
from headstock.devices.wired_brake import WiredBrakeSpec
from headstock.equipment.library import load_unit_type
from headstock.equipment.unit_type import UnitType
from headstock.wiring import fleet_from


def run_list(as_json: bool, fleet: Path | None) -> int:
    """All unit types, two lines each."""
    types = fleet_from(fleet).types
    if as_json:
        print_json([_summary(unit_type) for unit_type in types.values()])
        return YES
    for unit_type in types.values():
        invented = ", invented" if unit_type.invented else ""
        print(f"{unit_type.type}: {unit_type.title} (issue {unit_type.issue}{invented})")
        print(f"    {_carries(unit_type)}")
    return YES


def _carries(unit_type: UnitType) -> str:
    """Size, couplers, pipes and brake on one line."""
    count = len(unit_type.vehicles)
    size = f"{count} vehicle{'s' if count > 1 else ''}, {unit_type.mass_kg / 1000:g} t, {unit_type.length_m:g} m"
    couplers = [_coupler(end.devices["coupler"]) for _, end in sorted(unit_type.ends.items())]
    ends = couplers[0] if len(set(couplers)) == 1 else " and ".join(f"end {n} {words}" for n, words in enumerate(couplers, 1))
    pipes = [pipe for pipe in PIPES if unit_type.air_pipe(pipe) is not None]
    brakes = [spec.kind for spec in unit_type.devices.values() if isinstance(spec, DistributorSpec | WiredBrakeSpec)]
    return "; ".join((size, ends, " and ".join(pipes) or "no pipe", " and ".join(dict.fromkeys(brakes))))


def _summary(unit_type: UnitType) -> dict[str, object]:
    return {"type": unit_type.type, "title": unit_type.title, "issue": unit_type.issue, "invented": unit_type.invented,
            "vehicles": len(unit_type.vehicles), "mass_kg": unit_type.mass_kg, "length_m": unit_type.length_m}  # fmt: skip


def _coupler(spec: DeviceSpec) -> str:
    face = getattr(spec, "face", "")
    return f"{spec.kind} (face {face})" if face else spec.kind  # type: ignore[attr-defined]


def run_show(name: str, as_json: bool, fleet: Path | None) -> int:
    """One unit type with every device and its source."""
    unit_type = fleet_from(fleet).find(name)
    if as_json:
        print_json(unit_type.model_dump(mode="json"))
        return YES
    print(f"{unit_type.type}: {unit_type.title} (issue {unit_type.issue})")
    print(f"  {unit_type.mass_kg / 1000:g} t, {unit_type.length_m:g} m, {len(unit_type.vehicles)} vehicles")
    for end, spec in unit_type.ends.items():
        print(f"  end {end}, on vehicle {spec.vehicle}:")
        for device, data in spec.devices.items():
            print(f"    {device.replace('_', ' ')}: {_said(data.model_dump(mode='json'))}")
    for vehicle in unit_type.vehicles:
        carries = ", ".join(f"{device.replace('_', ' ')} ({_said(data.model_dump(mode='json'))})"
                            for device, data in vehicle.devices.items())  # fmt: skip
        print(f"  vehicle {vehicle.suffix}: {vehicle.mass_t:g} t, {vehicle.length_m:g} m{'; ' + carries if carries else ''}")
    for device, data in unit_type.devices.items():
        print(f"  {device.replace('_', ' ')}: {_said(data.model_dump(mode='json'))}")
    for line in _running_lines(unit_type):
        print(f"  {line}")
    for gear in unit_type.loose_gear:
        joins = f" {' to '.join(gear.faces)}" if gear.faces else ""
        print(f"  carries: {gear.kind}{joins}, {gear.stowed}")
    for key, source in unit_type.sources.items():
        print(f"  source {key}: {source.text}, edition {source.edition} ({source.status})")
    return YES


def _running_lines(unit_type: UnitType) -> Iterator[str]:
    """What it states of running, stopping and meeting; nothing where it states none."""
    parts: list[tuple[str, BaseModel, tuple[str, ...]]] = [
        ("", unit_type, ("greatest_speed_kmh", "draft_gear_inside", "resistance", "traction", "supply"))
    ]
    parts += [(f"end {end} ", spec, ("draft_gear", "body_behind_face_m")) for end, spec in unit_type.ends.items()]
    fields = ("rotating_mass_share", "friction_brake", "electric_retardation", "width_m")
    parts += [(f"vehicle {vehicle.suffix} ", vehicle, fields) for vehicle in unit_type.vehicles]
    for where, part, names in parts:
        data = part.model_dump(mode="json", include=set(names))
        yield from (f"{where}{name.replace('_', ' ')}: {_plainly(data[name])}" for name in names if data[name] is not None)


def _said(data: dict[str, object]) -> str:
    parts = []
    for key, value in data.items():
        if value is None:
            continue
        parts.append(_plainly(value) if key == "kind" else f"{key.replace('_', ' ')} {_plainly(value)}")
    return "; ".join(parts)


def _plainly(value: object) -> str:
    """A value of a unit file on one line."""
    if isinstance(value, dict):
        return ", ".join(f"{key} {_plainly(item)}" for key, item in value.items() if item is not None)
    if isinstance(value, list):
        return ", ".join(_plainly(item) for item in value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, float) else str(value)


def run_check(files: list[Path], as_json: bool) -> int:
    """Every fault of every file at once; exit status 0 when there is none."""
    faults: list[Fault] = []
    good: list[UnitType] = []
    for path in files:
        try:
            good.append(load_unit_type(path))
        except InputError as error:
            faults += error.faults
    if faults:
        raise ContentError(faults)
    if as_json:
        print_json([_summary(unit_type) for unit_type in good])
    else:
        for unit_type in good:
            print(f"{unit_type.type}: no fault found")
    return YES
