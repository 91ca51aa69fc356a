"""A train under another method than its job's: what that method needs to be forecast, and how the train stands for it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from headstock.base.errors import Fault, InputError
from headstock.brake_test.forecast import TrainUnderTest
from headstock.brake_test.forecast_reading import not_forecast_because
from headstock.devices.distributor import DistributorSpec
from headstock.formation.train import Train
from headstock.formation.train_on_rail import lacking_to_stop
from headstock.local_rules.test_method import BrakeTestMethod

CURE = "Methods whose gauges can be forecast: headstock methods list."


def by_method(tested: TrainUnderTest, method: BrakeTestMethod) -> TrainUnderTest:
    """The same train tested by another method. Raises InputError for one of which nothing can be said for this train.

    A method that does not move the leading valve, or moves it from running first, begins with it there, the pipe charged; a
    running test with every parking and hand brake off.
    """
    fault = next(_against(tested, method), None)
    if fault is not None:
        raise InputError(fault, cure=CURE)
    lacking = (*tested.rules.lacks_for(method), *_lacking_to_run(tested, method))
    if lacking:
        raise InputError(Fault("no limit for the method", path="--method", found=method.name, expected=" and ".join(lacking)))
    return _standing_for(replace(tested, method=method, rules=tested.rules.using(method)))


def _against(tested: TrainUnderTest, method: BrakeTestMethod) -> Iterator[Fault]:
    """Why a method says nothing for a train."""
    because = not_forecast_because(method)
    if because is not None:
        yield Fault("no forecast of this method", path="--method", found=f"{method.name}: {because}",
                    expected="readings of the brake pipe, of a brake cylinder, of a flow or a speed")  # fmt: skip
    if method.brake == "electro-pneumatic" and not has_electric_brakes(tested.train):
        yield Fault("not every brake of the train has an electro-pneumatic circuit", path="--method", found=method.name,
                    expected="a method of the automatic brake")  # fmt: skip
    if "multiple unit" not in method.for_stock:
        yield Fault("the method does not belong to multiple units", path="--method", found=method.name,
                    expected=" or ".join(method.for_stock))  # fmt: skip
    missing = lacking_to_stop(tested.train.units) if _reads_speed(method) else ()
    if missing:
        yield Fault("how far this train's speed falls cannot be reckoned", path="--method", found="; ".join(missing),
                    expected="what the unit types must state for headstock can")  # fmt: skip


def _lacking_to_run(tested: TrainUnderTest, method: BrakeTestMethod) -> tuple[str, ...]:
    return ("running_test",) if _reads_speed(method) and tested.rules.running_test is None else ()


def _reads_speed(method: BrakeTestMethod) -> bool:
    return any(stage.reading is not None and stage.reading.reads == "speed" for stage in method.stages)


def has_electric_brakes(train: Train) -> bool:
    """Whether every brake of a train has an electro-pneumatic circuit."""
    brakes = [spec for unit in train.units for spec in unit.unit_type.devices.values() if isinstance(spec, DistributorSpec)]
    return bool(brakes) and all(spec.electro_pneumatic != "none" for spec in brakes)


def _standing_for(tested: TrainUnderTest) -> TrainUnderTest:
    """As after a test of the pipe, where the method begins with the leading valve at running; ready to run where it runs."""
    values = dict(tested.values)
    if tested.method.tests == "running":
        values |= {at.key(): "off" for at, spec in tested.train.devices() if spec.kind in ("parking brake", "hand brake")}
    first = next((stage.valve for stage in tested.method.stages if stage.valve is not None and stage.valve.at == "front"), None)
    if first is not None and first.before != "running":
        return replace(tested, values=values)
    valve, spec = tested.train.cab_valve(tested.front)
    pipe_bar = dict.fromkeys(tested.pipe_bar, spec.set_pressure_bar)
    return replace(tested, values={**values, valve.key(): "running"}, pipe_bar=pipe_bar)
