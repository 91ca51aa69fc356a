"""Two unit ends, a way to join them, and the answer: what every way of joining is told in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

from headstock.devices.coupler import CouplerKind, Face
from headstock.devices.registry import kind_of
from headstock.equipment.loose_gear import LooseGear
from headstock.equipment.unit_type import UnitType, VehicleSpec
from headstock.formation.train import Train, UnitEnd

Answer = Literal["yes", "only if", "no"]
WayName = Literal["direct", "screw", "adapter"]
Across = Literal["automatic", "wires", "nothing"]
"""What carries the brake across a joint."""
LEVELS = ("none", "rescue", "mechanical and automatic brake", "electro-pneumatic brake", "full multiple working")


@dataclass(frozen=True, slots=True)
class TypeEnd:
    """An end of a unit type, with the name people used for it."""

    name: str
    unit_type: UnitType
    end: str

    @property
    def devices(self) -> dict[str, Any]:
        """Devices of this end."""
        return dict(self.unit_type.ends[self.end].devices)  # type: ignore[index]

    @property
    def vehicle(self) -> VehicleSpec:
        """The vehicle that carries this end."""
        suffix = self.unit_type.ends[self.end].vehicle  # type: ignore[index]
        return next(vehicle for vehicle in self.unit_type.vehicles if vehicle.suffix == suffix)

    @property
    def coupler(self) -> Any:
        """Data of the coupler."""
        return self.devices["coupler"]

    @property
    def faces(self) -> tuple[Face, ...]:
        """What the coupler can take."""
        kind = kind_of(self.coupler)
        return kind.faces(self.coupler) if isinstance(kind, CouplerKind) else ()

    @property
    def hook(self) -> Face | None:
        """Its draw hook, if it has one."""
        return next((face for face in self.faces if face.is_hook), None)

    @property
    def workshop_only(self) -> str:
        """Why the coupler joins nothing in operation; "" where it does."""
        kind = kind_of(self.coupler)
        return kind.workshop_only(self.coupler) if isinstance(kind, CouplerKind) else ""

    @property
    def workshop_reason(self) -> str:
        """The same as a reason for a no."""
        return f"the {self.coupler.kind} of {self.name} is made and parted in a workshop only: {self.workshop_only}"


@dataclass(frozen=True, slots=True)
class Way:
    """One way to join two ends, or why it is none."""

    name: WayName
    answer: Answer
    level: str
    main_reservoir_through: bool
    changes: tuple[str, ...] = ()
    equipment: tuple[str, ...] = ()
    conditions: tuple[str, ...] = ()
    losses: tuple[str, ...] = ()
    restrictions: tuple[str, ...] = ()
    reasons: tuple[str, ...] = ()
    across: Across = "nothing"


def no_way(name: WayName, reasons: list[str]) -> Way:
    """A way that is none, with every reason."""
    return Way(name, "no", "none", False, reasons=tuple(dict.fromkeys(reasons)))


def loose_gear(ends: tuple[TypeEnd, TypeEnd], kind: str) -> Iterator[tuple[TypeEnd, LooseGear]]:
    """What either unit carries of a kind."""
    for end in ends:
        for gear in end.unit_type.loose_gear:
            if gear.kind == kind:
                yield end, gear


def weakest_part(*rated_kn: float) -> str:
    """The restriction by the weakest of several rated pulls [kN]."""
    return f"weakest part of the couple: {min(rated_kn):.0f} kN rated pull"


def height_apart_mm(one: Any, other: Any) -> float:
    """Greatest difference of two couplers' heights over wear, load and suspension [mm]."""
    return float(max(one.height_high_mm - other.height_low_mm, other.height_high_mm - one.height_low_mm))


def type_end(train: Train, end: UnitEnd) -> TypeEnd:
    """An end of a unit of a train as joining knows it."""
    return TypeEnd(str(end), train.unit(end.unit).unit_type, end.end)
