"""``fleet``: list, show and check unit types."""

from __future__ import annotations

from pathlib import Path

from headstock.base.errors import ContentError, Fault, InputError
from headstock.cli.reply import YES, print_json
from headstock.equipment.library import load_unit_type
from headstock.equipment.unit_type import UnitType
from headstock.usecases.answers_as_data.fleet import carries, running_lines, said_of, type_as_json
from headstock.wiring import fleet_from


def run_list(as_json: bool, fleet: Path | None) -> int:
    """All unit types, two lines each."""
    types = fleet_from(fleet).types
    if as_json:
        print_json([type_as_json(unit_type) for unit_type in types.values()])
        return YES
    for unit_type in types.values():
        invented = ", invented" if unit_type.invented else ""
        print(f"{unit_type.type}: {unit_type.title} (issue {unit_type.issue}{invented})")
        print(f"    {carries(unit_type)}")
    return YES


def run_show(name: str, as_json: bool, fleet: Path | None) -> int:
    """One unit type with every device and its source."""
    unit_type = fleet_from(fleet).find(name)
    if as_json:
        print_json(unit_type.model_dump(mode="json"))
        return YES
    print(f"{unit_type.type}: {unit_type.title} (issue {unit_type.issue}{', invented' if unit_type.invented else ''})")
    print(f"  {unit_type.mass_kg / 1000:g} t, {unit_type.length_m:g} m, {len(unit_type.vehicles)} vehicles")
    for end, spec in unit_type.ends.items():
        print(f"  end {end}, on vehicle {spec.vehicle}:")
        for device, data in spec.devices.items():
            print(f"    {device.replace('_', ' ')}: {said_of(data.model_dump(mode='json'))}")
    for vehicle in unit_type.vehicles:
        carries = ", ".join(f"{device.replace('_', ' ')} ({said_of(data.model_dump(mode='json'))})"
                            for device, data in vehicle.devices.items())  # fmt: skip
        print(f"  vehicle {vehicle.suffix}: {vehicle.mass_t:g} t, {vehicle.length_m:g} m{'; ' + carries if carries else ''}")
    for device, data in unit_type.devices.items():
        print(f"  {device.replace('_', ' ')}: {said_of(data.model_dump(mode='json'))}")
    for line in running_lines(unit_type):
        print(f"  {line}")
    for gear in unit_type.loose_gear:
        joins = f" {' to '.join(gear.faces)}" if gear.faces else ""
        print(f"  carries: {gear.kind}{joins}, {gear.stowed}")
    for key, source in unit_type.sources.items():
        print(f"  source {key}: {source.text}, edition {source.edition} ({source.status})")
    return YES


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
        print_json([type_as_json(unit_type) for unit_type in good])
    else:
        for unit_type in good:
            print(f"{unit_type.type}: no fault found")
    return YES
