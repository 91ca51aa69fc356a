"""Running an air case: shape of the answer, both gas models, and every way to have no answer."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from headstock.base.errors import InputError, OutsideModelError
from headstock.usecases import air_case
from headstock.usecases.air_case import answer_air_case, answer_air_file
from headstock.usecases.air_case_file import AirCase

ASK = [{"kind": "value", "where": "rear", "t_s": 0.05}, {"kind": "value", "where": "cyl1", "t_s": 0.0}]
SHORT = {"vehicles": 1, "end_s": 0.05, "valve": [{"t": 0, "mode": "full"}], "ask": ASK}


def written(value: Any, folder: Path) -> Path:
    (folder / "case.json").write_text(json.dumps(value), encoding="utf-8")
    return folder / "case.json"


def test_the_answer_has_the_shape_of_the_file(tmp_path: Path) -> None:
    one = answer_air_file(written({"name": "a", **SHORT}, tmp_path)).as_json()
    assert one["name"] == "a"
    many = answer_air_file(written([{"name": "a", **SHORT}, SHORT], tmp_path)).as_json()
    assert [value.get("name") for value in many] == ["a", None]
    assert "name" not in many[1]
    assert [value["answers"] for value in many] == [one["answers"]] * 2
    assert answer_air_file(written([SHORT], tmp_path)).as_json()[0]["answers"] == one["answers"]


def test_an_answer_says_how_it_was_come_by(tmp_path: Path) -> None:
    value = answer_air_file(written(SHORT, tmp_path), gas="isothermal").as_json()
    assert list(value) == ["answers", "status", "solver", "gas", "steps", "elapsed_s", "mass_balance_relative"]
    assert (value["status"], value["solver"], value["gas"]) == ("ok", "fine", "isothermal")
    assert value["steps"] > 20
    assert value["elapsed_s"] > 0.0
    assert abs(value["mass_balance_relative"]) < 1e-12
    assert [answer["unit"] for answer in value["answers"]] == ["bar", "bar"]


def test_the_fine_solver_has_heat_transfer_unless_told_otherwise(tmp_path: Path) -> None:
    path = written(SHORT, tmp_path)
    plain, told = answer_air_file(path).results[0], answer_air_file(path, gas="heat-transfer").results[0]
    assert plain.gas == "heat-transfer"
    assert plain.answers == told.answers != answer_air_file(path, gas="isothermal").results[0].answers


def test_the_fast_solver_refuses_heat_transfer_with_what_to_ask_for_instead(tmp_path: Path) -> None:
    with pytest.raises(OutsideModelError, match="isothermal") as caught:
        answer_air_file(written(SHORT, tmp_path), "fast", "heat-transfer")
    assert "--solver fine" in caught.value.cure


@pytest.mark.parametrize("gas", [None, "isothermal"])
def test_the_fast_solver_answers_the_same_questions_near_enough_in_fewer_steps(gas: Any, tmp_path: Path) -> None:
    path = written(SHORT, tmp_path)
    fast, fine = answer_air_file(path, "fast", gas).results[0], answer_air_file(path, "fine", "isothermal").results[0]
    assert (fast.solver, fast.gas) == ("fast", "isothermal")
    assert fast.steps < fine.steps / 5
    assert abs(fast.mass_balance_relative) < 1e-11
    for one, other in zip(fast.answers, fine.answers, strict=True):
        assert one.unit == other.unit
        if one.value is not None and other.value is not None:
            assert one.value == pytest.approx(other.value, abs=0.12)


def test_a_bad_file_is_told_before_what_solver_there_is(tmp_path: Path) -> None:
    with pytest.raises(InputError):
        answer_air_file(written({"vehicles": 0}, tmp_path), "fast")


def test_a_series_is_kept_of_one_case_only(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="one case"):
        answer_air_file(written([SHORT, SHORT], tmp_path), keep_series=True)
    (result,) = answer_air_file(written([SHORT], tmp_path), keep_series=True).results
    assert result.series is not None
    assert result.series.places == ("rear", "cyl1")
    assert result.series.bar.shape == (result.series.t_s.size, 2)
    assert result.series.bar[0] == pytest.approx([5.0, 0.0])
    assert answer_air_file(written(SHORT, tmp_path)).results[0].series is None


def test_a_case_whose_air_is_no_gas_any_more_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: Any, **__: Any) -> None:
        raise OutsideModelError("the air leaves what a gas can be at 0.010 s")

    monkeypatch.setattr(air_case, "advance", broken)
    with pytest.raises(OutsideModelError) as caught:
        answer_air_file(written([SHORT, {"name": "odd", **SHORT}], tmp_path))
    assert "[0]" in caught.value.text()
    assert "case.json" in caught.value.text()


def test_a_reading_that_is_no_number_is_no_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    real = air_case.air_run_of

    def spoilt(case: AirCase) -> Any:
        run = real(case)
        run.start.vessels[2, 0] = np.nan  # a cylinder, which no cell feels
        return run

    monkeypatch.setattr(air_case, "air_run_of", spoilt)
    with pytest.raises(OutsideModelError, match="cyl1"):
        answer_air_case(AirCase.model_validate_json(json.dumps({**SHORT, "two_pipe": True})), "isothermal")


def test_a_pipe_with_too_many_cells_is_outside_the_model() -> None:
    case = AirCase.model_validate_json(json.dumps({**SHORT, "vehicles": 1000, "pipe_length_m": 200.0}))
    with pytest.raises(OutsideModelError, match="200000 cells"):
        answer_air_case(case, "isothermal")


def test_long_cases_of_many_places_are_sampled_so_that_memory_is_bounded() -> None:
    assert air_case._sample_s(720.0, 5) == 0.001
    assert air_case._sample_s(60.0, 0) == 0.001
    for end_s, places in ((720.0, 48), (60.0, 4000), (86_400.0, 4000)):
        assert end_s / air_case._sample_s(end_s, places) * places <= 1.0001 * air_case.MOST_READINGS


def test_progress_is_told_up_to_the_end(tmp_path: Path) -> None:
    told: list[tuple[int, float, float]] = []
    answer_air_file(written([SHORT, SHORT], tmp_path), tell=lambda *now: told.append(now))
    assert {number for number, _, _ in told} == {0, 1}
    assert told[-1] == (1, 0.05, 0.05)


@pytest.mark.parametrize("gas", ["isothermal", "heat-transfer"])
@pytest.mark.parametrize("keys", [{"hose_length_m": 0.0}, {"pipe_length_m": 0.1}, {"ask": []}])
def test_odd_but_possible_cases_are_answered(keys: dict[str, Any], gas: Any) -> None:
    value = {"vehicles": 2, "end_s": 0.02, "rear": [{"t": 0.0, "open": 1.0}], "ask": ASK[:1], **keys}
    value["ask"] = [{**ask, "t_s": 0.02} for ask in value["ask"]]
    result = answer_air_case(AirCase.model_validate_json(json.dumps(value)), gas)
    assert all(answer.value is not None and -101325.0 / 1e5 < answer.value < 5.0 for answer in result.answers)
    assert abs(result.mass_balance_relative) < 1e-12
