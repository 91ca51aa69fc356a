"""What stands otherwise in a forecast: as people write it, or what a method is there to find."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import isfinite

from headstock.base.errors import Fault, InputError
from headstock.base.nearest import nearest_of
from headstock.brake_test.forecast import FaultCase, TrainUnderTest, parted_wire_faults, shut_cock_faults
from headstock.brake_test.leak_area import brake_pipe_vehicles
from headstock.formation.train_air import brake_pipe_air_of, brake_places
from headstock.formation.train_state import layout_of
from headstock.reasoning.variable import Variable

LEAK = ".leak"
"""After a vehicle: a leak of the brake pipe there, as the whole pipe would fall by it alone [bar per minute]."""
WIDEST_LEAK = 60.0
"""A pipe that is emptied in seconds is parted, and no leak [bar per minute]."""
LEAKS = ("leak_at_most_bar_per_min", "flow_at_most_l_per_min")


def usual_faults(tested: TrainUnderTest) -> tuple[FaultCase, ...]:
    """What a test is there to find: cocks shut, or wires parted; leaks, or brakes cut out, where its readings are on them."""
    if tested.method.brake == "electro-pneumatic":
        return parted_wire_faults(tested)
    limits = {limit for stage in tested.method.readings if stage.reading is not None for limit in stage.reading.limits}
    found = shut_cock_faults(tested)
    if any(stage.electric is not None for stage in tested.method.stages):
        found += parted_wire_faults(tested)
    if limits & set(LEAKS):
        found += _leak_faults(tested)
    if "speed_fall_at_least_kmh" in limits:
        found += tuple(
            FaultCase(f"brake of {at.where} isolated", {at.key(): "isolated"}) for at in brake_places(tested.train)
            if tested.values[at.key()] != "isolated"
        )  # fmt: skip
    return found


def _leak_faults(tested: TrainUnderTest) -> tuple[FaultCase, ...]:
    """Twice what may leak, at the last vehicle; none where the local rules do not say what may."""
    entry = tested.rules.limits.leak_at_most_bar_per_min
    if entry is None:
        return ()
    last = brake_pipe_vehicles(brake_pipe_air_of(tested.train, tested.outside_pa))
    here = tested.train.unit(tested.rear.unit)
    vehicle = here.vehicle_name(here.end_spec(tested.rear.end).vehicle)
    return (_leak_case({vehicle: 2.0 * entry.value}),) if vehicle in last else ()


def _leak_case(leaks: Mapping[str, float]) -> FaultCase:
    return FaultCase(
        " and ".join(f"brake pipe leaks at {name}, {fall:g} bar a minute" for name, fall in leaks.items()), {}, leaks
    )


def given_faults(tested: TrainUnderTest, faults: Sequence[str]) -> tuple[FaultCase, ...]:
    """Faults as written, "KEY=VALUE" or several of these with commas between, each a case of its own."""
    variables = {variable.key: variable for variable in layout_of(tested.train).variables}
    cases = []
    for written in faults:
        values, leaks = dict[str, str](), dict[str, float]()
        for part in written.split(","):
            if part.partition("=")[0].strip().endswith(LEAK):
                leaks |= [_leak(tested, part)]
            else:
                values |= [_change(part, variables)]
        names = [variables[key].say(value) for key, value in values.items()]
        names += [_leak_case(leaks).name] if leaks else []
        cases.append(FaultCase(" and ".join(names), values, leaks))
    return tuple(cases)


def _leak(tested: TrainUnderTest, written: str) -> tuple[str, float]:
    """A leak as written, "VEHICLE.leak=BAR_PER_MINUTE"."""
    key, _, figure = (part.strip() for part in written.partition("="))
    vehicle = key.removesuffix(LEAK)
    vehicles = brake_pipe_vehicles(brake_pipe_air_of(tested.train, tested.outside_pa))
    if vehicle not in vehicles:
        fault = Fault("no such vehicle on the brake pipe", path="--fault", found=vehicle, expected=" or ".join(vehicles),
                      nearest=nearest_of(vehicle, vehicles))  # fmt: skip
        raise InputError(fault, cure="Name the vehicle by its number, as on the sheet.")
    try:
        fall = float(figure)
    except ValueError:
        fall = -1.0
    if not (isfinite(fall) and 0.0 < fall <= WIDEST_LEAK):
        fault = Fault("a leak is how fast the pipe falls by it", path=f"--fault {key}", found=figure,
                      expected=f"bar per minute, above 0, up to {WIDEST_LEAK:g}")  # fmt: skip
        raise InputError(fault, cure=f"For instance {vehicle}{LEAK}=0.5.")
    return vehicle, fall


def _change(written: str, variables: Mapping[str, Variable]) -> tuple[str, str]:
    key, equals, value = (part.strip() for part in written.partition("="))
    if not equals or key not in variables:
        expected = "KEY=VALUE with the key of a device of this train, as in 217/2.brake_pipe_cock=shut"
        fault = Fault("unknown fault", path="--fault", found=written, expected=expected, nearest=nearest_of(key, variables))
        raise InputError(fault, cure="Name the device as the job's file does under as_left.")
    domain = variables[key].domain
    if value not in domain:
        fault = Fault("a state this device does not have", path=f"--fault {key}", found=value,
                      expected=" or ".join(domain), nearest=nearest_of(value, domain))  # fmt: skip
        raise InputError(fault, cure="Give one of the states the device can have.")
    return key, value
