"""What the rescue of a portion without a working compressor rests on: scotches, cylinders, springs, what feeds its reservoirs."""

from __future__ import annotations

from dataclasses import dataclass

from headstock.devices.distributor import cylinder_variable
from headstock.devices.kind import At
from headstock.devices.main_reservoir import filled_key
from headstock.devices.parking_brake import spring_variable
from headstock.devices.scotch import Scotches, scotch_variable
from headstock.reasoning.variable import Fact, Variable


@dataclass(frozen=True, slots=True)
class Inlet:
    """The live end's main reservoir hose and its cock, and the inlet of the dead end by which they fill its springs."""

    at: At
    hose: At
    cock: At


@dataclass(frozen=True, slots=True)
class Rescue:
    """A rescue. Places are those of vehicles of the dead portion.

    ``main_joined``: the main reservoir pipes are joined, because the air says that the live ones stay high enough.
    ``main_waits``: couplers join them as they close and the live ones fall low: nothing moves before they are full again.
    ``springs_off_above_bar``: what its main reservoir gauge must show before springs are let off by air; None without any.
    ``isolated``: vehicles whose brake is isolated, never seen on again; ``unbraked``: units of which every brake is,
    hauled within ``conditions``.
    ``rides_along``: somebody who can put a brake on again rides in the dead portion, by the local rules.
    """

    scotches: Scotches
    cylinders: tuple[At, ...]
    by_hand: tuple[At, ...]
    main_joined: bool
    main_words: str
    main_waits: bool
    springs_off_above_bar: float | None
    rides_along: bool
    rides_along_says: str
    inlet: Inlet | None = None
    isolated: frozenset[At] = frozenset()
    unbraked: tuple[str, ...] = ()
    conditions: tuple[str, ...] = ()

    @property
    def fed(self) -> bool:
        """Whether air of the other portion comes to the dead one's springs: its reservoirs joined, or by an inlet."""
        return self.main_joined or self.inlet is not None

    @property
    def springs_released(self) -> tuple[Fact, ...]:
        """Every vehicle's springs released, where that is done by hand."""
        return tuple((at.key("springs"), "released by hand") for at in self.by_hand)

    @property
    def brakes_seen_on(self) -> tuple[Fact, ...]:
        """Every brake that was let out by hand and is in use, seen on again."""
        return tuple((at.key("cylinders"), "seen on") for at in self.answering)

    @property
    def answering(self) -> tuple[At, ...]:
        """Vehicles whose brake is in use."""
        return tuple(at for at in self.cylinders if at not in self.isolated)

    @property
    def cylinders_out(self) -> tuple[Fact, ...]:
        """Every vehicle's cylinders let out."""
        return tuple((at.key("cylinders"), "let out") for at in self.cylinders)

    def is_by_hand(self, parking_brake: str) -> bool:
        """Whether a parking brake, by its key, is released by hand and not by air."""
        return any(f"{at.unit}.{at.name}" == parking_brake for at in self.by_hand)

    def variables(self, standing: str) -> tuple[Variable, ...]:
        """What stands one way or another in a rescue alone; ``standing`` names the dead portion."""
        main = Variable(filled_key(standing), ("empty", "filled"), "scene", f"air for the springs of {standing}")
        cylinders, springs = map(cylinder_variable, self.cylinders), map(spring_variable, self.by_hand)
        return (scotch_variable(self.scotches), *cylinders, *springs, *((main,) if self.fed else ()))

    def as_found(self, standing: str) -> dict[str, str]:
        """How those stand when the crew starts."""
        found = {self.scotches.key: "off"}
        found |= {at.key("cylinders"): "may hold air" for at in self.cylinders}
        found |= {at.key("springs"): "acting" for at in self.by_hand}
        return {**found, **({filled_key(standing): "empty"} if self.fed else {})}
