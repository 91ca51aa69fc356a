"""The facts of a rescue from a job: who is dead, scotches, springs, whether the air lets main reservoirs be joined; refusals."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from headstock.base.errors import OutsideModelError
from headstock.capability.main_reservoirs import MainDip, ReservoirsQuestion, predict_reservoirs, springs_dip
from headstock.devices.distributor import DistributorSpec, vehicle_place
from headstock.devices.hand_brake import HandBrakeSpec
from headstock.devices.kind import At
from headstock.devices.parking_brake import ParkingBrakeSpec
from headstock.devices.scotch import Scotches
from headstock.formation.join_way import TypeEnd, Way
from headstock.formation.place import Place
from headstock.formation.train import Train, TrainUnit, UnitEnd
from headstock.formation.way_rescue import main_can_join
from headstock.local_rules.limit_figures import PressureUnit
from headstock.local_rules.rescue_rules import RescueRules
from headstock.local_rules.spoken import pressure_at_least, pressure_left
from headstock.physics.air_run import AirEngine
from headstock.procedures.cab_work import pipe_bar
from headstock.procedures.rescue import Inlet, Rescue
from headstock.procedures.task import AttachTask
from headstock.usecases.unbraked_haul import BRAKED, Unbraked, isolated_vehicles

NOT_ASKED = "the air was not asked whether the live main reservoir stays high enough"
WATCHED_S = 120.0
"""How long the live main reservoirs are watched for their lowest [s]."""


@dataclass(frozen=True, slots=True)
class RescueGiven:
    """The two portions of a rescue, the way they are joined, where: what the facts are worked out from."""

    train: Train
    place: Place
    way: Way
    ends: tuple[TypeEnd, TypeEnd]
    live: tuple[TrainUnit, ...]
    dead: tuple[TrainUnit, ...]
    driven_from: UnitEnd
    rules: RescueRules
    left: Mapping[str, str]
    pushed: bool = False
    pressure_unit: PressureUnit = "bar"
    unbraked: Unbraked = BRAKED


def rescue_from(given: RescueGiven, engine: AirEngine | None) -> Rescue | tuple[str, ...]:
    """The facts of the rescue, or every reason of the trade why there is none."""
    dip, words = _main_dip(given, engine)
    waits = dip is not None and not dip.keeps and _by_the_blow(given)
    joined = dip is not None and (dip.keeps or waits)
    brakes = [(At(unit.name, name), spec) for unit in given.dead for name, spec in unit.unit_type.devices.items()]
    springs = [(at, spec) for at, spec in brakes if isinstance(spec, ParkingBrakeSpec)]
    scotches = scotches_carried(given.place, given.dead, given.live)
    reasons = [] if scotches is not None else ["no scotches are carried: the dead portion cannot be secured before it is touched"]
    reasons += given.unbraked.reasons
    inlet, fall = (None, "") if joined else _inlet(given)
    if fall:
        words = f"{words}; {fall}"
    if not joined:
        reasons += _needs_main(given, words, brakes, inlet is not None)
    by_hand = () if joined or inlet else tuple(vehicle_place(at, suffix) for at, spec in springs for suffix in spec.vehicles)
    reasons += _nothing_to_put_on(given, {at.unit for at in by_hand})
    if reasons or scotches is None:
        return tuple(reasons)
    enough = [*(spec.off_above_bar for _, spec in springs), *((dip.needed_bar,) if dip is not None else ())]
    return Rescue(
        scotches=scotches,
        cylinders=tuple(vehicle_place(at, suffix) for at, spec in brakes if isinstance(spec, DistributorSpec)
                        for suffix in spec.acts_on_vehicles),
        by_hand=by_hand, isolated=isolated_vehicles(given.dead, given.left), unbraked=given.unbraked.units,
        conditions=given.unbraked.conditions,
        main_joined=joined, main_words=words, main_waits=waits, inlet=inlet,
        springs_off_above_bar=max(enough, default=None),
        rides_along=given.rules.rides_along.value or given.pushed or given.unbraked.second_person,
        rides_along_says=given.rules.rides_along_says.value,
    )  # fmt: skip


def _main_dip(given: RescueGiven, engine: AirEngine | None) -> tuple[MainDip | None, str]:
    """How far the live main reservoirs fall, in words; None where they do not join or nobody could say."""
    if not main_can_join(given.way, *given.ends):
        return None, "the main reservoir pipes do not join this way"
    if engine is None:
        return None, NOT_ASKED
    try:
        drawn_bar = pipe_bar(given.train, given.driven_from, "drawn")
        dip = predict_reservoirs(
            ReservoirsQuestion(given.train, given.live, given.dead, drawn_bar, True, given.place.atmosphere_pa, WATCHED_S), engine
        )
    except OutsideModelError:
        return None, NOT_ASKED
    if dip is None:
        return None, "the portion that comes has no main reservoir"
    wait = "; nothing moves before they are full again" if not dip.keeps and _by_the_blow(given) else ""
    unit = given.pressure_unit
    lowest, needed = pressure_left(dip.lowest_bar, unit), pressure_at_least(dip.needed_bar, unit, 1)
    return dip, f"the live ones fall to {lowest}, {needed} are needed{wait}"


def _by_the_blow(given: RescueGiven) -> bool:
    """Whether the couplers join the main reservoirs as they close."""
    ports = [end.coupler.ports for end in given.ends if end.coupler.kind == "automatic coupler"]
    return given.way.name == "direct" and len(ports) == 2 and all("main reservoir pipe" in port for port in ports)


def _needs_main(given: RescueGiven, words: str, brakes: Sequence[tuple[At, object]], springs_fed: bool) -> list[str]:  # fmt: skip
    """What does not go without the main reservoir pipe joined."""
    found = []
    for at, spec in brakes:
        if isinstance(spec, ParkingBrakeSpec) and spec.released_by_hand is None and not springs_fed:
            found.append(f"the springs of {at.unit} are let off neither by air ({words}) nor by hand")
        if (
            isinstance(spec, DistributorSpec)
            and spec.reservoir_fed_by == "main reservoir pipe"
            and (spec.reservoir_backed_by_brake_pipe_mm2 is None)
            and at.unit not in given.unbraked.units
        ):
            found.append(f"the brake of {at.unit} has air from the main reservoir pipe alone, which is not joined: {words}")
    if _by_the_blow(given):
        found.append(f"the couplers join the main reservoirs as they close: {words}")
    return found


def inlet_between(train: Train, live: tuple[TrainUnit, ...]) -> Inlet | None:
    """The dead end's air inlet and the live end's main reservoir hose, where they fit one another."""
    names = {unit.name for unit in live}
    joint = train.joint_to_make
    near, far = (joint.first, joint.second) if joint.first.unit in names else (joint.second, joint.first)
    inlets = [(at, spec) for at, spec in train.end_devices(far) if spec.kind == "air inlet"]
    hoses = [(at, spec) for at, spec in train.end_devices(near) if spec.kind == "hose" and spec.pipe == "main reservoir pipe"]
    if not inlets or not hoses or inlets[0][1].half_coupling != hoses[0][1].half_coupling:
        return None
    hose = hoses[0][0]
    return Inlet(inlets[0][0], hose, replace(hose, name=hose.name.removesuffix("_hose") + "_cock"))


def _inlet(given: RescueGiven) -> tuple[Inlet | None, str]:
    """The dead end's air inlet where the live end's hose fits it; what filling the springs takes."""
    inlet, dip = inlet_between(given.train, given.live), springs_dip(given.live, given.dead, given.place.atmosphere_pa)
    if inlet is None or dip is None:
        return None, ""
    lowest, needed = (
        pressure_left(dip.lowest_bar, given.pressure_unit),
        pressure_at_least(dip.needed_bar, given.pressure_unit, 1),
    )
    fall = f"filling springs by the air inlet takes the live ones to {lowest} ({needed} needed)"
    return inlet if dip.keeps else None, fall


def _nothing_to_put_on(given: RescueGiven, by_hand: set[str]) -> list[str]:
    """Unbraked units in which nobody can put a brake on again: no hand brake, and springs that are let off by hand."""
    found = []
    for unit in given.dead if given.unbraked.second_person else ():
        springs = any(isinstance(spec, ParkingBrakeSpec) for spec in unit.unit_type.devices.values())
        wheels = any(isinstance(spec, HandBrakeSpec) for car in unit.unit_type.vehicles for spec in car.devices.values())
        if unit.name in given.unbraked.units and not wheels and (not springs or unit.name in by_hand):
            found.append(f"{unit.name} would be hauled unbraked with no brake that somebody in it could put on again")
    return found


def scotches_carried(place: Place, dead: tuple[TrainUnit, ...], live: tuple[TrainUnit, ...]) -> Scotches | None:
    """The first pair carried, the dead portion's own before those brought; laid on the low side of its lowest vehicle."""
    low_first = place.falls_towards == place.directions[0]
    units = dead if low_first else dead[::-1]
    lowest = units[0]
    suffix = lowest.vehicle_suffixes[0] if low_first else lowest.vehicle_suffixes[-1]
    for unit in (*dead, *live):
        for gear in unit.unit_type.loose_gear:
            if gear.kind == "scotches":
                at = At(lowest.name, "scotches", vehicle=lowest.vehicle_name(suffix))
                side = f"on the {place.falls_towards} side" if place.slope else "on both sides"
                return Scotches(at, side, unit.name, gear.stowed)
    return None


def with_rescue(task: AttachTask, rescue: Rescue) -> AttachTask:
    """The task as a rescue: scotches among the holds of the dead portion."""
    own = task.holds[task.standing]
    holds = {**task.holds, task.standing: replace(own, brakes=(*own.brakes, rescue.scotches.key))}
    return replace(task, rescue=rescue, holds=holds)


def refused_outright(
    controls: UnitEnd, leaves_from: UnitEnd, live: tuple[TrainUnit, ...], rules: RescueRules | None
) -> tuple[str, ...]:
    """What no rescue is planned with, whatever the air says."""
    if rules is None:
        return ("the local rules say nothing of a rescue (rescue)",)
    found = []
    if controls.unit not in {unit.name for unit in live}:
        found.append(f"the cab {controls} is on the dead portion: it has no air to charge a brake pipe with")
    if leaves_from != controls and not rules.propelled.value:
        found.append(f"leaving from {leaves_from} the rescued portion would be pushed: the local rules allow no propelling")
    return tuple(found)
