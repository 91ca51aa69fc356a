"""Pressures in a pipe at rest, before anything is moved: each unit at its own, hoses that are cut off at the atmosphere's."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from headstock.base.errors import OutsideModelError
from headstock.formation.air_network import AirNetwork, AirOpenings
from headstock.formation.air_reach import Section, air_reach_of
from headstock.physics.pipe_network import ATMOSPHERE_PA


def initial_pressures(
    network: AirNetwork, openings: AirOpenings, by_key_pa: Mapping[str, float], at_m: Sequence[float]
) -> tuple[float, ...]:
    """Pressure [Pa, absolute] at each place [m from the front].

    ``by_key_pa`` gives a section's pressure by any key that lies in it (a unit, a vehicle, a hose, a unit end ``226/1``); a
    length of hose cut off from both units and not named stands at the atmosphere's. Raises OutsideModelError for a section with a
    vehicle in it that has no pressure, or two different ones, and for a key that is not on the pipe.
    """
    unknown = [key for key in by_key_pa if key not in network.position_m]
    if unknown:
        raise OutsideModelError(f"{unknown[0]} is not on the {network.pipe} of this train")
    reach = air_reach_of(network, openings)
    pressures: dict[Section, float] = {}
    for section in reach.sections:
        found = {by_key_pa[key] for key in section.keys if key in by_key_pa}
        holds_vehicle = any(key in network.brakes for key in section.keys)
        if len(found) > 1 or (holds_vehicle and not found):
            many = "two different pressures are" if found else "no pressure is"
            raise OutsideModelError(f"{many} given for the {network.pipe} with {', '.join(section.keys)} in it")
        pressures[section] = found.pop() if found else ATMOSPHERE_PA
    return tuple(pressures[reach.at(place)] for place in at_m)
