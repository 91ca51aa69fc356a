"""The error tree: codes, exit statuses, one shape for all."""

import json
import pickle
import re

import pytest

from headstock.base import errors
from headstock.base.errors import (
    ContentError,
    Fault,
    HeadstockError,
    InputError,
    NotFoundWithinBudgetError,
    OutsideModelError,
    error_classes,
)

FULL = Fault("unknown field", "demo.yaml", 7, "ends.1", "'lenght_m'", "length_m", "length_m")


def example_of(kind: type[HeadstockError]) -> HeadstockError:
    if issubclass(kind, InputError):
        return kind([FULL, Fault("missing field", "demo.yaml", 9)], why="so it is", cure="write it")
    return kind("too steep", where="the demo ramp", why="so it is", cure="ask less")


OWN_CLASSES = [kind for kind in error_classes() if kind.__module__ == errors.__name__]


def test_a_fault_says_what_where_found_expected_and_nearest_on_one_line() -> None:
    assert FULL.text() == ("unknown field @ demo.yaml:7 ends.1: found 'lenght_m', expected length_m; nearest length_m")


@pytest.mark.parametrize(
    ("fault", "text"),
    [
        (Fault("no such file", "a.yaml"), "no such file @ a.yaml"),
        (Fault("no such file", "a.yaml", nearest="b.yaml"), "no such file @ a.yaml: nearest b.yaml"),
        (Fault("brake named twice", found="a"), "brake named twice: found a"),
        (Fault("too long", path="name", expected="less"), "too long @ name: expected less"),
    ],
)
def test_a_fault_leaves_out_the_parts_it_lacks(fault: Fault, text: str) -> None:
    assert fault.text() == text


def test_a_fault_never_breaks_its_line_nor_sends_control_characters() -> None:
    text = Fault("bad\nname", "a\x1b[31m.yaml", 1, found="x\u2028y\ud800").text()
    assert text.isprintable()
    assert text.encode("utf-8")


def test_every_class_of_the_tree_is_drawn_in_the_docstring_with_its_code_and_exit_status() -> None:
    drawn = dict(re.findall(r"(\w+Error) +(\d .*)", errors.__doc__ or ""))
    for kind in OWN_CLASSES[1:]:
        assert drawn[kind.__name__].split()[:2] == [str(kind.exit_status), kind.code]
    assert len(drawn) == len(OWN_CLASSES) - 1


def test_no_two_classes_share_a_code() -> None:
    assert len({kind.code for kind in OWN_CLASSES}) == len(OWN_CLASSES)


def test_bad_input_ends_with_2_and_what_the_model_cannot_say_with_3() -> None:
    assert all(kind.exit_status == 2 for kind in OWN_CLASSES if issubclass(kind, InputError))
    assert OutsideModelError.exit_status == NotFoundWithinBudgetError.exit_status == 3


@pytest.mark.parametrize("kind", OWN_CLASSES)
def test_every_error_has_the_same_shape_as_json(kind: type[HeadstockError]) -> None:
    error = json.loads(json.dumps(example_of(kind).as_json()))
    assert list(error) == ["error"]
    assert list(error["error"]) == ["code", "message", "where", "why", "cure", "faults"]
    assert error["error"]["code"] == kind.code
    for fault in error["error"]["faults"]:
        assert list(fault) == ["what", "file", "line", "path", "found", "expected", "nearest"]


@pytest.mark.parametrize("kind", OWN_CLASSES)
def test_every_error_crosses_a_process_border_whole(kind: type[HeadstockError]) -> None:
    error = example_of(kind)
    back = pickle.loads(pickle.dumps(error))
    assert type(back) is kind
    assert back.as_json() == error.as_json()
    assert str(back) == str(error)


def test_several_faults_are_all_printed_under_one_headline() -> None:
    lines = example_of(ContentError).text().splitlines()
    assert lines[0] == "2 faults in demo.yaml"
    assert lines[1].strip() == FULL.text()
    assert lines[2].strip() == "missing field @ demo.yaml:9"
    assert lines[3:] == ["so it is", "write it"]


def test_a_single_fault_is_the_headline_itself() -> None:
    error = InputError(FULL)
    assert error.text() == FULL.text()
    assert error.where == "demo.yaml:7"


def test_a_place_that_is_no_file_is_said_too() -> None:
    assert InputError(Fault("brake named twice", found="a"), where="rear portion").text() == (
        "brake named twice: found a @ rear portion"
    )
    assert OutsideModelError("too steep", where="rear portion").text() == "too steep @ rear portion"


def test_an_input_error_without_a_fault_is_a_mistake_of_the_program() -> None:
    with pytest.raises(ValueError, match="at least one fault"):
        InputError([])


def test_a_place_with_a_control_character_is_said_once() -> None:
    assert InputError(Fault("unreadable", "a\0b")).text() == "unreadable @ a\\x00b"


def test_faults_of_two_files_name_both() -> None:
    assert ContentError([Fault("x", "b.yaml"), Fault("y", "a.yaml")]).what == "2 faults in a.yaml, b.yaml"
