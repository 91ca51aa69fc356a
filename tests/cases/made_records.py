"""Recorder files made with the fast engine: a draw that no fit begins from, noise, offsets of the channels, a late clock."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np

from headstock.brake_test.air_under_test import AirUnderTest
from headstock.brake_test.causes import Cause
from headstock.brake_test.drawing import draw
from headstock.brake_test.drawn_run import drawn_run
from headstock.brake_test.forecast import stage_spans
from headstock.brake_test.forecast_reading import StageSpan
from headstock.brake_test.record_model import Recorded, RecordModel
from headstock.brake_test.recorder import Channel
from headstock.brake_test.signatures import Floats
from headstock.formation.train_air import train_air_of
from headstock.local_rules.drawn_tests import DEMONSTRATION, load_drawn_tests
from headstock.physics.fast_many import answer_many
from headstock.usecases.forecast_job import train_under_test
from headstock.usecases.plan_job import plan_job
from headstock.wiring import DEMO_JOB, air_engine, fleet_from

DRAWN = load_drawn_tests(DEMONSTRATION)
PIPES: tuple[Channel, ...] = (("front", "brake pipe"), ("rear", "brake pipe"))
ALL: tuple[Channel, ...] = (*PIPES, ("front", "brake cylinder"), ("rear", "brake cylinder"))
TEN = 36000.0
NOISE_BAR, OFFSET_BAR, LATE_S = 0.015, 0.02, 0.6
STAGES = (
    "charged",
    "rear charged",
    "lapped",
    "rear applied",
    "front fallen",
    "rear shut",
    "no rise",
    "restored",
    "rear restored",
)
TOUCHED = {"rear applied": "rear valve unlocked"}


@cache
def demo_air(job: Path = DEMO_JOB) -> AirUnderTest:
    """The train of a job under its test."""
    tested = train_under_test(plan_job(job, fleet_from(None), air_engine()))
    assert tested is not None
    return AirUnderTest(tested, train_air_of(tested.train, tested.outside_pa), stage_spans(tested))


def made_samples(
    causes: Sequence[Cause], channels: Sequence[Channel] = PIPES, seed: int = 9, air: AirUnderTest | None = None
) -> tuple[Floats, Floats]:
    """Times [s from the first move] and samples [bar] (moments, channels) of a train that no fit knows."""
    air, dice = air or demo_air(), np.random.default_rng(seed)
    t_s = np.arange(0.0, air.spans[-1].ends_s, 1.0)
    probes = made_model(t_s, np.zeros((t_s.size, len(channels))), channels, air).probes
    run = replace(drawn_run(air, air.spans, causes, draw(air, DRAWN, seed, 5)), probes=probes)
    (trace,) = answer_many([run])
    bar = (trace.readings_pa - air.tested.outside_pa) / 1e5
    columns = [np.interp(t_s + 30.0 + LATE_S, trace.t_s, bar[:, number]) for number in range(len(channels))]
    found = np.stack(columns, axis=1) + dice.normal(0.0, NOISE_BAR, (t_s.size, len(channels)))
    return t_s, found + dice.normal(0.0, OFFSET_BAR, len(channels))


def made_model(t_s: Floats, bar: Floats, channels: Sequence[Channel] = PIPES, air: AirUnderTest | None = None) -> RecordModel:
    """The model that is to explain samples."""
    return RecordModel(air or demo_air(), DRAWN, Recorded(t_s, tuple(channels), bar), answer_many)


def clock(seconds: float) -> str:
    """Seconds of the day as a time."""
    whole = round(seconds)
    return f"{whole // 3600:02d}:{whole // 60 % 60:02d}:{whole % 60:02d}"


def written_record(folder: Path, causes: Sequence[Cause], channels: Sequence[Channel] = PIPES, *, lose: slice = slice(0, 0),
                   units: str = '["217", "226"]') -> Path:  # fmt: skip
    """A readings file of the demo job's test with its recorder's file; ``lose``: samples that the recorder did not keep."""
    t_s, bar = made_samples(causes, channels)
    kept = np.ones(t_s.size, dtype=bool)
    kept[lose] = False
    heads = [f"{at} {reads}" for at, reads in channels]
    lines = [",".join(("s", *heads))]
    lines += [",".join((f"{when:g}", *(f"{value:.4f}" for value in row))) for when, row in zip(t_s[kept], bar[kept], strict=True)]
    (folder / "trace.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    path = folder / "record.yaml"
    path.write_text(_text(channels, units), encoding="utf-8")
    return path


def written_run_down(folder: Path, causes: Sequence[Cause]) -> Path:
    """A readings file with the recorder of a pipe that is charged for 250 s and then emptied from the leading cab."""
    valve = "217/1.brake_valve"
    spans = (StageSpan("charged", "", "front", 0.0, 250.0), StageSpan("emptied", "", "front", 250.0, 400.0))
    air = replace(demo_air(), spans=spans, given_moves=({valve: "running"}, {valve: "empty"}))
    t_s, bar = made_samples(causes, air=air)
    lines = ["s,front,rear", *(f"{when:g},{row[0]:.4f},{row[1]:.4f}" for when, row in zip(t_s, bar, strict=True))]
    (folder / "trace.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    path = folder / "run-down.yaml"
    path.write_text(
        f"headstock: readings 1\ntitle: A run-down\ninvented: true\njob: {DEMO_JOB}\n"
        f'rules_edition: "3"\nrecorder:\n  file: trace.csv\n  time_column: s\n  began: "{clock(TEN)}"\n  longest_gap_s: 3\n'
        "  spike_bar: 0.5\n  channels:\n    - {column: front, at: front, unit: bar}\n    - {column: rear, at: rear, unit: bar}\n"
        f'readings:\n  - {{stage: charged, who: A, time: "{clock(TEN)}"}}\n',
        encoding="utf-8",
    )
    return path


def _text(channels: Sequence[Channel], units: str) -> str:
    columns = "\n".join(f'    - {{column: "{at} {reads}", at: {at}, reads: {reads}, unit: bar}}' for at, reads in channels)
    rows, touches = [], []
    for span, stage in zip(demo_air().spans, STAGES, strict=True):
        is_read = stage in ("rear charged", "rear applied", "front fallen", "no rise", "rear restored")
        when = clock(TEN + (span.ends_s - 1.0 if is_read else span.begins_s))
        rows.append(f'  - {{stage: {stage}, who: {span.at}, time: "{when}"}}')
        if stage in TOUCHED:
            began = clock(TEN + span.begins_s)
            touches.append(f'  - {{time: "{began}", device: 226/2.brake_valve, who: rear, part_of: {TOUCHED[stage]}}}')
    return (
        f"headstock: readings 1\ntitle: A made record\ninvented: true\njob: {DEMO_JOB}\nunits: {units}\n"
        f'rules_edition: "3"\nrecorder:\n  file: trace.csv\n  time_column: s\n  began: "{clock(TEN)}"\n  longest_gap_s: 3\n'
        f"  spike_bar: 0.5\n  channels:\n{columns}\nreadings:\n" + "\n".join(rows) + "\ntouches:\n" + "\n".join(touches) + "\n"
    )
