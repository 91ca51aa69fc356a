"""The figures of the house are at or above their aims, and what counts them counts what is planted."""

from __future__ import annotations

import ast
from collections.abc import Callable

import pytest

from tests.conftest import HOUSE
from tests.promises.house import cycles_of, house, small_files, small_functions, tells_errors, tells_units


def test_the_house_is_in_order(record_property: Callable[[str, object], None]) -> None:
    found = house()
    for line in found.lines():
        record_property(HOUSE, line)
    assert found.short_of() == []


def test_files_and_functions_are_counted_by_their_lines() -> None:
    assert small_files({"a.py": 299, "b.py": 300}).lacking == ("b.py (300)",)
    long = "class A:\n    def fits(self):\n" + "        x = 1\n" * 31 + "    async def long(self):\n" + "        x = 1\n" * 32
    found = small_functions({"a.py": ast.parse(long)})
    assert found.of == 2 and [one.split()[-1] for one in found.lacking] == ["long"]
    assert found.share == 0.5


@pytest.mark.parametrize(
    ("text", "is_told"),
    [
        ("def pull_n(mass_kg: float) -> float:\n    '''Pull.'''\n", True),
        ("def pull_n(mass_kg: float) -> float: ...\n", False),
        ("def pull(mass_kg: float) -> float:\n    '''Pull.'''\n", False),
        ("def pull(mass_kg: float) -> float:\n    '''Pull [N].'''\n", True),
        ("def pull_n(mass: float) -> float:\n    '''Pull.'''\n", False),
        ("def named(name: str) -> str:\n    '''A name.'''\n", True),
    ],
)
def test_a_figure_without_its_unit_is_found(text: str, is_told: bool) -> None:
    (node,) = ast.parse(text).body
    assert isinstance(node, ast.FunctionDef)
    assert tells_units(node, "") is is_told


def test_an_error_that_is_not_told_is_found() -> None:
    raising = "    raise ValueError('x')\n"
    text = f"def a():\n    '''Does.'''\n{raising}def b():\n    '''Does. Raises ValueError.'''\n{raising}"
    bare, told = ast.parse(text).body
    assert isinstance(bare, ast.FunctionDef) and isinstance(told, ast.FunctionDef)
    assert not tells_errors(bare) and tells_errors(told)


def test_a_cycle_is_found_and_what_only_leads_to_it_is_none() -> None:
    assert cycles_of({"a": {"b"}, "b": {"c"}, "c": set()}) == ()
    assert cycles_of({"top": {"a"}, "a": {"b"}, "b": {"c"}, "c": {"a", "low"}, "low": set()}) == (("a", "b", "c"),)
    assert cycles_of({"a": {"a"}}) == (("a",),)
