"""Gathers the marked checks of a run of pytest into the checks of the validation report."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import ExitStack
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from headstock.usecases.validation_report import CheckedAgainst, ComparedValue, ValidationCheck
from tests.comparisons import NOT_SAID, Comparison, comparisons_seen
from tests.validation_claims import claim_of, why_of

MOST_VALUES, MOST_CASES, LONGEST = 24, 12, 120
Key = tuple[str, tuple[CheckedAgainst, ...]]


@dataclass
class _Case:
    """One marked test with one set of parameters."""

    key: Key
    case: str
    why: str | None
    is_drawn: bool
    outcome: str = "not run"
    seen: list[Comparison] = field(default_factory=list)


def against_of(item_marks: list[pytest.Mark]) -> tuple[CheckedAgainst, ...]:
    """What the markers of one test name."""
    fields = ("source", "clause", "status")
    return tuple(CheckedAgainst(**{name: mark.kwargs.get(name, "") for name in fields}) for mark in item_marks)


def key_of(nodeid: str, marks: list[pytest.Mark]) -> Key:
    """One check: the test without its parameters, and all that it is held against."""
    return nodeid.partition("[")[0], against_of(marks)


class Gathering:
    """A plugin for pytest: give it to `pytest.main`, then ask `checks()`."""

    def __init__(self) -> None:
        self._cases: dict[str, _Case] = {}
        self._running: tuple[_Case, Path] | None = None
        self._watch = ExitStack()

    def pytest_configure(self) -> None:
        """Begin to look at comparisons."""
        self._watch.enter_context(comparisons_seen(self._take, lambda: self._running[1] if self._running else None))

    def pytest_unconfigure(self) -> None:
        """Leave comparisons as they were."""
        self._watch.close()

    @pytest.hookimpl(tryfirst=True)
    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """Every marked test, those that will be left out among them."""
        for item in items:
            marks = list(item.iter_markers("outside"))
            if marks:
                why = next((mark.kwargs["why"] for mark in marks if "why" in mark.kwargs), None)
                case = item.nodeid.partition("[")[2].removesuffix("]")
                is_drawn = getattr(getattr(item, "obj", None), "is_hypothesis_test", False)
                self._cases[item.nodeid] = _Case(key_of(item.nodeid, marks), case, why, is_drawn)

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_call(self, item: pytest.Item) -> Iterator[None]:
        """Comparisons made from here to the end of the test are its own."""
        case = self._cases.get(item.nodeid)
        self._running = None if case is None or case.is_drawn else (case, item.path)
        try:
            return (yield)  # type: ignore[return-value]
        finally:
            self._running = None

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """How it came out; a fault before or after the test itself counts too."""
        case = self._cases.get(report.nodeid)
        if case is not None and (report.failed or (report.when == "call" and report.passed and case.outcome != "failed")):
            case.outcome = report.outcome

    def _take(self, seen: Comparison) -> None:
        if self._running is not None:
            self._running[0].seen.append(seen)

    def checks(self) -> tuple[ValidationCheck, ...]:
        """All marked checks, in the order of the run."""
        grouped: dict[Key, list[_Case]] = {}
        for case in self._cases.values():
            grouped.setdefault(case.key, []).append(case)
        return tuple(_check(key, cases) for key, cases in grouped.items())


def _check(key: Key, cases: list[_Case]) -> ValidationCheck:
    test, against = key
    # A comparison that did not hold in a test that passed was meant not to hold.
    values = [_value(one, case) for case in cases for one in case.seen if case.outcome == "failed" or one.is_within]
    kept = [value for value in values if not value.is_within] + [value for value in values if value.is_within]
    return ValidationCheck(
        test=test, words=_words(test), claim=claim_of(test) or "", against=against,
        passed=sum(case.outcome == "passed" for case in cases),
        failed=tuple(case.case or "the check" for case in cases if case.outcome == "failed"),
        not_run=sum(case.outcome == "not run" for case in cases),
        cases=() if values else tuple(case.case for case in cases if case.case)[:MOST_CASES],
        values=tuple(kept[:MOST_VALUES]), values_left=max(0, len(kept) - MOST_VALUES),
    )  # fmt: skip


def _value(seen: Comparison, case: _Case) -> ComparedValue:
    told = case.why or why_of(case.key[0])
    why = told if seen.why == NOT_SAID and told else seen.why
    return ComparedValue(
        what=_short(seen.what), case=_short(case.case), expected=seen.expected, computed=float(f"{seen.computed:.8g}"),
        tolerance=float(f"{seen.tolerance:.3g}"), why=why, is_within=seen.is_within,
    )  # fmt: skip


def _short(text: str) -> str:
    return text if len(text) <= LONGEST else text[: LONGEST - 3] + "..."


def _words(test: str) -> str:
    return test.rpartition("::")[2].removeprefix("test_").replace("_", " ")
