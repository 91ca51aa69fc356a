"""Brakes worked by wires alone: filled as their data say wherever the leading cab's wires go, and nowhere else."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from headstock.base.errors import OutsideModelError
from headstock.capability.brake_traces import BY_WIRES, EMERGENCY, FULL, answering, cylinder_traces, ready_train
from headstock.devices.wired_brake import WiredBrakeSpec
from headstock.formation.train import UnitEnd
from tests.unit.capability.test_stopping import FLEET, engine, train_of

BECK = train_of("beck", "beck")
(SPEC,) = (spec for spec in FLEET.find("beck").devices.values() if isinstance(spec, WiredBrakeSpec))


@pytest.mark.outside(source="closed form", clause="(1 - exp(-t ln 20 / t95)) of the most", status="computed")
def test_a_wired_cylinder_fills_to_95_percent_in_the_time_of_its_data() -> None:
    ready = ready_train(BECK, UnitEnd("1", "1"), {})
    pressures = cylinder_traces(ready, [EMERGENCY], engine)[EMERGENCY].cylinder_pa
    t_s = np.arange(pressures.shape[0]) * 0.1
    expected = SPEC.max_bar * 1e5 * (1 - np.exp(-t_s * np.log(20.0) / SPEC.fill_s))
    assert np.abs(pressures - expected[:, None]).max() < 0.02 * SPEC.max_bar * 1e5
    assert pressures[round(10 * SPEC.fill_s)] == pytest.approx(0.95 * SPEC.max_bar * 1e5, rel=0.01)


def test_beyond_the_wires_nothing_is_applied_before_or_after_the_call() -> None:
    ready = ready_train(BECK, UnitEnd("1", "1"), {}, wired=frozenset({"1"}))
    pressures = cylinder_traces(ready, [EMERGENCY], engine)[EMERGENCY].cylinder_pa
    assert pressures[-1, :3].min() > 3.8e5 and pressures[:, 3:].max() == 0.0


def test_an_isolated_wired_brake_stays_empty() -> None:
    ready = ready_train(BECK, UnitEnd("1", "1"), {"12.wired_brake": "isolated"})
    pressures = cylinder_traces(ready, [EMERGENCY], engine)[EMERGENCY].cylinder_pa
    assert pressures[:, 1].max() == 0.0 and pressures[-1, [0, 2, 3, 4, 5]].min() > 3.8e5


def test_the_pipe_alone_carries_an_emergency_of_a_cab_with_a_valve_and_no_call_by_wires_is_full_service() -> None:
    tarn = ready_train(train_of("tarn", "tarn"), UnitEnd("1", "1"), {})
    assert answering(tarn, EMERGENCY) == answering(tarn, FULL) == frozenset()
    assert len(answering(tarn, BY_WIRES)) == 8
    beck = ready_train(BECK, UnitEnd("1", "1"), {})
    assert answering(beck, EMERGENCY) == answering(beck, BY_WIRES) and len(answering(beck, EMERGENCY)) == 6


def test_a_cab_with_nothing_to_call_by_is_outside_the_model() -> None:
    tarn = FLEET.find("tarn")
    bare = {name: spec for name, spec in tarn.ends["1"].devices.items() if spec.kind != "cab valve"}
    ends = {**tarn.ends, "1": tarn.ends["1"].model_copy(update={"devices": bare})}
    train = train_of("tarn")
    stripped = replace(train, units=(replace(train.units[0], unit_type=tarn.model_copy(update={"ends": ends})),))
    with pytest.raises(OutsideModelError, match="neither a brake valve nor a brake controller"):
        ready_train(stripped, UnitEnd("1", "1"), {})


def test_at_height_cylinders_still_come_to_what_their_data_say() -> None:
    train = train_of("tarn")
    ready = ready_train(train, train.outer_ends[0], {}, outside_pa=70_000.0)
    pressures = cylinder_traces(ready, [EMERGENCY], engine)[EMERGENCY].cylinder_pa
    assert pressures[0].max() < 1e2 and pressures[-1] == pytest.approx(3.8e5, rel=0.02)


def test_a_reservoir_that_nothing_fills_gives_its_cylinder_nothing() -> None:
    # wold's reservoir has air from the main reservoir pipe alone, tarn's from its brake pipe as well.
    train, found = train_of("tarn", "wold"), {"2.main_reservoir": "dead"}
    ends = [cylinder_traces(ready_train(train, UnitEnd("1", "1"), found, without_air=dead), [EMERGENCY], engine)[EMERGENCY]
            .cylinder_pa[-1] for dead in (frozenset[str](), frozenset({"2"}))]  # fmt: skip
    assert ends[0].min() > 3e5
    assert ends[1][4] < 1e3 and np.delete(ends[1], 4).min() > 3e5
