"""Many runs of a forecast answered side by side: near what closer steps say, and what each is alone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np

from headstock.brake_test.forecast import stage_spans
from headstock.brake_test.forecast_reading import SETTLING_S
from headstock.equipment.library import load_fleet
from headstock.physics.air_run import AirRun, AirTrace
from headstock.physics.fast_grid import fast_grid_of
from headstock.physics.fast_many import answer_many
from headstock.physics.fast_run import answer_fast
from headstock.usecases.forecast_job import forecast_of, train_under_test
from headstock.usecases.plan_job import plan_job

JOB = Path(__file__).parents[2] / "src/headstock/usecases/jobs/demo-attach.yaml"


@cache
def runs_and_ends() -> tuple[tuple[AirRun, ...], tuple[float, ...]]:
    """The forecast's runs, leaks, lengths and temperatures varied, and when its stages end [s]."""
    asked: list[AirRun] = []

    def engine(runs: Sequence[AirRun]) -> tuple[AirTrace, ...]:
        asked.extend(runs)
        return answer_many(runs)

    plan, dice = plan_job(JOB, load_fleet()), np.random.default_rng(3)
    forecast_of(plan, engine)
    tested = train_under_test(plan)
    assert tested is not None and len(asked) > 2
    varied = []
    for run in asked * 3:
        brakes = tuple(replace(one, leak_area_m2=one.leak_area_m2 * float(dice.uniform(0.0, 3.0))) for one in run.network.brakes)
        kelvin, more_s = 288.15 + float(dice.uniform(-30.0, 25.0)), float(dice.uniform(0.0, 20.0))
        network = replace(run.network, brakes=brakes, ambient_k=kelvin)
        varied.append(replace(run, network=network, until_s=run.until_s + more_s))
    return tuple(varied), tuple(SETTLING_S + span.ends_s for span in stage_spans(tested))


def test_at_the_ends_of_stages_many_runs_are_within_ten_millibars_of_single_ones() -> None:
    runs, ends = runs_and_ends()
    off = []
    for run, trace in zip(runs, answer_many(runs), strict=True):
        single = answer_fast(run)
        at = [int(end / run.sample_s) - 1 for end in ends]
        off.append(np.abs(trace.readings_pa[at] - single.readings_pa[at]) / 100.0)
        assert abs(trace.mass_balance) < 1e-10
    assert np.max(off) < 10.0, "seen: 1 here, 6 with direct release"
    assert np.mean(off) < 1.0


def test_an_answer_is_the_same_to_the_last_bit_alone_and_among_others() -> None:
    runs, _ = runs_and_ends()
    together = answer_many(runs)
    for number in (0, len(runs) - 1):
        (alone,) = answer_many(runs[number : number + 1])
        assert np.array_equal(alone.readings_pa, together[number].readings_pa)
    turned = answer_many(runs[::-1])
    assert np.array_equal(turned[0].readings_pa, together[-1].readings_pa)


def test_networks_that_share_their_pieces_come_out_as_each_by_itself() -> None:
    networks = [run.network for run in runs_and_ends()[0][:3]]
    rougher = tuple(replace(piece, roughness_m=2.0 * piece.roughness_m) for piece in networks[1].pieces)
    networks[1] = replace(networks[1], pieces=rougher)
    together = fast_grid_of(networks)
    for lane, network in enumerate(networks):
        alone = fast_grid_of([network])
        for name in ("columns", "brakes", "half", "area"):
            assert np.array_equal(getattr(together, name)[..., lane], getattr(alone, name)[..., 0]), name
        assert np.array_equal(together.gear.vessels[..., lane], alone.gear.vessels[..., 0])
    assert not np.array_equal(together.columns[..., 0], together.columns[..., 1])
