"""What contradicts itself at one unit end: its coupler, its cocks and hoses, what its cab works the brake with."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from headstock.devices.coupler import CouplerKind
from headstock.devices.end_cock import PIPES
from headstock.devices.kind import DeviceSpec
from headstock.devices.lamp import LampSpec
from headstock.devices.registry import KINDS
from headstock.equipment.loose_gear import LooseGear

COUPLERS = tuple(name for name, kind in sorted(KINDS.items()) if isinstance(kind, CouplerKind))


def coupler_faults(devices: Mapping[str, DeviceSpec]) -> list[str]:
    """An end has one coupler, by that name."""
    found = [name for name, spec in devices.items() if spec.kind in COUPLERS]  # type: ignore[attr-defined]
    return [] if found == ["coupler"] else [f"one device named coupler must be one of {', '.join(COUPLERS)}; found {found}"]


def pipe_faults(devices: Mapping[str, DeviceSpec]) -> list[str]:
    """A cock and its hose belong together by name: ``X_cock`` and ``X_hose``, of one pipe."""
    wrong = []
    for name, spec in devices.items():
        if spec.kind not in ("end cock", "hose"):  # type: ignore[attr-defined]
            continue
        stem, _, what = name.rpartition("_")
        fellow = devices.get(f"{stem}_{'hose' if what == 'cock' else 'cock'}")
        kinds = {"end cock": "hose", "hose": "end cock"}
        wanted = kinds[spec.kind]  # type: ignore[attr-defined]
        if fellow is None or fellow.kind != wanted or fellow.pipe != spec.pipe:  # type: ignore[attr-defined]
            wrong.append(f"{name} has no {wanted} of the same pipe named after it (brake_pipe_cock with brake_pipe_hose)")
    for pipe in PIPES:
        ways = [name for name, spec in devices.items() if has_pipe({name: spec}, pipe)]
        if len(ways) > 1:
            wrong.append(
                f"the {pipe} comes out by {' and by '.join(ways)}: an end has one end cock or one coupler port of a pipe"
            )
    return wrong


def has_pipe(devices: Mapping[str, DeviceSpec], pipe: str) -> bool:
    """Whether a pipe comes out at an end with these devices: by an end cock or by a port of the coupler."""
    return any(
        (spec.kind == "end cock" and spec.pipe == pipe) or (spec.kind == "automatic coupler" and pipe in spec.ports)  # type: ignore[attr-defined]
        for spec in devices.values()
    )


def cab_faults(devices: Mapping[str, DeviceSpec], has_cab: bool) -> list[str]:
    """A cab has one cab valve or one brake controller."""
    kinds = [spec.kind for spec in devices.values()]  # type: ignore[attr-defined]
    valves, controllers = kinds.count("cab valve"), kinds.count("brake controller")
    if not has_cab or valves + controllers == 1:
        return []
    if controllers == 0:
        return [f"an end with a cab has one cab valve, not {valves}; without a brake pipe, one brake controller"]
    return [f"an end with a cab has one cab valve or one brake controller, not {valves} and {controllers}"]


def lamp_faults(devices: Mapping[str, DeviceSpec], has_cab: bool) -> list[str]:
    """A lamp that is worked from a cab is on an end that has one."""
    return [] if has_cab else [
        f"{name} is worked from the cab of its end, which has none: give worked_from: ground"
        for name, spec in devices.items()
        if isinstance(spec, LampSpec) and spec.worked_from == "cab"
    ]  # fmt: skip


def stowage_faults(ends: Mapping[str, Mapping[str, DeviceSpec]], gear: Sequence[LooseGear]) -> list[str]:
    """A portable lamp is one of those that the unit carries, each for one end."""
    wrong, free = [], [(thing.kind, thing.stowed) for thing in gear]
    for end, devices in sorted(ends.items()):
        for name, spec in devices.items():
            if not isinstance(spec, LampSpec) or not spec.is_portable:
                continue
            wanted = next((thing for thing in free if thing == (f"portable {spec.shows} lamp", spec.stowed)), None)
            if wanted is not None:
                free.remove(wanted)
                continue
            wrong.append(
                f"{name} of end {end} is kept in {spec.stowed}, but loose_gear has no portable {spec.shows} lamp there for it"
            )
    return wrong
