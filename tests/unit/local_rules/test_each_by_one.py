"""A method as people work it: what one commands and another reads is two stages; names, limits, waits and touches are kept."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from headstock.local_rules.each_by_one import each_by_one
from headstock.local_rules.method_stage import Stage
from headstock.local_rules.test_method import BrakeTestMethod, built_in_methods, load_test_method
from headstock.local_rules.tests_in_a_row import tests_in_a_row as in_a_row

METHODS = {name: load_test_method(path) for name, path in built_in_methods().items()}
WIRED = ("electric-apply-hold-release", "wires")


@pytest.mark.parametrize("name", [name for name in METHODS if name not in WIRED])
def test_a_method_of_valves_and_gauges_is_left_as_it_is(name: str) -> None:
    assert each_by_one(METHODS[name]) is METHODS[name]


@pytest.mark.parametrize("name", WIRED)
def test_every_stage_is_done_at_one_end_and_every_reading_keeps_name_limit_and_wait(name: str) -> None:
    method, parted = METHODS[name], each_by_one(METHODS[name])
    assert len(parted.stages) == 2 * len(method.stages)
    for stage in parted.stages:
        assert not (stage.is_wired and stage.reading is not None and stage.reading.at != stage.acts_at)
    assert [(one.key, one.reading, one.waits, one.allowance) for one in parted.readings] == [
        (one.key, one.reading, one.waits, one.allowance) for one in method.readings
    ]
    assert [(one.electric, one.wire) for one in parted.stages if one.is_wired] == [
        (one.electric, one.wire) for one in method.stages
    ]
    assert all(one.waits is None for one in parted.stages if one.reading is None)
    assert each_by_one(parted) is parted


def test_what_is_tried_at_the_rear_is_done_there_and_read_in_front() -> None:
    parted = {stage.key: stage for stage in each_by_one(METHODS["wires"]).stages}
    assert {key: stage.at for key, stage in parted.items() if "loop" in key or "bell" in key} == {
        "bell tried": "front", "bell": "rear", "bell back tried": "rear", "bell back": "front",
        "loop tried": "rear", "loop": "front",
    }  # fmt: skip
    assert "rear cab" in parted["loop tried"].says


def test_touches_of_the_controller_belong_to_the_command_and_a_row_of_tests_is_parted_too() -> None:
    touches = {touch.name: touch.stage for touch in each_by_one(METHODS[WIRED[0]]).exempt_touches}
    assert touches == {"controller applied": "applied commanded", "controller held": "held commanded",
                       "controller released": "released commanded"}  # fmt: skip
    whole = in_a_row((METHODS["rear-application"], METHODS[WIRED[0]]))
    keys = [stage.key for stage in whole.stages]
    assert keys[-2:] == ["electric brake released commanded", "electric brake released"]
    assert whole.not_planned_because is None
    alone = METHODS[WIRED[0]].not_planned_because
    assert alone is not None and "then_tests" in alone


def test_where_a_wire_is_tried_is_said_of_wires_alone() -> None:
    own = METHODS[WIRED[0]].stages[0].model_dump() | {"acts": "rear"}
    with pytest.raises(ValidationError, match="tries none"):
        Stage.model_validate(own)
    read_where_tried = METHODS["wires"].model_dump()
    read_where_tried["stages"] = [
        one | {"acts": "rear"} if one["wire"] == "doors left" else one for one in read_where_tried["stages"]
    ]
    kept = [one.key for one in each_by_one(BrakeTestMethod.model_validate(read_where_tried)).stages]
    assert kept[0] == "doors left" and kept[1] == "doors right tried"
