"""What every kind of device offers to the floors above."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar, Literal

from pydantic import BaseModel, ConfigDict, Field

from headstock.devices.marks import Mark
from headstock.reasoning.variable import Fact, Variable

Position = Literal["front", "rear", "joint"]
"""Which end of the finished train an end is: the leading outer end, the last one, or at the joint."""
Spot = Literal["end", "cab", "beside", "joint", "driving cab"]
Making = Literal["direct", "screw", "adapter"]
"""How two ends are joined: the couplers close by themselves, a screw coupling over hooks, an adapter between unlike faces."""
AS_LEFT = "how it stands on a unit that stands ready; what stands otherwise is the job's to say"


class DeviceSpec(BaseModel):
    """Data of one device on a unit type: its kind, its source, the state in which it is left when a unit stands ready."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    source: str = Field(min_length=1, description="key in `sources`: where these figures come from")


@dataclass(frozen=True, slots=True)
class At:
    """Where a device sits in a train: the unit, its end or vehicle, the device's name in the unit's file."""

    unit: str
    name: str
    end: str = ""
    vehicle: str = ""

    @property
    def where(self) -> str:
        """The unit end, vehicle or unit, as people say it."""
        return self.vehicle or (f"{self.unit}/{self.end}" if self.end else self.unit)

    def key(self, slot: str = "") -> str:
        """Key of one of the device's variables."""
        base = f"{self.where}.{self.name}"
        return f"{base}.{slot}" if slot else base


@dataclass(frozen=True, slots=True)
class Act:
    """Something one does with a device, before the local rules say who does it and how long it is allowed to take."""

    key: str
    duty: str
    spot: Spot
    allowance: str
    phase: str
    needs: tuple[Fact, ...] = ()
    effects: tuple[Fact, ...] = ()
    knows: tuple[Fact, ...] = ()
    shows: tuple[Fact, ...] = ()
    brief: str = ""
    caution: str = ""
    order: tuple[int, ...] = ()
    at: At | None = None


class DeviceKind:
    """One kind of device. Subclasses override what applies to them; everything else is "nothing"."""

    name: ClassVar[str]
    Spec: ClassVar[type[DeviceSpec]]

    def variables(self, at: At, spec: Any) -> tuple[Variable, ...]:
        """What can stand one way or another on this device."""
        return ()

    def as_left(self, at: At, spec: Any) -> Mapping[str, str]:
        """Values of those variables when the unit is left as its type says."""
        return {}

    def acts(self, at: At, spec: Any) -> tuple[Act, ...]:
        """What one can do with it alone."""
        return ()

    def mates(self, spec: Any, other: Any) -> bool:
        """Whether it can be joined to a device of the same kind with those data."""
        return False

    def joint_acts(self, near: tuple[At, Any], far: tuple[At, Any]) -> tuple[Act, ...]:
        """What one does with a mated pair; ``near`` is on the moving portion."""
        return ()

    def parting_acts(self, near: tuple[At, Any], far: tuple[At, Any]) -> tuple[Act, ...]:
        """What one does with a joined pair to part it; ``near`` is on the portion that draws away."""
        return ()

    def before_touching(self, at: At, spec: Any, making: Making = "direct") -> tuple[Fact, ...]:
        """What must be so at an end before it may touch another, by how the two are joined."""
        return ()

    def end_state(self, at: At, spec: Any, position: Position, mated: bool) -> tuple[Fact, ...]:
        """How it must stand when the job is done."""
        return ()

    def left_safe(self, at: At, spec: Any, state: Mapping[str, str]) -> tuple[Fact, ...]:
        """How it must stand before whoever is at it goes away with the work half done; nothing where it may stay so."""
        return ()

    def marks(self, spec: Any, values: Mapping[str, str]) -> tuple[Mark, ...]:
        """How it looks to somebody standing in front of the end; ``values`` by slot ("" for a single one)."""
        return ()
