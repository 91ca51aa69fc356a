"""A recorder's file: columns by name, units, its clock, gaps not bridged, lone spikes left out; judged like a written record."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.base.errors import InputError
from tests.cases.records import MULTIPLE_UNIT, JudgedReadings, judged, record_text
from tests.cases.test_judged_tests import rear

RECORDER = """recorder:
  file: trace.csv
  time_column: t
  began: "09:59:00"
  clock_offset_s: 60
  longest_gap_s: 5
  spike_bar: 1.0
  channels:
    - {column: front, at: front, unit: bar}
    - {column: rear, at: rear, unit: psi}
"""
PSI = 14.503774


def sample(t: float) -> tuple[float, float]:
    """Front and rear [bar]: charged until 340 s, drawn to 3.4, charged again from 420 s."""
    value = 5.0 if t < 320 else 3.4 if 340 <= t < 420 else 4.95
    return value, value


def csv_of(times: list[float], spike_s: float | None = None) -> str:
    lines = ["t,front,rear,speed"]
    for t in times:
        front, back = sample(t)
        lines.append(f"{t:g},{1.0 if t == spike_s else front:.3f},{back * PSI:.3f},0")
    return "\n".join(lines) + "\n"


def judged_with(folder: Path, csv: str, recorder: str = RECORDER) -> JudgedReadings:
    (folder / "trace.csv").write_text(csv, encoding="utf-8")
    rows = [row[:3] for row in rear(0, 0, 0, 0)]
    return judged(folder, record_text("rear-application", MULTIPLE_UNIT, rows, recorder))


ALL = [float(t) for t in range(0, 720, 2)]


def test_a_recorder_s_trace_is_judged_at_the_times_of_the_stages(tmp_path: Path) -> None:
    answer = judged_with(tmp_path, csv_of(ALL))
    assert answer.judgement.verdict == "within limits", answer.judgement
    values = [reading.limits[0].value for reading in answer.judgement.readings]
    assert values == pytest.approx([5.0, 3.4, 3.4, 0.0, 4.95], abs=1e-3)


def test_its_clock_is_set_right(tmp_path: Path) -> None:
    late = RECORDER.replace("clock_offset_s: 60", "clock_offset_s: 140")
    assert judged_with(tmp_path, csv_of(ALL), late).judgement.verdict == "not within limits"


def test_a_lone_spike_is_left_out_and_said(tmp_path: Path) -> None:
    answer = judged_with(tmp_path, csv_of(ALL, 350.0))
    assert (answer.judgement.verdict, answer.spikes) == ("within limits", 1)


@pytest.mark.parametrize(
    ("csv", "said"),
    [
        (csv_of([t for t in ALL if not 345 < t < 360]), "nothing of the brake pipe at the front then"),
        (csv_of(ALL).replace("rear", "back", 1), "missing column"),
        (csv_of([*ALL[:10], 3.0, *ALL[10:]]), "out of order"),
        (csv_of(ALL).replace("5.000", "five", 1), "sample not understood"),
        (csv_of(ALL).replace("5.000", "nan", 1), "sample not understood"),
        ("t,front,rear\n", "too few lines"),
    ],
)
def test_a_trace_that_cannot_be_read_there_is_refused(csv: str, said: str, tmp_path: Path) -> None:
    with pytest.raises(InputError) as caught:
        judged_with(tmp_path, csv)
    assert said in caught.value.text()
