"""An air case that cannot be meant is refused, every fault at once, each with its place."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from headstock.base.errors import ContentError, Fault
from headstock.usecases.air_case_checks import load_air_cases
from headstock.usecases.air_case_file import AirCase, AirCaseFile


def loaded(value: Any, folder: Path) -> AirCaseFile:
    (folder / "case.json").write_text(json.dumps(value, indent=1), encoding="utf-8")
    return load_air_cases(folder / "case.json")


def faults_of(value: Any, folder: Path) -> tuple[Fault, ...]:
    with pytest.raises(ContentError) as caught:
        loaded(value, folder)
    return caught.value.faults


def test_a_case_may_leave_out_everything(tmp_path: Path) -> None:
    file = loaded({}, tmp_path)
    assert file.cases == (AirCase(),)
    assert not file.is_list


DEFAULTS = {
    "vehicles": 12, "pipe_length_m": 20.0, "hose_length_m": 0.6, "bore_mm": 25.4, "roughness_mm": 0.05, "k_joint": 1.0,
    "k_vehicle": 2.0, "cock_cd": 0.7, "ambient_T_K": 288.15, "set_bar": 5.0, "main_reservoir_bar": 8.5, "droop_bar": 0.1,
    "area_running_mm2": 100.0, "area_release_mm2": 200.0, "area_service_mm2": 45.0, "area_emergency_mm2": 400.0,
    "service_target_bar": 3.5, "chamber_l": 2.0, "chamber_choke_mm2": 1.0, "aux_l": 75.0, "aux_choke_mm2": 7.0, "two_pipe": False,
    "cylinder_l": 10.0, "cylinder_gain": 2.533333333333333, "cylinder_max_bar": 3.8, "tau_fill_s": 1.3333333333333333,
    "tau_release_s": 7.55, "leak_mm2": 0.0, "initial_pipe_bar": 5.0, "initial_aux_bar": None,
    "initial_chamber_bar": None, "initial_cylinder_bar": 0.0,
    "valve": (), "rear": (), "cocks": {}, "cock_events": (), "end_s": 60.0, "ask": (), "name": None,
}  # fmt: skip


def test_the_defaults_are_those_that_other_engines_are_compared_by() -> None:
    assert {key: getattr(AirCase(), key) for key in AirCase.model_fields} == DEFAULTS


VALUE = {"kind": "value", "where": "front", "t_s": 1}
REFUSED: list[tuple[dict[str, Any], str, str]] = [
    ({"pipe_lenght_m": 3}, "pipe_lenght_m", "nearest pipe_length_m"),
    ({"leak_mm2": [0.1, 0.2]}, "leak_mm2", "one for each of the 12 vehicles"),
    ({"leak_mm2": []}, "leak_mm2", "a list of 0"),
    ({"initial_pipe_bar": [5.0] * 13}, "initial_pipe_bar", "a list of 13"),
    ({"initial_aux_bar": [5.0]}, "initial_aux_bar", "a list of 1"),
    ({"initial_chamber_bar": [5.0]}, "initial_chamber_bar", "a list of 1"),
    ({"initial_cylinder_bar": [5.0]}, "initial_cylinder_bar", "a list of 1"),
    ({"leak_mm2": [0.1] * 11 + [-1]}, "leak_mm2[11]", "at least 0"),
    ({"leak_mm2": -1}, "leak_mm2", "at least 0"),
    ({"leak_mm2": "much"}, "leak_mm2", "a number"),
    ({"chamber_l": 0}, "chamber_l", "more than 0"),
    ({"aux_l": -75}, "aux_l", "more than 0"),
    ({"area_service_mm2": -1}, "area_service_mm2", "at least 0"),
    ({"initial_pipe_bar": -1.1}, "initial_pipe_bar", "at least -1"),
    ({"cock_cd": 1.1}, "cock_cd", "at most 1"),
    ({"vehicles": 0}, "vehicles", "at least 1"),
    ({"vehicles": 1001}, "vehicles", "at most 1000"),
    ({"vehicles": 2.5}, "vehicles", "a whole number"),
    ({"roughness_mm": 2.0}, "roughness_mm", "wall too rough"),
    ({"end_s": 0}, "end_s", "more than 0"),
    ({"two_pipe": "true"}, "two_pipe", "true or false"),
    ({"valve": [{"t": 2, "mode": "lap"}, {"t": 1, "mode": "full"}]}, "valve[1].t", "1 s after 2 s"),
    ({"valve": [{"t": 2, "mode": "fulll"}]}, "valve[0].mode", "nearest full"),
    ({"valve": [{"t": -1, "mode": "full"}]}, "valve[0].t", "at least 0"),
    ({"rear": [{"t": 2, "open": 1}, {"t": 1, "open": 0}]}, "rear[1].t", "times out of order"),
    ({"rear": [{"t": 2, "open": 1.5}]}, "rear[0].open", "at most 1"),
    ({"cock_events": [{"t": 2, "joint": 1, "open": 1}, {"t": 1, "joint": 1, "open": 0}]}, "cock_events[1].t", "out of order"),
    ({"cock_events": [{"t": 2, "joint": 12, "open": 1}]}, "cock_events[0].joint", "1 to 11"),
    ({"cock_events": [{"t": 2, "joint": 0, "open": 1}]}, "cock_events[0].joint", "at least 1"),
    ({"cocks": {"12": 0}}, "cocks.12", "1 to 11"),
    ({"cocks": {"06": 0}}, "cocks.06", "no such joint"),
    ({"cocks": {"rear": 0}}, "cocks.rear", "no such joint"),
    ({"cocks": {"6": 2}}, "cocks.6", "at most 1"),
    ({"vehicles": 1, "cocks": {"1": 0}}, "cocks.1", "one vehicle has no joint"),
    ({"two_pipe": True, "initial_pipe_bar": 3.9}, "initial_aux_bar", "starts below 4 bar"),
    ({"two_pipe": True, "vehicles": 2, "initial_pipe_bar": [5.0, 1.0]}, "initial_aux_bar", "starts at 1 bar"),
    ({"ask": [{**VALUE, "where": "pipe13"}]}, "ask[0].where", "vehicles 1 to 12"),
    ({"ask": [{**VALUE, "where": "pipe0"}]}, "ask[0].where", "no such place"),
    ({"ask": [{**VALUE, "where": "tail"}]}, "ask[0].where", "no such place"),
    ({"ask": [{**VALUE, "t_s": 60.1}]}, "ask[0].t_s", "at most 60 s"),
    ({"ask": [VALUE, {"kind": "level"}]}, "ask[1].kind", "one of value, cross or drop"),
    ({"ask": [{"kind": "drop", "where": "rear", "t1_s": 5, "t2_s": 5}]}, "ask[0].t2_s", "t2_s after t1_s"),
    (
        {"ask": [{"kind": "cross", "where": "rear", "level_bar": 4, "direction": "left", "after_s": 0}]},
        "ask[0].direction",
        "up or down",
    ),
]


@pytest.mark.parametrize(("value", "path", "said"), REFUSED, ids=[f"{path} {said}" for _, path, said in REFUSED])
def test_what_cannot_be_meant_is_one_fault_at_its_place(value: dict[str, Any], path: str, said: str, tmp_path: Path) -> None:
    (fault,) = faults_of(value, tmp_path)
    assert fault.path == path
    assert said in fault.text()
    assert fault.line is not None


def test_faults_of_single_keys_and_between_keys_come_together_by_line(tmp_path: Path) -> None:
    value = {
        "vehicels": 3, "bore_mm": "25,4", "leak_mm2": [0.1], "valve": [{"t": 2, "mode": "lap"}, {"t": 1, "mode": "lap"}],
        "cocks": {"99": 0}, "ask": [{**VALUE, "where": "cyl13"}],
    }  # fmt: skip
    faults = faults_of(value, tmp_path)
    assert [fault.path for fault in faults] == ["vehicels", "bore_mm", "leak_mm2", "valve[1].t", "cocks.99", "ask[0].where"]
    assert [fault.line for fault in faults] == sorted(fault.line or 0 for fault in faults)


def test_what_hangs_on_a_wrong_key_is_not_complained_of_too(tmp_path: Path) -> None:
    (fault,) = faults_of({"vehicles": "20", "ask": [{**VALUE, "where": "cyl13"}], "leak_mm2": [0.1] * 20}, tmp_path)
    assert fault.path == "vehicles"


def test_faults_of_every_case_of_a_list_are_told(tmp_path: Path) -> None:
    faults = faults_of([{"aux_l": -1}, {}, {"cocks": {"99": 0}}], tmp_path)
    assert [fault.path for fault in faults] == ["[0].aux_l", "[2].cocks.99"]


def test_names_may_be_free_text_and_two_events_may_share_a_time(tmp_path: Path) -> None:
    events = [{"t": 1, "mode": "lap"}, {"t": 1, "mode": "full"}]
    assert loaded({"name": "a / b: \u00e4 " * 50, "valve": events}, tmp_path).cases[0].valve[1].mode == "full"


def test_a_low_pipe_needs_no_reservoir_pressure_where_it_is_given_or_the_pipe_feeds(tmp_path: Path) -> None:
    assert loaded({"two_pipe": True, "initial_pipe_bar": 0.0, "initial_aux_bar": 5.0}, tmp_path).cases
    assert loaded({"two_pipe": False, "initial_pipe_bar": 0.0}, tmp_path).cases
