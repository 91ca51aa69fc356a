"""What parting a train that was joined by a rescue rests on: springs released by hand, scotches, what feeds the dead portion."""

from __future__ import annotations

from dataclasses import dataclass

from headstock.devices.kind import At
from headstock.devices.parking_brake import spring_variable
from headstock.devices.scotch import Scotches, scotch_variable
from headstock.procedures.rescue import Inlet
from headstock.reasoning.variable import Fact, Variable


@dataclass(frozen=True, slots=True)
class Rescued:
    """A train as a rescue left it. Places are those of vehicles of the portion that was fetched.

    ``by_hand``: vehicles whose springs were released by hand; ``set_again``: those of them that the hold here rests on.
    ``scotches``: laid where springs were released by hand; None where none were. ``inlet``: still joined to the live end.
    """

    by_hand: tuple[At, ...]
    set_again: tuple[At, ...]
    scotches: Scotches | None
    main_joined: bool
    inlet: Inlet | None = None

    @property
    def springs_act(self) -> tuple[Fact, ...]:
        """Every vehicle's springs set again on which the hold rests."""
        return tuple((at.key("springs"), "acting") for at in self.set_again)

    @property
    def left_released(self) -> tuple[At, ...]:
        """Vehicles whose springs stay released."""
        return tuple(at for at in self.by_hand if at not in self.set_again)

    def springs_of(self, parking_brake: str) -> tuple[Fact, ...]:
        """Of these the springs of one parking brake, by its key."""
        return tuple((at.key("springs"), "acting") for at in self.set_again if f"{at.unit}.{at.name}" == parking_brake)

    def variables(self) -> tuple[Variable, ...]:
        """What stands one way or another in such a job alone."""
        scotches = (scotch_variable(self.scotches),) if self.scotches is not None else ()
        return (*map(spring_variable, self.by_hand), *scotches)

    def as_found(self) -> dict[str, str]:
        """How those stand when the crew starts."""
        found = {at.key("springs"): "released by hand" for at in self.by_hand}
        if self.inlet is not None:
            found |= {self.inlet.hose.key(): "joined", self.inlet.at.key(): "joined", self.inlet.cock.key(): "open"}
        return {**found, **({self.scotches.key: "off"} if self.scotches is not None else {})}
