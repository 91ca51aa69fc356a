"""A study from the command line: killed at any place it goes on, and ends as an undisturbed one; questions on it."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from headstock.compute.kept_runs import KeptRuns
from headstock.equipment.library import load_fleet
from headstock.usecases.fleet_study import fleet_study
from headstock.usecases.study_file import load_study, study_path
from tests.cases.studies import MISTAKES, SMALL, written
from tests.journeys.commands import SRC, headstock
from tests.promises.tree import ROOT

LONGER = SMALL.replace("draws: 20", "draws: 60")


def contents(folder: Path) -> dict[str, bytes]:
    """Every file by its name."""
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def parts(folder: Path) -> int:
    return len(list(folder.rglob("part-*.parquet")))


def begun(study: Path, out: Path) -> subprocess.Popen[bytes]:
    command = [sys.executable, "-m", "headstock", "study", str(study), "--out", str(out), "--workers", "2"]
    environment = {**os.environ, "PYTHONPATH": str(SRC)}
    return subprocess.Popen(command, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


def until(so: Callable[[], bool], running: subprocess.Popen[bytes]) -> None:
    """Wait; the run must not have ended before."""
    ends = time.monotonic() + 300
    while not so():
        assert running.poll() is None and time.monotonic() < ends
        time.sleep(0.02)


def workers_of(running: subprocess.Popen[bytes]) -> list[int]:
    """Its processes that work, as the system lists them."""
    listed = subprocess.run(["ps", "-o", "pid=,args=", "--ppid", str(running.pid)], capture_output=True, text=True, check=False)
    return [int(line.split()[0]) for line in listed.stdout.splitlines() if "spawn_main" in line]


@pytest.mark.slow
@pytest.mark.skipif(sys.platform != "linux", reason="asks ps for the children of a process")
def test_killed_workers_and_a_killed_run_change_nothing_of_the_results(tmp_path: Path) -> None:
    study, calm, rough = written(tmp_path, LONGER), tmp_path / "calm", tmp_path / "rough"
    done = headstock("study", str(study), "--out", str(calm), "--workers", "1", at=tmp_path)
    assert done.returncode == 0 and parts(calm) >= 12, done.stderr
    running = begun(study, rough)
    until(lambda: parts(rough) >= 2, running)
    for worker in workers_of(running):
        os.kill(worker, signal.SIGKILL)
    seen = parts(rough)
    until(lambda: parts(rough) > seen, running)
    running.kill()
    running.wait()
    kept = contents(rough)
    assert 3 <= parts(rough) < parts(calm)
    again = headstock("study", str(study), "--out", str(rough), "--workers", "2", "--json", at=tmp_path)
    said = json.loads(again.stdout)
    assert again.returncode == 0 and said["parts_before"] + said["parts_worked_out"] == said["parts"] == parts(rough)
    assert said["parts_before"] == sum(name.endswith(".parquet") for name in kept)
    assert contents(rough) == contents(calm)


def test_a_study_is_sized_refused_and_asked(tmp_path: Path) -> None:
    pytest.importorskip("duckdb")
    text = SMALL.replace("draws: 20", "draws: 4").replace("rear-application, front-both-ways", "rear-application")
    text = text.replace("rear stays: 9,", "").replace("rear fallen: 9, ", "").replace(", rear risen: -9", "")
    text = text.replace("rear risen: -9, ", "")
    study, out = written(tmp_path, text), tmp_path / "out"
    sized = headstock("study", "run", str(study), "--out", str(out), "--size", "--json", at=tmp_path)
    assert sized.returncode == 0 and json.loads(sized.stdout)["scenarios"] > 100 and not out.exists()
    asked = headstock("study", "ask", str(out), "season", at=tmp_path)
    assert asked.returncode == 2 and "no results of a study" in asked.stderr
    assert headstock("study", str(study), "--out", str(out), "--workers", "1", at=tmp_path).returncode == 0
    asked = headstock("study", "ask", str(out), "blind-spots", at=tmp_path)
    assert asked.returncode == 0 and "training aid" in asked.stdout and "never" in asked.stdout
    told = headstock("study", "report", str(out), "--out", "papers", at=tmp_path)
    assert told.returncode == 0 and "local rules decide" in told.stdout and "papers/report.pdf" in told.stdout, told.stderr
    names = {path.name for path in (tmp_path / "papers").iterdir()}
    assert {"report.html", "report.pdf", "blind-spots.svg", "blind-spots.png", "limit-curve.png", "season.svg"} <= names
    nowhere = headstock("study", "report", str(out), "--out", str(study), at=tmp_path)
    assert nowhere.returncode == 2 and "the report cannot be written" in nowhere.stderr
    next(out.rglob("part-*.parquet")).unlink()
    plain = headstock("study", "ask", str(out), "season", at=tmp_path)
    assert "limits: as ruled" in plain.stdout and "_" not in plain.stdout
    asked = headstock("study", "ask", str(out), "season", "--json", at=tmp_path)
    said = json.loads(asked.stdout)
    assert asked.returncode == 3 and said["parts"] == said["of_parts"] - 1
    told = headstock("study", "report", str(out), "--out", "papers", "--json", at=tmp_path)
    assert told.returncode == 3 and "parts are worked out" in json.loads(told.stdout)["cautions"][-1]
    both = headstock("study", "ask", str(out), "season", "--sql", "select 1", at=tmp_path)
    assert both.returncode == 2 and "one question at a time" in both.stderr
    nobody = headstock("study", str(study), "--out", str(tmp_path / "none"), "--cluster", "nonsense://", at=tmp_path)
    assert nobody.returncode == 2 and "--cluster" in nobody.stderr


def test_mistakes_are_studied_by_name_gone_on_with_asked_and_reported(tmp_path: Path) -> None:
    pytest.importorskip("duckdb")
    study, out = written(tmp_path, MISTAKES), tmp_path / "out"
    sized = headstock("study", str(study), "--out", str(out), "--size", at=tmp_path)
    assert sized.returncode == 0 and "2 jobs, a part each: 2 pairs of ends, 1 set" in sized.stdout and not out.exists()
    done = headstock("study", str(study), "--out", str(out), "--workers", "1", at=tmp_path)
    assert done.returncode == 0 and "never how often" in done.stdout, done.stderr
    whole = contents(out)
    next(out.rglob("part-*.parquet")).unlink()
    again = headstock("study", str(study), "--out", str(out), "--workers", "2", "--json", at=tmp_path)
    said = json.loads(again.stdout)
    assert (said["parts_before"], said["parts_worked_out"], said["jobs"]) == (1, 1, 2) and contents(out) == whole
    asked = headstock("study", "ask", str(out), "unit-pairs", at=tmp_path)
    assert (
        asked.returncode == 0 and "gale/2" in asked.stdout and "one from harm: single" in asked.stdout and "_" not in asked.stdout
    )
    wrong = headstock("study", "ask", str(out), "unit-pair", at=tmp_path)
    assert wrong.returncode == 2 and "nearest unit-pairs" in wrong.stderr
    told = headstock("study", "report", str(out), "--out", "papers", at=tmp_path)
    names = {path.name for path in (tmp_path / "papers").iterdir()}
    assert told.returncode == 0 and {"report.pdf", "report.html", "unit-pairs.png", "how-late.svg"} <= names, told.stderr
    drawn = written(tmp_path, SMALL)
    mixed = headstock("study", str(drawn), "--out", str(out), at=tmp_path)
    assert mixed.returncode == 2 and "results of another study" in mixed.stderr and contents(out) == whole


@pytest.mark.slow
def test_the_page_of_the_demonstrations_study_says_what_it_answers(tmp_path: Path) -> None:
    pytest.importorskip("duckdb")
    from headstock.wiring import ask_study, run_study

    study = fleet_study(load_study(study_path("demo-fleet")), load_fleet(), KeptRuns())
    done = run_study(study, tmp_path / "out", 2, None)
    page = (ROOT / "docs" / "explanation" / "fleet-study.md").read_text(encoding="utf-8")
    assert done.worked_out == study.parts and f"drawn tests: {study.count:,};" in page
    shares = {row[:2]: row[3] for row in ask_study(tmp_path / "out", "worst-formations", None, None, 99).rows}
    assert shares["demo-attach", "rear-application"] > shares["second-attach", "rear-application"] + 0.01
    spots = ask_study(tmp_path / "out", "blind-spots", None, None, 999)
    answers = {(row[1], row[2], row[3]): set[str]() for row in spots.rows}
    for row in spots.rows:
        answers[row[1], row[2], row[3]].add(row[6])
    for method in ("rear-application", "front-both-ways", "full-count"):
        assert answers[method, "hand brake on", 0.0] == {"never"}
        assert all(answers[method, "cock part open", share] == {"never"} for share in (0.3, 0.1))
        assert answers[method, "brake isolated", 0.0] == ({"seen"} if method == "full-count" else {"never"})
    seasons = ask_study(tmp_path / "out", "season", None, None, 99).rows
    for (first, _, _, summer, _), (second, _, _, winter, _) in zip(seasons[::2], seasons[1::2], strict=True):
        assert first == second and abs(summer - winter) < 1e-3
