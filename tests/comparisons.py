"""Sees what a running test compares with `pytest.approx` or `Within`: computed, expected, tolerance, and how it is written."""

from __future__ import annotations

import ast
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from math import floor, isclose, isfinite, log10
from numbers import Real
from pathlib import Path
from typing import Any

import pytest

from tests.outside import Within

AS_PRINTED = "half of the last digit that the source gives"
ROUND_OFF = "only what arithmetic rounds off"
NOT_SAID = "set in the test"
WINDOW = "the window itself"


@dataclass(frozen=True)
class Comparison:
    """One figure that a test compared; `why` comes from the marker where it says one."""

    what: str
    expected: float | tuple[float | None, float | None]
    computed: float
    tolerance: float
    why: str
    is_within: bool


@contextmanager
def comparisons_seen(take: Callable[[Comparison], None], test_file: Callable[[], Path | None]) -> Iterator[None]:
    """While this lasts, hands every comparison made by the test file that runs to `take`."""
    scalar = type(pytest.approx(1.0))
    kept: list[tuple[type, Any]] = [(scalar, scalar.__eq__), (Within, Within.__eq__)]

    def watching(plain: Any) -> Any:
        def compare(self: Any, computed: Any) -> Any:
            result = plain(self, computed)
            path = test_file()
            if path is not None and isinstance(computed, Real) and not isinstance(computed, bool):
                seen = _comparison(self, float(computed), result is not NotImplemented and bool(result), path)
                if seen is not None:
                    take(seen)
            return result

        return compare

    for kind, plain in kept:
        setattr(kind, "__eq__", watching(plain))  # noqa: B010
    try:
        yield
    finally:
        for kind, plain in kept:
            setattr(kind, "__eq__", plain)  # noqa: B010


def _comparison(expectation: Any, computed: float, is_within: bool, path: Path) -> Comparison | None:
    what = _as_written(path)
    if what is None or not isfinite(computed):
        return None
    if isinstance(expectation, Within):
        return Comparison(what, (expectation.low, expectation.high), computed, 0.0, WINDOW, is_within)
    if not isinstance(expectation.expected, Real) or isinstance(expectation.expected, bool):
        return None
    expected, tolerance = float(expectation.expected), float(expectation.tolerance)
    return Comparison(what, expected, computed, tolerance, reason_of(expected, tolerance), is_within)


def reason_of(expected: float, tolerance: float) -> str:
    """Why a tolerance is what it is, where the figures themselves tell."""
    if tolerance <= 1.0001e-6 * abs(expected) or tolerance <= 1e-9:
        return ROUND_OFF
    digit = 10.0 ** floor(log10(tolerance / 0.499))
    share = tolerance / digit
    # The figure as printed ends on that digit.
    is_printed = isclose(expected / digit, round(expected / digit), abs_tol=1e-6)
    return AS_PRINTED if 0.499 <= share <= 0.62 and is_printed else NOT_SAID


def _as_written(path: Path) -> str | None:
    """The left side of the `assert` that is being worked out in the file; None outside of one."""
    frame: Any = sys._getframe(2)
    while frame is not None and frame.f_code.co_filename != str(path):
        frame = frame.f_back
    return None if frame is None else _lefts(path).get(frame.f_lineno)


@cache
def _lefts(path: Path) -> dict[int, str]:
    """For each line of an assertion in a test file, what it compares, as written."""
    lefts: dict[int, str] = {}
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Assert):
            lefts |= dict.fromkeys(range(node.lineno, (node.end_lineno or node.lineno) + 1), _left(node.test))
    return lefts


def _left(test: ast.expr) -> str:
    """Of an assertion the part that is compared with a figure; where there are several, all of them."""
    parts = test.values if isinstance(test, ast.BoolOp) else [test]
    equal = [part for part in parts if isinstance(part, ast.Compare) and isinstance(part.ops[0], ast.Eq)]
    lefts = (part.left if isinstance(part, ast.Compare) else part for part in equal or parts)
    return " and ".join(dict.fromkeys(map(ast.unparse, lefts)))
