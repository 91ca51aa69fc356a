"""``headstock air`` as a program calls it: the answer on standard output, files whole or not at all, one error shape."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pyarrow.parquet as pq
import pytest

from tests.journeys.commands import headstock

CASE = {
    "name": "short", "vehicles": 2, "pipe_length_m": 5.0, "two_pipe": True, "valve": [{"t": 0, "mode": "full"}], "end_s": 0.5,
    "ask": [
        {"kind": "cross", "where": "rear", "level_bar": 4.95, "direction": "down", "after_s": 0},
        {"kind": "cross", "where": "rear", "level_bar": 1.0, "direction": "down", "after_s": 0},
        {"kind": "value", "where": "cyl2", "t_s": 0.5},
        {"kind": "drop", "where": "front", "t1_s": 0, "t2_s": 0.5},
    ],
}  # fmt: skip


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "case.json").write_text(json.dumps(CASE, indent=1), encoding="utf-8")
    return tmp_path


def names_in(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_the_answer_is_json_on_standard_output_and_nothing_is_written(folder: Path) -> None:
    done = headstock("air", "case.json", at=folder)
    assert done.returncode == 0, done.stderr
    value = json.loads(done.stdout)
    assert [answer["unit"] for answer in value["answers"]] == ["s", "s", "bar", "bar/min"]
    arrival, never, cylinder, drop = (answer["value"] for answer in value["answers"])
    assert 0.02 < arrival < 0.06
    assert never is None
    assert 0.0 < cylinder < 3.8
    assert 60.0 < drop < 600.0
    assert (value["name"], value["status"], value["solver"], value["gas"]) == ("short", "ok", "fine", "heat-transfer")
    assert done.stderr == "", "no progress where no terminal is"
    assert names_in(folder) == ["case.json"]


def test_a_case_that_is_not_there_says_where_one_to_begin_from_stands(folder: Path) -> None:
    done = headstock("air", "demo-attach", at=folder)
    assert done.returncode == 2 and "no such file @ demo-attach" in done.stderr
    assert (
        "docs/reference/air-case.md" in done.stderr
        and "docs/reference/air-case.md" in headstock("air", "--help", at=folder).stdout
    )


def test_answer_and_samples_are_written_and_said_where(folder: Path) -> None:
    done = headstock("air", "case.json", "--out", "answer.json", "--series", "samples.parquet", "--gas", "isothermal", at=folder)
    assert done.returncode == 0, done.stderr
    assert json.loads((folder / "answer.json").read_text(encoding="utf-8")) == json.loads(done.stdout)
    assert "answer.json" in done.stderr
    assert "samples.parquet" in done.stderr
    table = pq.read_table(folder / "samples.parquet")
    assert table.column_names == ["t_s", "rear_bar_gauge", "cyl2_bar_gauge", "front_bar_gauge"]
    assert table.schema.metadata[b"gas"] == b"isothermal"
    assert names_in(folder) == ["answer.json", "case.json", "samples.parquet"]


def test_a_list_of_cases_is_answered_by_a_list(folder: Path) -> None:
    (folder / "cases.json").write_text(json.dumps([{**CASE, "end_s": 0.5}, {"end_s": 0.01, "vehicles": 1}]), encoding="utf-8")
    value = json.loads(headstock("air", "cases.json", "--gas", "isothermal", at=folder).stdout)
    assert [len(one["answers"]) for one in value] == [4, 0]


BAD: list[tuple[dict[str, Any], tuple[str, ...], int, str]] = [
    ({"bore_mn": 3}, (), 2, "nearest bore_mm"),
    ({}, ("--solver", "fast", "--gas", "heat-transfer"), 3, "isothermal"),
    ({}, ("--solver", "slow"), 2, "slow"),
    ({}, ("--gas", "adiabatic"), 2, "adiabatic"),
    ({}, ("--out", "case.json"), 2, "written over"),
    ({"vehicles": 1000, "pipe_length_m": 500, "ask": []}, (), 3, "cells"),
]


@pytest.mark.parametrize(("keys", "words", "status", "said"), BAD, ids=[said for _, _, _, said in BAD])
def test_what_is_refused_has_the_one_error_shape_and_nothing_is_written(
    keys: dict[str, Any], words: tuple[str, ...], status: int, said: str, folder: Path
) -> None:
    (folder / "case.json").write_text(json.dumps({**CASE, **keys}), encoding="utf-8")
    before = (folder / "case.json").read_bytes()
    outputs = () if "--out" in words else ("--out", "answer.json")
    command = ("air", "case.json", *words, *outputs, "--series", "samples.parquet")
    plain = headstock(*command, at=folder)
    assert (plain.returncode, plain.stdout) == (status, "")
    assert said in plain.stderr
    assert "Traceback" not in plain.stderr
    error = json.loads(headstock(*command, "--json", at=folder).stdout)["error"]
    assert error.keys() == {"code", "message", "where", "why", "cure", "faults"}
    assert names_in(folder) == ["case.json"]
    assert (folder / "case.json").read_bytes() == before
