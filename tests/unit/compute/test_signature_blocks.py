"""Blocks of drawn tests: what is kept is not worked out again, a killed run goes on, processes change nothing."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import numpy as np
import pytest

from headstock.brake_test import signature_set
from headstock.brake_test.air_under_test import AirUnderTest
from headstock.brake_test.signature_set import SignatureTask, laid_together
from headstock.brake_test.signatures import Floats
from headstock.compute import abreast, signature_blocks
from headstock.compute.signature_blocks import SignatureBlocks, code_key
from tests.cases.drawn_trains import DRAWN, air_of

FEW = DRAWN.model_copy(update={"faults": tuple(
    fault for fault in DRAWN.faults if fault.kind in ("nothing", "gauge stuck", "pipe leaks")
)})  # fmt: skip


class Kept:
    """A store in memory."""

    def __init__(self) -> None:
        self.blocks: dict[str, Floats] = {}

    def kept(self, name: str) -> Floats | None:
        return self.blocks.get(name)

    def has(self, name: str) -> bool:
        return name in self.blocks

    def keep(self, name: str, block: Floats) -> None:
        self.blocks[name] = block


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Blocks that were really worked out; small blocks, and figures that say where they come from instead of air."""
    done: list[int] = []

    def block(task: SignatureTask, number: int) -> Floats:
        done.append(number)
        return np.array([[float(one), float(task.seed)] for one in task.numbers(number)])

    monkeypatch.setattr(signature_blocks, "_block", block)
    monkeypatch.setattr(signature_set, "BLOCK", 8)
    return done


def task(air: AirUnderTest | None = None, **more: object) -> SignatureTask:
    return SignatureTask(air or air_of(4, "rear-application"), FEW, 2, **more)  # type: ignore[arg-type]


def test_every_scenario_once_in_order_and_kept_ones_not_again(asked: list[int]) -> None:
    store, wanted = Kept(), task()
    blocks = SignatureBlocks(store, workers=1)(wanted)
    laid = laid_together(wanted, blocks)
    assert [laid.readings[wanted.row_of(number), 0] for number in range(wanted.count)] == list(range(wanted.count))
    assert laid.of_cause(3)[:, 0].tolist() == [3.0, 3.0 + len(wanted.singles)]
    assert asked == list(range(wanted.blocks)) and wanted.blocks > 2
    SignatureBlocks(store, workers=1)(wanted)
    assert len(asked) == wanted.blocks


def test_a_killed_run_goes_on_where_it_was(asked: list[int]) -> None:
    store, wanted = Kept(), task()
    SignatureBlocks(store, workers=1)(wanted)
    lost = sorted(store.blocks)[1]
    del store.blocks[lost]
    asked.clear()
    told: list[tuple[int, int]] = []
    SignatureBlocks(store, on_progress=lambda done, of: told.append((done, of)), workers=1)(wanted)
    assert len(asked) == 1
    assert told == [(wanted.blocks - 1, wanted.blocks), (wanted.blocks, wanted.blocks)]


def test_what_the_readings_hang_on_is_in_the_name(asked: list[int]) -> None:
    air = air_of(4, "rear-application")
    tested = air.tested
    unit = tested.train.units[0]
    end = unit.unit_type.ends["1"]
    valve = next(spec for spec in end.devices.values() if spec.kind == "cab valve")
    name = next(key for key, spec in end.devices.items() if spec is valve)
    droops = valve.model_copy(update={"droop_bar": 0.33})
    ends = {**unit.unit_type.ends, "1": end.model_copy(update={"devices": {**end.devices, name: droops}})}
    other_type = replace(unit, unit_type=unit.unit_type.model_copy(update={"ends": ends}))
    others = {
        "seed": task(seed=2), "members": SignatureTask(air, FEW, 3), "pairs": task(pairs=True),
        "ranges": SignatureTask(air, DRAWN, 2),
        "a cab valve": task(AirUnderTest(replace(tested, train=replace(tested.train, units=(other_type,))), air.air, air.spans)),
        "pressure": task(AirUnderTest(replace(tested, pipe_bar={"217": 3.3}), air.air, air.spans)),
        "state": task(AirUnderTest(replace(tested, values={**tested.values, "217.parking_brake": "off"}), air.air, air.spans)),
        "times": task(AirUnderTest(tested, air.air, tuple(replace(span, ends_s=span.ends_s + 1) for span in air.spans))),
    }  # fmt: skip
    keys = {name: other.key for name, other in others.items()} | {"plain": task().key}
    assert len(set(keys.values())) == len(keys)
    assert task().key == task().key and len(code_key().split("-")) == 4


def test_pairs_are_never_one_thing_in_two_degrees_and_nothing_is_no_part_of_them() -> None:
    pairs = task(pairs=True)
    for number in range(pairs.count):
        first, second = pairs.scenario(number).causes
        assert first.without_degree != second.without_degree and "nothing" not in (first.kind, second.kind)
    faults = len(pairs.singles) - 1
    # Four vehicles' leaks, each in four degrees; two drawn tests of each pair.
    assert pairs.count == 2 * (faults * (faults - 1) // 2 - 4 * 6)
    every = [pairs.scenario(number) for number in range(pairs.count)]
    assert len(set(every)) == pairs.count and [one.draw for one in every] == sorted(one.draw for one in every)


def test_whoever_asks_no_further_has_only_worked_out_what_was_asked_for(asked: list[int]) -> None:
    store, wanted = Kept(), task()
    blocks = SignatureBlocks(store, workers=1).in_order(wanted)
    first = next(blocks)
    blocks.close()  # type: ignore[attr-defined]
    assert first[:, 0].tolist() == list(wanted.numbers(0)) and asked == [0] and len(store.blocks) == 1
    rest = list(SignatureBlocks(store, workers=1).in_order(wanted))
    assert asked == list(range(wanted.blocks)) and np.array_equal(np.concatenate(rest)[:, 0], np.arange(wanted.count))


def test_a_block_that_was_there_and_cannot_be_read_is_worked_out_again(asked: list[int]) -> None:
    class Spoilt(Kept):
        def kept(self, name: str) -> Floats | None:
            return None

    store, wanted = Spoilt(), task()
    SignatureBlocks(store, workers=1)(wanted)
    again = SignatureBlocks(store, workers=1)(wanted)
    assert asked == [*range(wanted.blocks), *range(wanted.blocks)]
    assert np.concatenate(again)[:, 0].tolist() == list(range(wanted.count))


def test_broken_off_what_is_under_way_is_kept_and_what_was_not_begun_is_not_done(
    asked: list[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Threads in place of processes, so that the blocks that were begun can be counted."""
    store, wanted = Kept(), task(pairs=True)
    monkeypatch.setattr(abreast, "ProcessPoolExecutor", lambda workers, *_: ThreadPoolExecutor(workers))
    monkeypatch.setattr(abreast, "_done", lambda block: signature_blocks._block(wanted, block))
    blocks = SignatureBlocks(store, workers=2).in_order(wanted)
    next(blocks)
    blocks.close()  # type: ignore[attr-defined]
    begun = set(asked)
    assert len(store.blocks) == len(begun) <= 2 * abreast.AHEAD + 1 < wanted.blocks
    rest = np.concatenate(list(SignatureBlocks(store, workers=1).in_order(wanted)))
    assert sorted(asked) == list(range(wanted.blocks)) and rest[:, 0].tolist() == list(range(wanted.count))
