"""What is said to reach a length of pipe is what the air does there: every setting of the four cocks of two units.

Held three ways: the answer of `air_reach_of`, the fine solver marched until it settles, and a flood over six lengths of pipe
written here by itself. All start at 3 bar, so that fed, vented and trapped each move their own way. The brakes are shut off and
nothing leaks: what is left is what stands open.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise, product

import numpy as np
import pytest
from numpy.typing import NDArray

from headstock.equipment.library import load_fleet
from headstock.formation.air_network import AirNetwork, AirOpenings, air_network_of, air_openings_of
from headstock.formation.air_reach import air_reach_of
from headstock.formation.train import Joint, Train, TrainUnit, UnitEnd
from headstock.formation.train_state import as_left
from headstock.physics.fine import AirState, advance, still_air
from headstock.physics.fine_grid import FineGrid, grid_of
from headstock.physics.gas import GAS_CONSTANT_J_KG_K
from headstock.physics.pipe_network import ATMOSPHERE_PA

FLEET = load_fleet()
START_PA = ATMOSPHERE_PA + 3.0e5
SET_PA = ATMOSPHERE_PA + 5.0e5
RAM_PA = 6000.0
"""A feed lets nothing back: a tight pipe without brakes keeps what the first waves ram in above the feed [Pa], or
draw out below where a valve closes."""
LONGEST_S, LOOK_EVERY_S = 90.0, 4.0
LENGTHS = ("front stub", "first unit", "first hose", "second hose", "second unit", "rear stub")
SETTINGS = tuple(product(("open", "shut"), repeat=4))
STANDS = tuple(product(("joined", "hanging"), ("running", "locked")))


def train_of(first: str, second: str, turned: str = "") -> Train:
    """Two units with a joint between; those in ``turned`` stand with end 2 in front."""
    units = tuple(
        TrainUnit(name, FLEET.find(type_name), "2" if name in turned.split() else "1")
        for name, type_name in (("70", first), ("80", second))
    )
    inner = UnitEnd("70", units[0].first_end).other, UnitEnd("80", units[1].first_end)
    return Train(units, (Joint(*inner, False),))


@dataclass(frozen=True)
class Bench:
    """A train whose brakes draw nothing and whose pipe is tight, ready to be marched."""

    train: Train
    air: AirNetwork
    grid: FineGrid

    @property
    def ends(self) -> tuple[UnitEnd, ...]:
        """The four unit ends in order."""
        joint = self.train.joints[0]
        return joint.first.other, joint.first, joint.second, joint.second.other

    @property
    def cocks(self) -> tuple[str, ...]:
        """Their cocks."""
        return tuple(f"{end}.brake_pipe_cock" for end in self.ends)

    @property
    def valve(self) -> str:
        """The leading cab valve."""
        return f"{self.ends[0]}.brake_valve"

    @property
    def keys(self) -> tuple[str, ...]:
        """A key in each of the six lengths: hose, unit, hose, hose, unit, hose."""
        hoses = [f"{end}.brake_pipe_hose" for end in self.ends]
        return hoses[0], "70", hoses[1], hoses[2], "80", hoses[3]

    def cells(self) -> list[slice]:
        """Cells of the six lengths: the gates, open or shut, are their borders."""
        borders = (0, *self.grid.gate_face, self.grid.cells)
        return [slice(a, b) for a, b in pairwise(borders)]


def bench_of(train: Train) -> Bench:
    air = air_network_of(train)
    quiet = tuple(replace(brake, leak_area_m2=0.0) for brake in air.network.brakes)
    return Bench(train, air, grid_of(replace(air.network, brakes=quiet)))


PAIRS = {
    "tarn and fell": bench_of(train_of("tarn", "fell")),
    "tarn and tarn": bench_of(train_of("tarn", "tarn")),
    "fell and fell": bench_of(train_of("fell", "fell")),
    "fell and tarn, both turned round": bench_of(train_of("fell", "tarn", "70 80")),
}


def values_of(bench: Bench, cocks: tuple[str, ...], hoses: str, valve: str, outer: str = "on its dummy") -> dict[str, str]:
    values = as_left(bench.train)
    values.update(zip(bench.cocks, cocks, strict=True))
    values.update(dict.fromkeys((bench.keys[2], bench.keys[3]), hoses))
    values.update(dict.fromkeys((bench.keys[0], bench.keys[5]), outer))
    values[bench.valve] = valve
    return values


def words_by_flood(bench: Bench, values: dict[str, str]) -> list[str]:
    """Fed and vented for the six lengths, from the settings alone."""
    keys, cocks = bench.keys, [values[key] == "open" for key in bench.cocks]
    opens = [cocks[0], cocks[1], values[keys[2]] == values[keys[3]] == "joined", cocks[2], cocks[3]]
    vents = {n for n in (0, 2, 3, 5) if values[keys[n]] == "hanging"}
    for is_open, hose, unit in zip(cocks, (0, 2, 3, 5), ("70", "70", "80", "80"), strict=True):
        # By the type, not by the cock's data: the tarn's cocks are vented ones, the fell's plain.
        if not is_open and bench.train.unit(unit).unit_type.type == "tarn":
            vents.add(hose)
    feeds = {1} if values[bench.valve] == "running" else set()
    words = []
    for n in range(6):
        low = high = n
        while low > 0 and opens[low - 1]:
            low -= 1
        while high < 5 and opens[high]:
            high += 1
        reached = set(range(low, high + 1))
        parts = [word for word, places in (("fed", feeds), ("vented", vents)) if reached & places]
        words.append(" and ".join(parts) or "trapped")
    return words


def pressures_pa(bench: Bench, state: AirState) -> NDArray[np.float64]:
    return np.asarray(state.cells[0] * GAS_CONSTANT_J_KG_K * bench.grid.network.ambient_k)


def off(bench: Bench, words: list[str], before: AirState, after: AirState) -> list[str]:
    """What the marched air does otherwise than the words say."""
    last, now = pressures_pa(bench, before), pressures_pa(bench, after)
    fed_kg_s = (after.tally[0] - before.tally[0]) / (after.t_s - before.t_s)
    wrong = []
    for name, word, cells in zip(LENGTHS, words, bench.cells(), strict=True):
        here, moved = now[cells], float(np.max(np.abs(now[cells] - last[cells])))
        as_said = {
            "fed": bool(np.all((here > SET_PA - 500.0) & (here < SET_PA + RAM_PA))) and fed_kg_s < 2e-4,
            "vented": bool(np.all(here < ATMOSPHERE_PA + 2000.0)),
            "trapped": float(np.max(np.abs(here - START_PA))) < 1.0,
            "fed and vented": moved < 300.0
            and fed_kg_s > 2e-3
            and bool(np.all((here > ATMOSPHERE_PA) & (here < SET_PA - 500.0))),
        }[word]
        if not as_said:
            low, high = (np.array([here.min(), here.max()]) - ATMOSPHERE_PA) / 1e5
            wrong.append(f"{name} said {word}: {low:.3f} to {high:.3f} bar, fed {fed_kg_s:.5f} kg/s")
    return wrong


def settled(bench: Bench, openings: AirOpenings, words: list[str]) -> list[str]:
    """Marches until the air does what the words say, or for as long as that could take; returns what is off at the end."""
    state = still_air(bench.grid, START_PA, START_PA, START_PA, 0.0, openings.gates, openings.valves)
    wrong = ["not marched"]
    while wrong and state.t_s < LONGEST_S:
        before = state
        state = advance(bench.grid, state, (), before.t_s + LOOK_EVERY_S, "isothermal").state
        wrong = off(bench, words, before, state)
    return wrong


def held_three_ways(bench: Bench, values: dict[str, str]) -> None:
    openings = air_openings_of(bench.air, bench.train, values)
    reach = air_reach_of(bench.air, openings)
    words = [reach.of(key).word for key in bench.keys]
    told = {key: values[key] for key in (*bench.cocks, bench.keys[0], bench.keys[2], bench.valve)}
    assert words == words_by_flood(bench, values), told
    assert settled(bench, openings, words) == [], told


@pytest.mark.parametrize("cocks", SETTINGS, ids=" ".join)
@pytest.mark.parametrize(("hoses", "valve"), STANDS)
@pytest.mark.parametrize(
    "pair", [pytest.param(name, marks=() if name == "tarn and fell" else pytest.mark.slow) for name in PAIRS]
)
def test_reach_agrees_with_the_air_at_every_setting(pair: str, hoses: str, valve: str, cocks: tuple[str, ...]) -> None:
    held_three_ways(PAIRS[pair], values_of(PAIRS[pair], cocks, hoses, valve))


@pytest.mark.parametrize("cocks", [("open", "shut", "open", "shut"), ("shut", "open", "shut", "open")])
@pytest.mark.parametrize("valve", ["running", "locked"])
def test_reach_agrees_with_units_turned_round_and_outer_hoses_hanging(cocks: tuple[str, ...], valve: str) -> None:
    bench = PAIRS["fell and tarn, both turned round"]
    held_three_ways(bench, values_of(bench, cocks, "joined", valve, outer="hanging"))


def test_a_full_application_draws_to_its_own_pressure_and_no_lower() -> None:
    bench = PAIRS["tarn and fell"]
    openings = air_openings_of(bench.air, bench.train, values_of(bench, ("shut", "open", "open", "shut"), "joined", "full"))
    section = air_reach_of(bench.air, openings).of("80")
    ends_at_pa = ATMOSPHERE_PA + 3.4e5
    assert (section.word, section.drawn_to_pa) == ("drawn", ends_at_pa)
    state = still_air(bench.grid, SET_PA, SET_PA, SET_PA, 0.0, openings.gates, openings.valves)
    pa = pressures_pa(bench, advance(bench.grid, state, (), 40.0, "isothermal").state)[bench.cells()[4]]
    assert np.all((pa > ends_at_pa - RAM_PA) & (pa < ends_at_pa + 5000.0))


def test_fed_at_one_end_and_drawn_at_the_other_settles_between() -> None:
    bench = PAIRS["tarn and fell"]
    values = values_of(bench, ("shut", "open", "open", "shut"), "joined", "running") | {f"{bench.ends[3]}.brake_valve": "full"}
    openings = air_openings_of(bench.air, bench.train, values)
    section = air_reach_of(bench.air, openings).of("701")
    assert (section.word, section.fed_to_pa, section.drawn_to_pa) == ("fed and drawn", SET_PA, ATMOSPHERE_PA + 3.2e5)
    before = advance(
        bench.grid,
        still_air(bench.grid, START_PA, START_PA, START_PA, 0.0, openings.gates, openings.valves),
        (),
        20.0,
        "isothermal",
    ).state
    after = advance(bench.grid, before, (), 24.0, "isothermal").state
    pa = pressures_pa(bench, after)[bench.cells()[4]]
    assert np.all((pa > ATMOSPHERE_PA + 3.2e5) & (pa < SET_PA - 5000.0))
    assert after.tally[0] - before.tally[0] == pytest.approx(after.tally[1] - before.tally[1], rel=0.02)
