"""Where a run of a test is read: both gauges, then the brake cylinders and the sources of valves where the method needs them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from headstock.brake_test.flow_reading import supply_probe
from headstock.brake_test.forecast_reading import GAUGES, OF_CYLINDERS
from headstock.formation.train import UnitEnd
from headstock.formation.train_air import TrainAir
from headstock.local_rules.method_stage import End
from headstock.physics.pipe_network import Probe

if TYPE_CHECKING:
    from headstock.brake_test.forecast import TrainUnderTest

ENDS: tuple[End, End] = ("front", "rear")


def probes_of(tested: TrainUnderTest, air: TrainAir) -> tuple[Probe, ...]:
    """Both gauges; the brake cylinders where brakes are counted or slow the train; what feeds a valve whose flow is read."""
    gauges = tuple(Probe("valve", valve_number(tested, air, at)) for at in ENDS)
    return (*gauges, *_cylinders(tested, air), *_supplies(tested, air).values())


def valve_number(tested: TrainUnderTest, air: TrainAir, at: End) -> int:
    """Number of the cab valve at one end of the test."""
    return air.valves.index(tested.train.cab_valve(_cab(tested, at))[0].key())


def supply_column(tested: TrainUnderTest, air: TrainAir, at: End) -> int | None:
    """Which column of a trace shows what the valve at an end is fed from; None where its source is a fixed pressure."""
    ends = list(_supplies(tested, air))
    return GAUGES + len(_cylinders(tested, air)) + ends.index(at) if at in ends else None


def _cab(tested: TrainUnderTest, at: End) -> UnitEnd:
    return tested.front if at == "front" else tested.rear


def _cylinders(tested: TrainUnderTest, air: TrainAir) -> tuple[Probe, ...]:
    if not any(stage.reading is not None and stage.reading.reads in OF_CYLINDERS for stage in tested.method.stages):
        return ()
    return tuple(Probe("brake cylinder", number) for number in range(len(air.gear.distributors)))


def _supplies(tested: TrainUnderTest, air: TrainAir) -> dict[End, Probe]:
    read = {stage.reading.at for stage in tested.method.stages if stage.reading is not None and stage.reading.reads == "flow"}
    found = {at: supply_probe(tested.train, air, _cab(tested, at)) for at in ENDS if at in read}
    return {at: probe for at, probe in found.items() if probe is not None}
