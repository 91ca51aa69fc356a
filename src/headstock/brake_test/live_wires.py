"""Which brakes the leading cab's electric command reaches, and what it makes of them.

Applied, application and holding wire are live; held, the holding wire alone; released, neither (common practice, no source).
Wires go from unit to unit where a jumper is latched or electrical heads are mated.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from headstock.devices.distributor import DistributorSpec
from headstock.devices.scene import ELECTRIC
from headstock.formation.train import Joint, Train, UnitEnd

LIVE: Final[Mapping[str, tuple[bool, bool]]] = {"apply": (True, True), "hold": (False, True), "release": (False, False)}
"""Application and holding wire."""


def live_wires(train: Train, front: UnitEnd, values: Mapping[str, str]) -> dict[str, tuple[bool, bool]] | None:
    """The wires as they reach each vehicle with an electro-pneumatic brake; None where nothing is commanded."""
    command = values.get(ELECTRIC)
    if command is None:
        return None
    reached = units_reached(train, front, values)
    return {
        unit.vehicle_name(suffix): LIVE[command] if unit.name in reached else (False, False)
        for unit in train.units for spec in unit.unit_type.devices.values()
        if isinstance(spec, DistributorSpec) and spec.electro_pneumatic != "none" for suffix in spec.acts_on_vehicles
    }  # fmt: skip


def units_reached(train: Train, front: UnitEnd, values: Mapping[str, str]) -> frozenset[str]:
    """Units that wires reach from the leading cab."""
    reached = {front.unit}
    through = [{joint.first.unit, joint.second.unit} for joint in train.joints if _goes_through(train, joint, values)]
    for _ in through:
        for ends in through:
            if ends & reached:
                reached |= ends
    return frozenset(reached)


def wires_of_joints(train: Train, values: Mapping[str, str]) -> dict[str, str]:
    """Of each joint that wires go through what is joined there: key and value, the first of a pair."""
    found: dict[str, str] = {}
    for joint in train.joints:
        for pair in train.mated(joint):
            joined = [(at.key(), values[at.key()]) for at, spec in pair if values.get(at.key()) in ("latched", "mated")
                      and spec.kind in ("jumper", "electrical head")]  # fmt: skip
            found |= dict(joined[:1])
    return found


def _goes_through(train: Train, joint: Joint, values: Mapping[str, str]) -> bool:
    """One plug of a pair of jumpers is entered, the other stays in its dummy; of heads both are mated."""
    for (here, spec), (there, _) in train.mated(joint):
        stand = [values.get(here.key()), values.get(there.key())]
        if spec.kind == "jumper" and "latched" in stand:
            return True
        if spec.kind == "electrical head" and stand == ["mated", "mated"]:
            return True
    return False
