"""What each kind of fault does: which device stands otherwise, which setting of the air, or only what is read.

A kind that is not on the gauges' way at all (a hand brake) says so: its tests read as without it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal

from headstock.base.conversion import BAR_PA
from headstock.brake_test.air_under_test import AirUnderTest
from headstock.brake_test.causes import Cause
from headstock.formation.train_air import TrainOpenings
from headstock.formation.train_gear import RESERVOIR
from headstock.local_rules.drawn_tests import FaultKind
from headstock.physics.distributor import DistributorSetting, VesselSetting
from headstock.physics.pipe_network import SHUT, GateSetting, ValveSetting

MM2 = 1e-6
ActsOn = Literal["air", "reading", "no gauge"]


@dataclass(slots=True)
class Opened:
    """Settings of a train's air while faults are put into it, by their numbers."""

    gates: list[GateSetting]
    valves: list[ValveSetting]
    vessels: list[VesselSetting]
    distributors: list[DistributorSetting]

    def as_openings(self) -> TrainOpenings:
        """As they stand by now."""
        return TrainOpenings(tuple(self.gates), tuple(self.valves), tuple(self.vessels), tuple(self.distributors))


@dataclass(frozen=True, slots=True)
class FaultAct:
    """``stands``: the value of the device at its place (``of_brake``: of that vehicle's brake); ``opens`` puts it into settings.

    ``leaks``: the pipe falls by its severity [bar per minute] more; ``empties``: reservoir and cylinder stand empty.
    """

    acts_on: ActsOn = "air"
    stands: str = ""
    of_brake: bool = False
    opens: Callable[[AirUnderTest, Cause, Opened], None] | None = None
    leaks: bool = False
    empties: bool = False


def _narrow(air: AirUnderTest, cause: Cause, opened: Opened) -> None:
    opened.gates[air.air.gates.index(cause.place)] = GateSetting(cause.severity)


def _cylinder_leaks(air: AirUnderTest, cause: Cause, opened: Opened) -> None:
    number = list(air.air.gear.distributors).index(cause.place)
    opened.distributors[number] = replace(opened.distributors[number], cylinder_leak_m2=cause.severity * MM2)


def _not_fed(air: AirUnderTest, cause: Cause, opened: Opened) -> None:
    number = air.air.gear.vessel(cause.place, RESERVOIR)
    opened.vessels[number] = replace(opened.vessels[number], open=0.0)


def _lapped_feeds(air: AirUnderTest, cause: Cause, opened: Opened) -> None:
    """A leading valve that should feed nothing and does, a little."""
    leading, spec = air.leading
    if opened.valves[leading] == SHUT:
        set_pa = spec.set_pressure_bar * BAR_PA + air.tested.outside_pa
        opened.valves[leading] = ValveSetting(0.0, cause.severity * MM2, set_pa, droop_pa=spec.droop_bar * BAR_PA)


ACTS: Final[Mapping[FaultKind, FaultAct]] = {
    "nothing": FaultAct("no gauge"),
    "cock shut": FaultAct(stands="shut"),
    "cock part open": FaultAct(opens=_narrow),
    "pipe blocked": FaultAct(opens=_narrow),
    "pipe leaks": FaultAct(leaks=True),
    "brake isolated": FaultAct(stands="isolated", of_brake=True),
    "cylinder leaks": FaultAct(opens=_cylinder_leaks),
    "reservoir not fed": FaultAct(opens=_not_fed, empties=True),
    "other valve feeds": FaultAct(stands="running"),
    "lapped valve feeds": FaultAct(opens=_lapped_feeds),
    "compressor dead": FaultAct(stands="dead"),
    "main reservoir cock shut": FaultAct(stands="shut"),
    "parking brake on": FaultAct(stands="on"),
    "hand brake on": FaultAct("no gauge", stands="on"),
    "wrong gauge read": FaultAct("reading"),
    "gauge stuck": FaultAct("reading"),
    "gauge off": FaultAct("reading"),
}
"""By kind; every kind stands here."""
READING_FAULTS: Final = frozenset(kind for kind, act in ACTS.items() if act.acts_on == "reading")
"""Faults of a gauge or of its reader, put on the readings."""


def put_into(air: AirUnderTest, stands: TrainOpenings, causes: Sequence[Cause]) -> TrainOpenings:
    """How all stands with faults in it that no device's state says."""
    opened = Opened(list(stands.gates), list(stands.valves), list(stands.vessels), list(stands.distributors))
    for cause in causes:
        opens = ACTS[cause.kind].opens
        if opens is not None:
            opens(air, cause, opened)
    return opened.as_openings()


def leaking(air: AirUnderTest, causes: Sequence[Cause], areas_m2: Sequence[float]) -> tuple[float, ...]:
    """Openings by which the pipe leaks at each vehicle [m2], those of leaks that are faults added."""
    found = list(areas_m2)
    for cause in causes:
        if ACTS[cause.kind].leaks:
            found[air.vehicles.index(cause.place)] += air.unit_leak_m2 * cause.severity
    return tuple(found)


def in_the_air(causes: Sequence[Cause]) -> tuple[Cause, ...]:
    """Those causes that the air of the pipes feels."""
    return tuple(cause for cause in causes if ACTS[cause.kind].acts_on == "air")


def unrest(causes: Sequence[Cause]) -> tuple[float, float, float]:
    """What makes a run long, to sort by: another valve that feeds sets waves running, and a brake cylinder that leaks is
    topped up without end, both in small steps.

    Runs of like unrest are stepped side by side, since eight go on until the last of them has ended; the most restless come
    first, where eights begin.
    """
    worst = {kind: max((cause.severity for cause in causes if cause.kind == kind), default=0.0)
             for kind in ("cylinder leaks", "pipe leaks")}  # fmt: skip
    feeds = sum(cause.kind == "other valve feeds" for cause in causes)
    return -float(feeds), worst["cylinder leaks"], worst["pipe leaks"]
