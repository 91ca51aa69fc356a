"""The description of one unit type, as its file gives it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from headstock.base.sources import Source
from headstock.devices.air_pipe import AirPipeSpec
from headstock.devices.brake_controller import BrakeControllerSpec
from headstock.devices.cab_valve import CabValveSpec
from headstock.devices.distributor import DistributorSpec
from headstock.devices.end_cock import PIPES
from headstock.devices.hand_brake import HandBrakeSpec
from headstock.devices.kind import DeviceSpec
from headstock.devices.main_reservoir import MainReservoirSpec
from headstock.devices.parking_brake import ParkingBrakeSpec
from headstock.devices.registry import AnyDeviceSpec
from headstock.devices.wired_brake import WiredBrakeSpec
from headstock.equipment.end_faults import cab_faults, coupler_faults, has_pipe, lamp_faults, pipe_faults, stowage_faults
from headstock.equipment.loose_gear import LooseGear
from headstock.equipment.running_data import (
    DraftGearSpec,
    ElectricRetardationSpec,
    FrictionBrakeSpec,
    PayloadSpec,
    ResistanceSpec,
    SupplySpec,
    TractionSpec,
)

Name = Annotated[str, Field(min_length=1, max_length=40, pattern=r"^[a-z][a-z0-9 _-]*$")]
Level = Literal["rescue", "mechanical and automatic brake", "electro-pneumatic brake", "full multiple working"]


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class VehicleSpec(_Part):
    """One vehicle: the figure added to the unit's number, mass [t] in working order, length over couplers [m], axles.

    Between its bogie centres [m] and beyond them, alike at both ends, it stands out of the track on a curve.
    """

    suffix: str = Field(min_length=1, max_length=3, description="figure added to the unit's number: `1` makes 2171 of unit 217")
    mass_t: float = Field(gt=1, le=200, description="mass in working order [t]")
    length_m: float = Field(gt=3, le=40, description="length over couplers [m]")
    bogie_centres_m: float | None = Field(
        default=None, gt=1.5, lt=30, description="between the middles of its bogies, or its two axles [m]; needed on a curve"
    )
    width_m: float | None = Field(default=None, gt=1, le=4, description="width of its body at the ends [m]; for gaps on a curve")
    axles: int = Field(ge=2, le=16, description="number of axles")
    rotating_mass_share: float | None = Field(
        default=None, ge=0, le=0.5, description="what its turning parts add to its mass, over its mass [-]; needed to stop"
    )
    friction_brake: FrictionBrakeSpec | None = Field(default=None, description="its friction brake; needed to stop")
    electric_retardation: ElectricRetardationSpec | None = Field(default=None, description="its electric brake, if it has one")
    payload: PayloadSpec | None = Field(default=None, description="what it carries laden; needed for any load but working order")
    source: str = Field(description="key in `sources`: where mass, length and axles come from")
    devices: dict[Name, AnyDeviceSpec] = Field(default={}, description="what is worked at this vehicle itself, its hand brake")

    @model_validator(mode="after")
    def _bogies_stand_under_it(self) -> VehicleSpec:
        if self.bogie_centres_m is not None and self.bogie_centres_m >= self.length_m:
            raise ValueError(f"bogie_centres_m {self.bogie_centres_m:g} is not below length_m {self.length_m:g}")
        return self


class EndSpec(_Part):
    """One unit end: the vehicle that carries it, whether it has a cab, and its devices."""

    vehicle: str = Field(
        description="suffix of the vehicle that carries this end: the first listed for end 1, the last for end 2"
    )
    has_cab: bool = Field(
        description="whether one can drive from here; a cab has one cab valve or, without a brake pipe, one brake controller"
    )
    height_of_floor_m: float = Field(gt=0.3, lt=2, description="floor of the cab or gangway above the rail [m]")
    devices: dict[Name, AnyDeviceSpec] = Field(
        description="what one sees and works before this end or in its cab, by a name of its own; one is `coupler`"
    )
    body_behind_face_m: float | None = Field(
        default=None, ge=0, le=2, description="how far its body ends behind the face of its coupler [m]; for gaps on a curve"
    )
    draft_gear: DraftGearSpec | None = Field(default=None, description="draft gear behind its coupler; needed to meet")

    @model_validator(mode="after")
    def _has_what_an_end_needs(self) -> EndSpec:
        wrong = coupler_faults(self.devices) + pipe_faults(self.devices) + cab_faults(self.devices, self.has_cab)
        wrong += lamp_faults(self.devices, self.has_cab)
        if wrong:
            raise ValueError("; ".join(wrong))
        return self


class Declaration(_Part):
    """A declared compatibility: with which type, at which level, by which document."""

    with_type: str = Field(description="the other unit type")
    level: Level = Field(description="the most that units of both types may work together at")
    document: str = Field(min_length=3, description="the document that declares it, in words")
    source: str = Field(description="key in `sources`")


class UnitType(_Part):
    """One unit type. End 1 is on the first vehicle listed, end 2 on the last."""

    type: Name = Field(description="the name that jobs and commands use, in small letters")
    title: str = Field(min_length=1, description="what people call it")
    issue: str = Field(min_length=1, description="issue of this description, which sheets name")
    invented: bool = Field(description="true: made up for demonstration or training; sheets say so")
    sources: dict[str, Source] = Field(min_length=1, description="where the figures come from, by a key of one's own")
    vehicles: tuple[VehicleSpec, ...] = Field(min_length=1, max_length=24, description="vehicles in order from end 1 to end 2")
    devices: dict[Name, AnyDeviceSpec] = Field(
        description="what belongs to the whole unit, by a name of its own: pipes, automatic brake, parking brake, board"
    )
    ends: dict[Literal["1", "2"], EndSpec] = Field(description='both ends, `"1"` and `"2"`')
    greatest_speed_kmh: float | None = Field(default=None, gt=0, le=400, description="greatest speed [km/h]")
    draft_gear_inside: DraftGearSpec | None = Field(
        default=None, description="draft gear between two of its vehicles; needed to meet"
    )
    resistance: ResistanceSpec | None = Field(default=None, description="running resistance; needed to haul")
    traction: TractionSpec | None = Field(default=None, description="what it pulls with; needed for the pull and to haul")
    supply: SupplySpec | None = Field(default=None, description="what it draws from wire or rail, if it does")
    loose_gear: tuple[LooseGear, ...] = Field(default=(), description="what it carries for joining and protecting")
    declared: tuple[Declaration, ...] = Field(
        default=(), description="types it is declared to work with; a like coupler declares nothing"
    )

    @model_validator(mode="after")
    def _parts_fit_together(self) -> UnitType:
        suffixes = [vehicle.suffix for vehicle in self.vehicles]
        wrong = [f"vehicle {suffix} is listed twice" for suffix in set(suffixes) if suffixes.count(suffix) > 1]
        if set(self.ends) != {"1", "2"}:
            wrong.append('ends must be given for "1" and "2"')
        for end, vehicle in (("1", suffixes[0]), ("2", suffixes[-1])):
            if end in self.ends and self.ends[end].vehicle != vehicle:
                wrong.append(f"end {end} must be on vehicle {vehicle}, not {self.ends[end].vehicle}")
        for name, spec in self.devices.items():
            for named in getattr(spec, "vehicles", getattr(spec, "acts_on_vehicles", ())):
                if named not in suffixes:
                    wrong.append(f"{name} names vehicle {named}, which the unit does not have")
        wrong += self._axles_braked_twice() + self._pipes_and_ends() + self._brakes_and_pipes() + self._brakes_by_vehicle()
        wrong += self._main_reservoirs() + self._cabs_and_pipe()
        wrong += stowage_faults({end: data.devices for end, data in self.ends.items()}, self.loose_gear)
        if wrong:
            raise ValueError("; ".join(wrong))
        return self

    def _axles_braked_twice(self) -> list[str]:
        """Hand and parking brake of a vehicle count together only on different axles: the rail passes a force once."""
        wrong = []
        for vehicle in self.vehicles:
            shares = [spec.share_of_weight for spec in vehicle.devices.values() if isinstance(spec, HandBrakeSpec)]
            shares += [
                spec.share_of_weight
                for spec in self.devices.values()
                if isinstance(spec, ParkingBrakeSpec) and vehicle.suffix in spec.vehicles
            ]
            if sum(shares) > 1:
                wrong.append(f"hand and parking brakes of vehicle {vehicle.suffix} stand on more than its whole weight")
        return wrong

    def _pipes_and_ends(self) -> list[str]:
        """A pipe that comes out at an end goes through the unit, and a pipe through the unit comes out somewhere."""
        wrong = []
        for pipe in PIPES:
            inside = [name for name, spec in self.devices.items() if isinstance(spec, AirPipeSpec) and spec.pipe == pipe]
            ends = [end for end in sorted(self.ends) if has_pipe(self.ends[end].devices, pipe)]
            if len(inside) > 1:
                wrong.append(f"{' and '.join(inside)} are both the {pipe}: describe it once")
            if ends and not inside:
                where = " and ".join(f"end {end}" for end in ends)
                wrong.append(f"the {pipe} comes out at {where}, but devices has no air pipe with pipe: {pipe}")
            if inside and not ends:
                wrong.append(f"{inside[0]} comes out nowhere: no end has an end cock (or a coupler port) of the {pipe}")
        return wrong

    def _brakes_and_pipes(self) -> list[str]:
        """An automatic brake needs a brake pipe and the pipe that feeds its reservoir; a wired brake what fills its own."""
        wrong = []
        pipes = {spec.pipe for spec in self.devices.values() if isinstance(spec, AirPipeSpec)}
        for name, spec in self.devices.items():
            if isinstance(spec, DistributorSpec):
                wrong += [
                    f"{name} needs the {pipe}, but devices has no air pipe with pipe: {pipe}"
                    for pipe in PIPES
                    if pipe in ("brake pipe", spec.reservoir_fed_by) and pipe not in pipes
                ]
            elif isinstance(spec, WiredBrakeSpec) and "main reservoir pipe" not in pipes and self.main_reservoir is None:
                wrong.append(
                    f"{name} fills its reservoirs from a main reservoir pipe or a main reservoir, and the unit has neither"
                )
        return wrong

    def _brakes_by_vehicle(self) -> list[str]:
        """A unit has a brake, automatic or wired, and a vehicle no more than one."""
        wrong, seen = [], dict[str, str]()
        brakes = {name: s for name, s in self.devices.items() if isinstance(s, DistributorSpec | WiredBrakeSpec)}
        if not brakes:
            wrong.append("a unit has a brake: devices must have an automatic brake or a wired brake")
        for name, spec in brakes.items():
            twice = [suffix for suffix in spec.acts_on_vehicles if suffix in seen]
            wrong += [f"{name} acts on vehicle {suffix}, which has {seen[suffix]} already" for suffix in twice]
            what = "an automatic brake" if isinstance(spec, DistributorSpec) else "a wired brake"
            seen |= dict.fromkeys(spec.acts_on_vehicles, what)
        return wrong

    def _cabs_and_pipe(self) -> list[str]:
        """Cabs of a unit with a brake pipe have a cab valve on it; without one a cab valve has nothing to work."""
        wrong = []
        piped = self.air_pipe("brake pipe") is not None
        for end, data in sorted(self.ends.items()):
            for name, spec in data.devices.items():
                if piped and isinstance(spec, BrakeControllerSpec):
                    wrong.append(f"{name} of end {end}: the unit has a brake pipe, so its cabs have a cab valve")
                if not piped and isinstance(spec, CabValveSpec):
                    wrong.append(f"{name} of end {end} works a brake pipe that the unit does not have: give a brake controller")
        return wrong

    def _main_reservoirs(self) -> list[str]:
        """A cab valve feeds from a main reservoir of the unit, or from a main reservoir pipe that another unit fills."""
        wrong, suffixes = [], [vehicle.suffix for vehicle in self.vehicles]
        found = {name: spec for name, spec in self.devices.items() if isinstance(spec, MainReservoirSpec)}
        wrong += [
            f"{name} is on vehicle {spec.vehicle}, which the unit does not have"
            for name, spec in found.items()
            if spec.vehicle not in suffixes
        ]
        if len(found) > 1:
            wrong.append(f"{' and '.join(found)} are both a main reservoir: describe one for the unit")
        if not found and any(end.has_cab for end in self.ends.values()) and self.air_pipe("main reservoir pipe") is None:
            wrong.append("a unit with a cab has a main reservoir or a main reservoir pipe: its cab valve feeds from it")
        springs = [name for name, spec in self.devices.items() if isinstance(spec, ParkingBrakeSpec)]
        if springs and not found and self.air_pipe("main reservoir pipe") is None:
            wrong.append(
                f"{springs[0]} has springs held off by air, but the unit has no main reservoir and no main reservoir pipe"
            )
        return wrong

    @property
    def main_reservoir(self) -> MainReservoirSpec | None:
        """Data of its main reservoir, if it has one."""
        return next((spec for spec in self.devices.values() if isinstance(spec, MainReservoirSpec)), None)

    def air_pipe(self, pipe: str) -> AirPipeSpec | None:
        """Data of one of its pipes, if it has it."""
        return next((spec for spec in self.devices.values() if isinstance(spec, AirPipeSpec) and spec.pipe == pipe), None)

    @property
    def mass_kg(self) -> float:
        """Mass in working order [kg]."""
        return 1000.0 * sum(vehicle.mass_t for vehicle in self.vehicles)

    @property
    def length_m(self) -> float:
        """Length over couplers [m]."""
        return sum(vehicle.length_m for vehicle in self.vehicles)

    def end_devices(self, end: str, kind: str) -> Iterator[tuple[str, DeviceSpec]]:
        """Names and data of an end's devices of one kind."""
        for name, spec in self.ends[end].devices.items():  # type: ignore[index]
            if spec.kind == kind:  # type: ignore[attr-defined]
                yield name, spec
