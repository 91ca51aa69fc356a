"""The air case as written: its keys, units and defaults. The keys, with their gauge bar and millimetres, are a contract."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Discriminator, Field, Tag

WHERE = re.compile(r"(front|rear)|(pipe|aux|cyl|chamber)([1-9][0-9]{0,5})")
MOST_VEHICLES = 1000
LOWEST_BAR, HIGHEST_BAR = -1.0, 100.0
"""Gauge pressures [bar] taken: nearly nothing, and far beyond what an ideal gas is good for."""


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


def _place(where: str) -> str:
    if not WHERE.fullmatch(where):
        raise ValueError("no such place (front, rear, or pipeN, auxN, cylN, chamberN with the number of a vehicle)")
    return where


def _one_or_many(value: Any) -> str:
    return "many" if isinstance(value, list | tuple) else "one"


Bar = Annotated[float, Field(ge=LOWEST_BAR, le=HIGHEST_BAR)]
NotBelowZero = Annotated[float, Field(ge=0.0, le=1e6)]
AboveZero = Annotated[float, Field(gt=0.0, le=1e6)]
Share = Annotated[float, Field(ge=0.0, le=1.0)]
Seconds = Annotated[float, Field(ge=0.0, le=86_400.0)]
Where = Annotated[str, AfterValidator(_place)]
# Told apart by what stands there, so that a wrong number is not also called a wrong list.
BarPerVehicle = Annotated[
    Annotated[Bar, Tag("one")] | Annotated[tuple[Bar, ...], Tag("many")], Discriminator(_one_or_many)
]  # fmt: skip
AreaPerVehicle = Annotated[
    Annotated[NotBelowZero, Tag("one")] | Annotated[tuple[NotBelowZero, ...], Tag("many")], Discriminator(_one_or_many)
]  # fmt: skip


class ValveEvent(_Part):
    """From `t` [s] on, the driver's valve stands in `mode`."""

    t: Seconds
    mode: Literal["lap", "shut", "running", "release", "service", "full", "emergency"]


class RearEvent(_Part):
    """From `t` [s] on, the last end is `open` (0 shut, 1 fully) to the atmosphere."""

    t: Seconds
    open: Share


class CockEvent(_Part):
    """From `t` [s] on, the cock of a `joint` is `open` (0 shut, 1 no obstacle)."""

    t: Seconds
    joint: Annotated[int, Field(ge=1, lt=MOST_VEHICLES)]
    open: Share


class AskValue(_Part):
    """The gauge pressure of a place at `t_s`."""

    kind: Literal["value"]
    where: Where
    t_s: Seconds


class AskCross(_Part):
    """When, after `after_s` and counted from it, a place first passes a level."""

    kind: Literal["cross"]
    where: Where
    level_bar: Bar
    direction: Literal["up", "down"]
    after_s: Seconds


class AskDrop(_Part):
    """How fast a place falls between two times."""

    kind: Literal["drop"]
    where: Where
    t1_s: Seconds
    t2_s: Seconds


Ask = Annotated[AskValue | AskCross | AskDrop, Field(discriminator="kind")]


class AirCase(_Part):
    """One case. What stands in a description is the unit and the meaning; the page of the air case shows it."""

    name: str | None = Field(None, description="free text, given back with the answer")
    vehicles: int = Field(12, ge=1, le=MOST_VEHICLES, description="vehicles; 1 is next to the driver's valve")
    pipe_length_m: AboveZero = Field(20.0, description="pipe of each vehicle [m]")
    hose_length_m: NotBelowZero = Field(0.6, description="each hose [m]; two between neighbours, none at the outer ends")
    bore_mm: AboveZero = Field(25.4, description="bore of pipe and hoses [mm]")
    roughness_mm: NotBelowZero = Field(0.05, description="roughness of the wall [mm]")
    k_joint: NotBelowZero = Field(1.0, description="loss coefficient spread over the two hoses of a joint [-]")
    k_vehicle: NotBelowZero = Field(2.0, description="loss coefficient spread over the pipe of a vehicle [-]")
    cock_cd: float = Field(0.7, gt=0.0, le=1.0, description="effective area of a part-open cock or open end, over its area [-]")
    ambient_T_K: float = Field(288.15, ge=200.0, le=400.0, description="temperature outside, of walls and of the supply [K]")
    set_bar: Bar = Field(5.0, description="pressure that running and release feed to [bar gauge]")
    main_reservoir_bar: Bar = Field(8.5, description="supply in release [bar gauge]")
    droop_bar: float = Field(0.1, gt=0.0, le=HIGHEST_BAR, description="range over which a valve closes at its limit [bar]")
    area_running_mm2: NotBelowZero = Field(100.0, description="effective area in running, inward only [mm2]")
    area_release_mm2: NotBelowZero = Field(200.0, description="effective area in release [mm2]")
    area_service_mm2: NotBelowZero = Field(45.0, description="effective area in service and full [mm2]")
    area_emergency_mm2: NotBelowZero = Field(400.0, description="effective area in emergency [mm2]")
    service_target_bar: Bar = Field(3.5, description="pressure that service and full let out to [bar gauge]")
    chamber_l: AboveZero = Field(2.0, description="control chamber [l]")
    chamber_choke_mm2: NotBelowZero = Field(1.0, description="choke from pipe to chamber, never back [mm2, effective]")
    aux_l: AboveZero = Field(75.0, description="auxiliary reservoir [l]")
    aux_choke_mm2: NotBelowZero = Field(7.0, description="choke from pipe to reservoir, never back [mm2, effective]")
    two_pipe: bool = Field(False, description="true: reservoirs are fed otherwise, and keep `initial_aux_bar`")
    cylinder_l: NotBelowZero = Field(10.0, description="brake cylinder, as it draws on the reservoir [l]")
    cylinder_gain: NotBelowZero = Field(
        2.533333333333333, description="rise of the cylinder over fall of the pipe below its chamber [-]"
    )
    cylinder_max_bar: NotBelowZero = Field(3.8, description="most that a cylinder gets [bar gauge]")
    tau_fill_s: AboveZero = Field(1.3333333333333333, description="time constant of a rising cylinder [s]")
    tau_release_s: AboveZero = Field(7.55, description="time constant of a falling cylinder [s]")
    leak_mm2: AreaPerVehicle = Field(0.0, description="leak from pipe to atmosphere [mm2, effective], one or one per vehicle")
    initial_pipe_bar: BarPerVehicle = Field(5.0, description="pipe at the start [bar gauge], one or one per vehicle")
    initial_aux_bar: BarPerVehicle | None = Field(None, description="reservoirs at the start [bar gauge]; null: as the pipe")
    initial_chamber_bar: BarPerVehicle | None = Field(None, description="chambers at the start [bar gauge]; null: as the pipe")
    initial_cylinder_bar: BarPerVehicle = Field(0.0, description="cylinders at the start [bar gauge], one or one per vehicle")
    valve: tuple[ValveEvent, ...] = Field((), description="driver's valve: list of `{t, mode}`, times in order")
    rear: tuple[RearEvent, ...] = Field((), description="opening of the last end: list of `{t, open}`, times in order")
    cocks: dict[str, Share] = Field({}, description="cocks not fully open at the start: share open by number of the joint")
    cock_events: tuple[CockEvent, ...] = Field((), description="cocks moved: list of `{t, joint, open}`, times in order")
    end_s: Annotated[Seconds, Field(gt=0.0)] = Field(60.0, description="end of the run [s], at most a day")
    ask: tuple[Ask, ...] = Field((), description="list of questions")


class AirCaseFile(_Part):
    """The cases of a file, and whether they stood in a list."""

    path: Path
    cases: tuple[AirCase, ...]
    is_list: bool


def per_vehicle(value: float | tuple[float, ...], vehicles: int) -> tuple[float, ...]:
    """One number for each vehicle.

    >>> per_vehicle(0.5, 3)
    (0.5, 0.5, 0.5)
    """
    return value if isinstance(value, tuple) else (value,) * vehicles
