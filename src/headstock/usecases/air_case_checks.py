"""Reading an air case: every fault of every case at once, those of single keys and those between keys."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from headstock.base.errors import ContentError, Fault
from headstock.base.field_faults import faults_of
from headstock.base.json_documents import read_json
from headstock.base.located import Document, DocumentPath, path_text, shown
from headstock.usecases.air_case_file import WHERE, AirCase, AirCaseFile, AskDrop, per_vehicle

ROUGHEST = 0.05
"""Greatest roughness over bore [-] that the friction factor is good for."""
NEEDS_A_RESERVOIR_BELOW_BAR = 4.0


@dataclass(frozen=True, slots=True)
class _Wrong:
    """Something that does not go together: where, what, found, expected."""

    path: DocumentPath
    what: str
    found: str
    expected: str


def load_air_cases(path: Path) -> AirCaseFile:
    """The cases of a JSON file. Raises InputError with every fault of every case, or of the notation alone."""
    file = read_json(path)
    faults: list[Fault] = []
    cases: list[AirCase] = []
    for number, document in enumerate(file.documents):
        case, found = _case_of(document)
        if case is not None:
            cases.append(case)
        faults += [_in_list(fault, number) for fault in found] if file.is_list else found
    if faults:
        raise ContentError(faults)
    return AirCaseFile(path=path, cases=tuple(cases), is_list=file.is_list)


def _in_list(fault: Fault, number: int) -> Fault:
    return replace(fault, path=f"[{number}].{fault.path}" if fault.path else f"[{number}]")


def _case_of(document: Document) -> tuple[AirCase | None, list[Fault]]:
    """The case if it has no fault; keys that are wrong alone are set aside, so that the rest can be held together."""
    faults: list[Fault] = []
    aside: set[str] = set()
    try:
        case = _validated(document.value)
    except ValidationError as error:
        faults += faults_of(error, document, AirCase)
        aside = {str(detail["loc"][0]) for detail in error.errors(include_url=False)}
        case = _validated({key: value for key, value in document.value.items() if key not in aside})
    for needs, check in CHECKS:
        if aside.isdisjoint(needs):
            faults += [_fault(document, wrong) for wrong in check(case)]
    faults.sort(key=lambda fault: fault.line or 0)
    return (None if faults else case), faults


def _validated(value: dict[str, Any]) -> AirCase:
    return AirCase.model_validate_json(json.dumps(value), strict=True)


def _fault(document: Document, wrong: _Wrong) -> Fault:
    line = document.line_of(wrong.path)
    return Fault(wrong.what, document.name, line, path_text(wrong.path), wrong.found, wrong.expected)


def _lengths_of(key: str) -> Callable[[AirCase], Iterator[_Wrong]]:
    def check(case: AirCase) -> Iterator[_Wrong]:
        value = getattr(case, key)
        if isinstance(value, tuple) and len(value) != case.vehicles:
            expected = f"one number, or one for each of the {case.vehicles} vehicles"
            yield _Wrong((key,), "list of the wrong length", f"a list of {len(value)}", expected)

    return check


def _order_of(key: str) -> Callable[[AirCase], Iterator[_Wrong]]:
    def check(case: AirCase) -> Iterator[_Wrong]:
        for number, (before, after) in enumerate(pairwise(getattr(case, key)), start=1):
            if after.t < before.t:
                found = f"{after.t:g} s after {before.t:g} s"
                yield _Wrong((key, number, "t"), "times out of order", found, "times that do not go back")

    return check


def _cocks(case: AirCase) -> Iterator[_Wrong]:
    for joint in case.cocks:
        if joint not in _joints(case):
            yield _Wrong(("cocks", joint), "no such joint", shown(joint), _joints_text(case))


def _cock_events(case: AirCase) -> Iterator[_Wrong]:
    for number, event in enumerate(case.cock_events):
        if str(event.joint) not in _joints(case):
            yield _Wrong(("cock_events", number, "joint"), "no such joint", str(event.joint), _joints_text(case))


def _joints(case: AirCase) -> set[str]:
    return {str(joint) for joint in range(1, case.vehicles)}


def _joints_text(case: AirCase) -> str:
    if case.vehicles == 1:
        return "no cock: one vehicle has no joint"
    return f"1 to {case.vehicles - 1}, joints counted from the driver's valve"


def _two_pipe(case: AirCase) -> Iterator[_Wrong]:
    lowest = min(per_vehicle(case.initial_pipe_bar, case.vehicles), default=0.0)
    if case.two_pipe and case.initial_aux_bar is None and lowest < NEEDS_A_RESERVOIR_BELOW_BAR:
        found = f"two_pipe, and a pipe that starts at {lowest:g} bar"
        expected = f"initial_aux_bar, where the pipe starts below {NEEDS_A_RESERVOIR_BELOW_BAR:g} bar"
        yield _Wrong(("initial_aux_bar",), "missing field", found, expected)


def _rough(case: AirCase) -> Iterator[_Wrong]:
    if case.roughness_mm > ROUGHEST * case.bore_mm:
        found = f"{case.roughness_mm:g} mm in a bore of {case.bore_mm:g} mm"
        yield _Wrong(("roughness_mm",), "wall too rough", found, f"at most {ROUGHEST:g} of the bore")


def _places(case: AirCase) -> Iterator[_Wrong]:
    for number, ask in enumerate(case.ask):
        match = WHERE.fullmatch(ask.where)
        if match is not None and match[3] and int(match[3]) > case.vehicles:
            yield _Wrong(("ask", number, "where"), "no such vehicle", shown(ask.where), f"vehicles 1 to {case.vehicles}")


def _times(case: AirCase) -> Iterator[_Wrong]:
    for number, ask in enumerate(case.ask):
        for key in ("t_s", "after_s", "t1_s", "t2_s"):
            time_s = getattr(ask, key, None)
            if time_s is not None and time_s > case.end_s:
                expected = f"at most {case.end_s:g} s (end_s)"
                yield _Wrong(("ask", number, key), "after the end of the run", f"{time_s:g} s", expected)


def _drops(case: AirCase) -> Iterator[_Wrong]:
    for number, ask in enumerate(case.ask):
        if isinstance(ask, AskDrop) and ask.t2_s <= ask.t1_s:
            found = f"{ask.t2_s:g} s after {ask.t1_s:g} s"
            yield _Wrong(("ask", number, "t2_s"), "times out of order", found, "t2_s after t1_s")


_PER_VEHICLE = ("leak_mm2", "initial_pipe_bar", "initial_aux_bar", "initial_chamber_bar", "initial_cylinder_bar")
CHECKS: tuple[tuple[frozenset[str], Callable[[AirCase], Iterator[_Wrong]]], ...] = (
    *((frozenset({"vehicles", key}), _lengths_of(key)) for key in _PER_VEHICLE),
    *((frozenset({key}), _order_of(key)) for key in ("valve", "rear", "cock_events")),
    (frozenset({"vehicles", "cocks"}), _cocks),
    (frozenset({"vehicles", "cock_events"}), _cock_events),
    (frozenset({"two_pipe", "vehicles", "initial_pipe_bar", "initial_aux_bar"}), _two_pipe),
    (frozenset({"roughness_mm", "bore_mm"}), _rough),
    (frozenset({"vehicles", "ask"}), _places),
    (frozenset({"end_s", "ask"}), _times),
    (frozenset({"ask"}), _drops),
)
"""What must go together, each with the keys it looks at."""
