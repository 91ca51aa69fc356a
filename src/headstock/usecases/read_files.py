"""Somebody who writes files asks: what is this one, can it be read, and what is wrong with it? Every fault of every file at once.

It says nothing about whether a figure is right: only its source does.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Final

from headstock.base.documents import kind_of, read_document
from headstock.base.errors import Fault, InputError, OutsideModelError
from headstock.base.nearest import nearest_of
from headstock.equipment.library import Fleet, load_unit_type
from headstock.equipment.unit_type import UnitType
from headstock.formation.join_way import TypeEnd
from headstock.formation.joint_geometry import lacking_on_a_curve
from headstock.formation.place import load_place
from headstock.local_rules.allowances import ALLOWANCES
from headstock.local_rules.drawn_tests import load_drawn_tests
from headstock.local_rules.events import EVENTS
from headstock.local_rules.extra_looks import load_extra_looks
from headstock.local_rules.mistake_plausibility import load_mistake_plausibility
from headstock.local_rules.rules import LocalRules, load_local_rules
from headstock.local_rules.test_method import load_test_method
from headstock.local_rules.triggers import load_trigger_set
from headstock.procedures.work import domain_of
from headstock.usecases.air_case_checks import load_air_cases
from headstock.usecases.assemble import BLOW, PROOF_LOST, assemble
from headstock.usecases.exercise_file import load_exercise
from headstock.usecases.fleet_mistakes import mistake_study
from headstock.usecases.job_file import job_path, load_job
from headstock.usecases.mistake_study_file import load_mistake_study
from headstock.usecases.people_file import load_people
from headstock.usecases.readings_file import load_readings
from headstock.usecases.rescue_given import NOT_ASKED
from headstock.usecases.study_file import load_study
from headstock.usecases.trade_words import load_trade_words
from headstock.usecases.written_instruction import load_instruction

Reader = Callable[[Path, Fleet], tuple[str, ...]]
"""Reads a file, raises InputError with its faults, gives what is to be noted."""


@dataclass(frozen=True, slots=True)
class FileRead:
    """What a file is as far as it says so ("" where it does not), every fault, and notes on what orders may come to lack."""

    file: str
    kind: str = ""
    title: str = ""
    edition: str = ""
    invented: bool = False
    faults: tuple[Fault, ...] = ()
    notes: tuple[str, ...] = ()


def read_files(paths: Sequence[Path], fleet: Fleet) -> tuple[FileRead, ...]:
    """Each file in the order given; a job is also put together, with its papers and the unit types of ``fleet``."""
    return tuple(_read(path, fleet) for path in paths)


def _read(path: Path, fleet: Fleet) -> FileRead:
    if path.suffix.lower() == ".json":
        return _air_case(path)
    name, kind, value = str(path), "", dict[str, Any]()
    try:
        document = read_document(path)
        value = document.value
        kind = kind_of(document, KINDS)
        notes = KINDS[kind](path, fleet)
    except InputError as error:
        return FileRead(name, kind, *_named(value), faults=_with_file(error, name))
    return FileRead(name, kind, *_named(value), notes=notes)


def _with_file(error: InputError, name: str) -> tuple[Fault, ...]:
    """Every fault, those that name no file with this one and with what they lie in."""
    return tuple(
        fault if fault.file else replace(fault, file=name, what=f"{fault.what} in {error.where}" if error.where else fault.what)
        for fault in error.faults
    )


def _air_case(path: Path) -> FileRead:
    """A case for the air engine alone, which is JSON and has no first line of its own."""
    try:
        found = load_air_cases(path)
    except InputError as error:
        return FileRead(str(path), "air case", faults=error.faults)
    return FileRead(str(path), "air case", ", ".join(case.name for case in found.cases if case.name))


def _named(value: dict[str, Any]) -> tuple[str, str, bool]:
    """Title, edition and whether it is invented, as far as the file says so in text."""
    said = [next((value[key] for key in keys if isinstance(value.get(key), str)), "") for keys in NAMED]
    return said[0], said[1], value.get("invented") is True


def _plain(load: Callable[[Path], object]) -> Reader:
    """A kind of file of which there is nothing to note."""

    def read(path: Path, _: Fleet) -> tuple[str, ...]:
        load(path)
        return ()

    return read


def _unit_type(path: Path, _: Fleet) -> tuple[str, ...]:
    """What of a type is asked for on a curve alone, and is not there."""
    return unit_type_notes(load_unit_type(path))


def unit_type_notes(unit_type: UnitType) -> tuple[str, ...]:
    """What one may come to miss in a type."""
    ends = [TypeEnd(f"{unit_type.type}/{end}", unit_type, end) for end in ("1", "2")]
    found = [f"on a curve its heads are refused: {what}" for end in ends for what in lacking_on_a_curve(end)]
    return tuple(dict.fromkeys(found))


def _local_rules(path: Path, _: Fleet) -> tuple[str, ...]:
    return _allowance_notes(load_local_rules(path))


def _trigger_set(path: Path, _: Fleet) -> tuple[str, ...]:
    """Events that the set does not speak of: nothing is decided after them. An example says itself that it lacks some."""
    triggers = load_trigger_set(path)
    unsaid = [event for event in EVENTS if not triggers.after(event)]
    return (f"no entry after: {', '.join(unsaid)}",) if unsaid and triggers.for_use else ()


def _job(path: Path, fleet: Fleet) -> tuple[str, ...]:
    """The job put together as for planning, without asking the air. That it cannot be done is no fault of its file."""
    made = assemble(load_job(path), fleet)
    if made.task is not None:
        domain_of(made.task)
        return ()
    # Whether a proof is needed at all, or pipes may be joined, is the air's to say, and nobody asked it here.
    said = (reason for reason in (*made.refusals, *made.outside) if NOT_ASKED not in reason)
    reasons = [reason for reason in said if reason not in (BLOW, PROOF_LOST)]
    return tuple(f"cannot be planned as it stands: {reason}" for reason in reasons)


def _exercise(path: Path, fleet: Fleet) -> tuple[str, ...]:
    """The exercise with its job planned, without asking the air."""
    try:
        load_exercise(path, fleet)
    except OutsideModelError as error:
        if any(words in error.why for words in (NOT_ASKED, BLOW, PROOF_LOST)):
            return _job(job_path(error.where, path.parent), fleet)  # what is not the air's to say
        return (f"cannot be practised as it stands: {error.why}",)
    return ()


def _mistakes(path: Path, fleet: Fleet) -> tuple[str, ...]:
    """The study with its jobs written, none planned."""
    mistake_study(load_mistake_study(path), fleet)
    return ()


def _allowance_notes(rules: LocalRules) -> tuple[str, ...]:
    given = rules.allowances_s.value
    notes = [f"no time allowance {name} ({what}): an order that needs it is refused"
             for name, what in ALLOWANCES.items() if name not in given]  # fmt: skip
    for name in given:
        near = nearest_of(name, ALLOWANCES) if name not in ALLOWANCES else None
        if near is not None:
            notes.append(f"the time allowance {name} is asked for by no order of work; nearest {near}")
    return tuple(notes)


NAMED: Final = (("title", "name"), ("edition", "issue"))
KINDS: Final[dict[str, Reader]] = {
    "unit type": _unit_type, "local rules": _local_rules, "test method": _plain(load_test_method),
    "trigger set": _trigger_set, "place": _plain(load_place), "job": _job, "instruction": _plain(load_instruction),
    "mistake plausibility": _plain(load_mistake_plausibility), "drawn tests": _plain(load_drawn_tests),
    "extra looks": _plain(load_extra_looks),
    "trade words": _plain(load_trade_words), "readings": _plain(load_readings),
    "people": _plain(load_people), "exercise": _exercise, "study": _plain(load_study),
    "mistake study": _mistakes,
}  # fmt: skip
