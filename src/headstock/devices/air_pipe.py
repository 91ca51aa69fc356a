"""A pipe through a unit: bore, roughness and losses, what a tight unit still leaks. It has no state of its own."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from headstock.devices.end_cock import Pipe
from headstock.devices.kind import DeviceKind, DeviceSpec


class AirPipeSpec(DeviceSpec):
    """Bore and roughness [mm], losses on the velocity head [-], length between vehicles [m], leak, working pressure.

    In each vehicle the pipe is as long as the vehicle. `leak_area_mm2_per_vehicle` is what a tight unit still leaks, as an
    effective area. `working_pressure_bar` [bar, gauge] belongs to the main reservoir pipe alone: the brake pipe has its cab
    valves' set pressure.
    """

    kind: Literal["air pipe"]
    pipe: Pipe = Field(description="which pipe; in each vehicle it is as long as the vehicle")
    bore_mm: float = Field(gt=5, lt=80, description="bore [mm]")
    roughness_mm: float = Field(ge=0, lt=1, description="roughness of the wall [mm]")
    loss_per_vehicle: float = Field(ge=0, le=50, description="loss at bends and fittings of a vehicle, in velocity heads [-]")
    loss_between_vehicles: float = Field(ge=0, le=50, description="the same between two vehicles inside the unit [-]")
    hose_between_vehicles_m: float = Field(gt=0, lt=5, description="length between two vehicles inside the unit [m]")
    leak_area_mm2_per_vehicle: float = Field(
        ge=0, le=20, description="what a tight unit still leaks, for each vehicle [mm2, effective]"
    )
    working_pressure_bar: float | None = Field(
        default=None, gt=3, le=12, description="pressure that its compressors keep [bar gauge]; of the main reservoir pipe alone"
    )

    @model_validator(mode="after")
    def _working_pressure_of_the_main_reservoir_pipe_alone(self) -> AirPipeSpec:
        if self.pipe == "main reservoir pipe" and self.working_pressure_bar is None:
            raise ValueError("a main reservoir pipe must state its working_pressure_bar")
        if self.pipe == "brake pipe" and self.working_pressure_bar is not None:
            raise ValueError("a brake pipe has no working_pressure_bar: its cab valves' set_pressure_bar says it")
        return self


class AirPipe(DeviceKind):
    """One pipe through one unit."""

    name = "air pipe"
    Spec = AirPipeSpec


KIND = AirPipe()
