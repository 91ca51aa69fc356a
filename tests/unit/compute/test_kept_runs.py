"""Answers are kept by content: asked once, asked anew when anything changed, and nothing on disk can make them wrong."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from headstock.compute import kept_runs
from headstock.compute.kept_runs import KeptRuns
from headstock.physics.air_run import AirRun, AirTrace
from headstock.physics.pipe_network import ATMOSPHERE_PA, Piece, PipeNetwork, Probe, open_to_atmosphere

RUN = AirRun(
    PipeNetwork((Piece(20.0, 0.025, 5e-5),), (), (20.0,)), (), (open_to_atmosphere(1e-5),), (), (),
    ((20.0, 4e5 + ATMOSPHERE_PA),),
    (), (), (), 0.2, (Probe("front"),), 0.01,
)  # fmt: skip


@pytest.fixture
def counted(monkeypatch: pytest.MonkeyPatch) -> list[AirRun]:
    """Runs that were really reckoned."""
    from headstock.physics import fast_run

    done: list[AirRun] = []
    real = fast_run.answer_fast

    def answer(run: AirRun) -> AirTrace:
        done.append(run)
        return real(run)

    monkeypatch.setattr(fast_run, "answer_fast", answer)
    return done


def same(one: AirTrace, other: AirTrace) -> bool:
    return np.array_equal(one.t_s, other.t_s) and np.array_equal(one.readings_pa, other.readings_pa)


def test_the_second_time_nothing_is_reckoned_and_the_answer_is_the_same_to_the_last_bit(
    tmp_path: Path, counted: list[AirRun]
) -> None:
    first = KeptRuns(tmp_path)([RUN])[0]
    second = KeptRuns(tmp_path)([RUN])[0]
    assert len(counted) == 1
    assert same(first, second) and first.mass_balance == second.mass_balance


def test_equal_questions_are_answered_once_and_in_the_order_asked(tmp_path: Path, counted: list[AirRun]) -> None:
    longer = replace(RUN, until_s=0.3)
    traces = KeptRuns(tmp_path)([RUN, longer, RUN])
    assert len(counted) == 2
    assert traces[0].t_s[-1] == pytest.approx(0.2) and traces[1].t_s[-1] == pytest.approx(0.3)
    assert same(traces[0], traces[2])


def test_a_question_is_read_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    KeptRuns(tmp_path)([RUN])
    read: list[AirRun] = []
    real = AirRun.content
    monkeypatch.setattr(AirRun, "content", lambda run: read.append(run) or real(run))
    KeptRuns(tmp_path)([RUN, RUN])
    assert len(read) == 2


@pytest.mark.parametrize("change", [{"until_s": 0.25}, {"vessel_pa": (1e5,)}, {"cylinder_pa": (1e5,)}, {"sample_s": 0.02}])
def test_any_change_of_the_question_asks_anew(tmp_path: Path, counted: list[AirRun], change: dict[str, object]) -> None:
    engine = KeptRuns(tmp_path)
    engine([RUN])
    engine([replace(RUN, **change)])  # type: ignore[arg-type]
    assert len(counted) == 2


def test_a_change_of_the_sources_of_physics_asks_anew(
    tmp_path: Path, counted: list[AirRun], monkeypatch: pytest.MonkeyPatch
) -> None:
    KeptRuns(tmp_path)([RUN])
    monkeypatch.setattr(kept_runs, "source_key", lambda: "another")
    KeptRuns(tmp_path)([RUN])
    assert len(counted) == 2


@pytest.mark.parametrize("content", [b"", b"no archive", None])
def test_a_spoilt_file_counts_as_not_there(tmp_path: Path, counted: list[AirRun], content: bytes | None) -> None:
    first = KeptRuns(tmp_path)([RUN])[0]
    (file,) = (tmp_path / "runs").glob("*.npz")
    file.write_bytes(file.read_bytes()[:-40] if content is None else content)
    assert same(KeptRuns(tmp_path)([RUN])[0], first)
    assert len(counted) == 2
    KeptRuns(tmp_path)([RUN])
    assert len(counted) == 2, "and it was mended"


def test_where_nothing_can_be_written_the_answer_comes_all_the_same(tmp_path: Path) -> None:
    (tmp_path / "runs").write_text("a file in the way", encoding="utf-8")
    assert KeptRuns(tmp_path)([RUN])[0].readings_pa.shape[1] == 1


def test_it_says_how_far_it_is_and_nothing_when_all_is_kept(tmp_path: Path) -> None:
    said: list[tuple[int, int]] = []
    engine = KeptRuns(tmp_path, on_progress=lambda done, of: said.append((done, of)))
    engine([RUN, replace(RUN, until_s=0.3)])
    assert said == [(0, 2), (1, 2), (2, 2)]
    engine([RUN])
    assert len(said) == 3


def test_only_so_many_are_kept_the_oldest_go_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(kept_runs, "MOST_KEPT", 2)
    engine = KeptRuns(tmp_path)
    for until_s in (0.2, 0.21, 0.22):
        engine([replace(RUN, until_s=until_s)])
    assert len(list((tmp_path / "runs").glob("*.npz"))) == 2


def test_side_by_side_or_one_after_another_makes_no_difference(tmp_path: Path) -> None:
    runs = [replace(RUN, until_s=until_s) for until_s in (0.2, 0.25, 0.3, 0.35)]
    alone = KeptRuns(tmp_path / "a", workers=1)(runs)
    beside = KeptRuns(tmp_path / "b", workers=4)(runs)
    assert all(same(one, other) for one, other in zip(alone, beside, strict=True))
