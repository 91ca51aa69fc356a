"""What may be the cause of what the gauges show: each kind of fault at each place of the train under test."""

from __future__ import annotations

from dataclasses import dataclass, replace

from headstock.brake_test.fault_places import places_of
from headstock.brake_test.forecast import TrainUnderTest
from headstock.formation.train_air import TrainAir
from headstock.local_rules.drawn_tests import DrawnTests, FaultKind


@dataclass(frozen=True, slots=True)
class Cause:
    """One fault: what, where (key of a device, a joint, a vehicle, an end; "" for nothing wrong), how bad (0: has no degrees)."""

    kind: FaultKind
    place: str = ""
    severity: float = 0.0

    @property
    def without_degree(self) -> Cause:
        """The same fault however bad."""
        return replace(self, severity=0.0)


NOTHING = Cause("nothing")
"""Nothing is wrong: it is a cause too."""


@dataclass(frozen=True, slots=True)
class Weighed:
    """A cause in one degree, and its share of the odds before anything is read."""

    cause: Cause
    prior: float


def causes_of(tested: TrainUnderTest, air: TrainAir, drawn: DrawnTests) -> tuple[Weighed, ...]:
    """Every cause in every degree; the weight of a kind is spread evenly over its places and degrees. Sums to 1."""
    found: list[Weighed] = []
    for fault in drawn.faults:
        places = tuple(places_of(fault.kind, tested, air))
        degrees = fault.severities or (0.0,)
        share = fault.weight / (len(places) * len(degrees)) if places else 0.0
        found += [Weighed(Cause(fault.kind, place, degree), share) for place in places for degree in degrees]
    total = sum(one.prior for one in found)
    return tuple(replace(one, prior=one.prior / total) for one in found)
