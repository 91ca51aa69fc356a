"""Brake gear as the fast solver's arrays: vessels, distributors, valves fed from the network; one lane a network."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np

from headstock.physics.arrays import Floats, Ints
from headstock.physics.distributor import APPLIED, RELEASED, Distributor, DistributorSetting, Gear, Vessel, VesselSetting

ALWAYS = -1
OPENS = {"always": ALWAYS, "released": RELEASED, "applied": APPLIED}
NONE = -1


class GearArrays(NamedTuple):
    """What is bolted on. Vessels (nv): cells, second cells (-1: none), mode in which they are open, their distributor.

    ``vessels`` (12, nv, lanes): volume over RT, choke, both ways, second choke, vent, leak, compressor, starts, stops, safety
    valve, opens, shuts. Distributors (nd): cells, vessels by number (-1: none); ``brakes`` (17, nd, lanes). ``feed``: per inner
    valve the cell it is fed from (-1: its own source); ``split``: the first cell of what is worked out second; ``cells``: all.
    """

    cell: Ints
    second: Ints
    opens: Ints
    master: Ints
    vessels: Floats
    place: Ints
    chamber: Ints
    store: Ints
    rate: Ints
    brakes: Floats
    feed: Ints
    split: int
    cells: int


class GearSet(NamedTuple):
    """How it stands in one lane: vessels (3, nv): share of the choke, opening, compressor; distributors (4, nd)."""

    vessels: Floats
    brakes: Floats


class GearState(NamedTuple):
    """Vessel pressures [Pa] and the level before (nv, lanes); per distributor (nd, lanes): mode, the pressures [Pa, gauge] of
    its two circuits, where the first goes, the furthest pipe since it turned [Pa]; compressors running, safety valves
    blowing (nv, lanes)."""

    level: Floats
    before: Floats
    mode: Floats
    auto: Floats
    electric: Floats
    aim: Floats
    turned_at: Floats
    running: Floats
    blowing: Floats


class GearWork(NamedTuple):
    """Room to work in for one lane, all (nv,): extrapolated, held, conductance, what divides, what is put in, vent, new,
    from second."""

    seen: Floats
    held: Floats
    conduct: Floats
    bottom: Floats
    top: Floats
    vent: Floats
    new: Floats
    turned: Floats


def gear_arrays(gears: Sequence[Gear], edges: Floats, inner_valves: Sequence[int], rt: Sequence[float]) -> GearArrays:
    """The gear of networks of one shape."""
    first = gears[0]
    cells = edges.size - 1

    def at(place_m: float | None) -> int:
        return NONE if place_m is None else int(np.clip(np.searchsorted(edges, place_m, side="right") - 1, 0, cells - 1))

    fed = {feed.valve: at(feed.at_m) for feed in first.feeds}
    return GearArrays(
        cell=_ints([at(vessel.at_m) for vessel in first.vessels]),
        second=_ints([at(vessel.backed_at_m) for vessel in first.vessels]),
        opens=_ints([OPENS[vessel.opens] for vessel in first.vessels]),
        master=_ints([_or_none(vessel.distributor) for vessel in first.vessels]),
        vessels=_rows(_of_each(gears, rt, lambda gear, rt: [_vessel_row(vessel, rt) for vessel in gear.vessels]), 12),
        place=_ints([at(one.at_m) for one in first.distributors]),
        chamber=_ints([_or_none(one.chamber) for one in first.distributors]),
        store=_ints([one.reservoir for one in first.distributors]),
        rate=_ints([_or_none(one.rate_chamber) for one in first.distributors]),
        brakes=_rows(_of_each(gears, rt, lambda gear, rt: [_brake_row(one, rt) for one in gear.distributors]), 17),
        feed=_ints([fed.get(valve, NONE) for valve in inner_valves]),
        split=min(cells, int(np.searchsorted(edges, first.second_from_m - 1e-9))),
        cells=cells,
    )  # fmt: skip


def _of_each(
    gears: Sequence[Gear], rt: Sequence[float], rows_of: Callable[[Gear, float], list[list[float]]]
) -> list[list[list[float]]]:
    """Rows of each lane; lanes that have the very same gear and temperature share them."""
    known: dict[tuple[int, float], list[list[float]]] = {}
    for gear, one in zip(gears, rt, strict=True):
        if (id(gear), one) not in known:
            known[id(gear), one] = rows_of(gear, one)
    return [known[id(gear), one] for gear, one in zip(gears, rt, strict=True)]


def vessel_row(one: VesselSetting) -> list[float]:
    """A vessel's setting as the stepping reads it."""
    return [one.open, one.vent_m2, float(one.compressor)]


def distributor_row(one: DistributorSetting) -> list[float]:
    """A distributor's setting as the stepping reads it."""
    return [float(one.isolated), float(one.application_wire), float(one.holding_wire), one.cylinder_leak_m2]


def gear_work(gear: GearArrays) -> GearWork:
    """Room for one march."""
    return GearWork(*(np.zeros(gear.vessels.shape[1]) for _ in GearWork._fields))


def gear_of_lane(gear: GearArrays, lane: int) -> GearArrays:
    """One lane of it: without the last axis."""
    return gear._replace(vessels=gear.vessels[..., lane].copy(), brakes=gear.brakes[..., lane].copy())


def state_of_lane(state: GearState, lane: int) -> GearState:
    """What one lane's gear remembers: without the last axis."""
    return GearState(*(part[..., lane].copy() for part in state))


def modes_at_rest(gear: GearArrays, level: Floats, pipe: Floats) -> Floats:
    """The modes (nd, lanes) that references and pipe ask for, whatever came before; pressures of vessels and cells [Pa]."""
    own = (gear.brakes[0].max(axis=1, initial=0.0) > 0.0) | (gear.chamber == NONE)
    low = level[np.where(own, gear.store, gear.chamber)] - pipe[gear.place] > gear.brakes[1]
    return np.where(low, float(APPLIED), float(RELEASED))


def _or_none(number: int | None) -> int:
    return NONE if number is None else number


def _ints(values: Sequence[int]) -> Ints:
    return np.array(values, dtype=np.int64)


def _rows(lanes: Sequence[Sequence[Sequence[float]]], rows: int) -> Floats:
    """(row, device, lane) from one list of rows a lane."""
    count = len(lanes[0])
    return np.ascontiguousarray(np.array(lanes, dtype=np.float64).reshape(len(lanes), count, rows).transpose(2, 1, 0))


def _vessel_row(vessel: Vessel, rt: float) -> list[float]:
    return [
        vessel.volume_m3 / rt, vessel.choke_m2, float(vessel.both_ways), vessel.backed_choke_m2, vessel.vent_m2, vessel.leak_m2,
        vessel.compressor_kg_s, vessel.starts_pa, vessel.stops_pa, vessel.safety_m2, vessel.safety_opens_pa,
        vessel.safety_shuts_pa,
    ]  # fmt: skip


def _brake_row(one: Distributor, rt: float) -> list[float]:
    return [
        float(one.release == "direct"), one.applies_pa, one.releases_pa, one.gain, one.first_step_pa, one.cylinder_max_pa,
        1.0 / one.first_step_s, 1.0 / one.fill_s, 1.0 / one.release_s, one.cylinder_m3 / rt, one.vent_m2, one.vent_opens_pa,
        one.vent_shuts_pa, one.electric_max_pa, 1.0 / one.electric_fill_s, 1.0 / one.electric_release_s, float(one.gain > 0.0),
    ]  # fmt: skip
