"""Which brake test is due after what happened: every entry that fired and why, and what must still be known to decide.

Only an entry that says so makes it that no test is due; silence of a set, or something unknown, is "not decided".
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Final, Literal

from headstock.base.errors import Fault, InputError
from headstock.base.nearest import nearest_of
from headstock.base.sources import Source
from headstock.local_rules.condition import Condition, Value, points_of, unknown_of
from headstock.local_rules.events import EVENTS, FACTS, IS_NUMBER, STRICTNESS, Covers, DueTest, Event
from headstock.local_rules.triggers import Trigger, TriggerSet

RUNNING_TEST_BLIND: Final = (
    "With an electric or electrically controlled brake in use a running test of the automatic brake proves nothing about the pipe"
)
VOIDED: Final = "A passed test is void once anything in its path is touched; putting it back does not revive it."
EXAMPLE: Final = "An example from published texts, not complete: not for use on any train."
Answer = Literal["yes", "no", "not decided"]


@dataclass(frozen=True, slots=True)
class Spoken:
    """An entry that fired after an event (``missing`` empty), or may fire once what is missing is known."""

    key: str
    event: str
    test: DueTest
    covers: Covers
    words: str
    because: tuple[str, ...]
    missing: tuple[str, ...]
    source: Source


@dataclass(frozen=True, slots=True)
class TestDue:
    """A test that is due, on what, and the entries that ask for it."""

    __test__ = False

    test: DueTest
    covers: Covers
    asked_by: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TestsDueResult:
    """Yes: ``due`` is all. No: entries say so. Not decided: ``missing`` or ``silent`` say why, and ``due`` is due anyhow."""

    __test__ = False

    answer: Answer
    due: tuple[TestDue, ...]
    fired: tuple[Spoken, ...]
    may_fire: tuple[Spoken, ...]
    silent: tuple[str, ...]
    missing: tuple[str, ...]
    notes: tuple[str, ...]


def tests_due(events: Sequence[Event], facts: Mapping[str, Value], triggers: TriggerSet) -> TestsDueResult:
    """Tests due after the events, with what is known of them by name. Raises InputError for unknown names or wrong values."""
    check_names(events, facts)
    events = tuple(dict.fromkeys(events))
    spoken = [found for event in events for found in _after(event, facts, triggers)]
    fired = tuple(entry for entry in spoken if not entry.missing)
    due = _due(fired)
    undecided = {event for event in events if _may_change(triggers.after(event), facts, due)}
    may_fire = tuple(entry for entry in spoken if entry.missing and entry.event in undecided)
    silent = tuple(event for event in events if event not in {entry.event for entry in spoken})
    missing = tuple(dict.fromkeys(fact for entry in may_fire for fact in entry.missing))
    answer: Answer = "not decided" if undecided or not events else "yes" if due else "no"
    return TestsDueResult(answer, due, fired, may_fire, silent, missing, _notes((*fired, *may_fire), facts, triggers))


def _after(event: Event, facts: Mapping[str, Value], triggers: TriggerSet) -> Iterable[Spoken]:
    for trigger in triggers.after(event):
        missing = unknown_of(trigger.when, facts)
        if missing is not None:
            yield _spoken(trigger, event, facts, missing, triggers.sources[trigger.source])


def _spoken(trigger: Trigger, event: str, facts: Mapping[str, Value], missing: tuple[str, ...], source: Source) -> Spoken:
    known = tuple(_known(condition, facts[condition.fact]) for condition in trigger.when if condition.fact in facts)
    return Spoken(trigger.key, event, trigger.test, trigger.covers, trigger.words, (event, *known), missing, source)


def _known(condition: Condition, value: Value) -> str:
    """A condition that holds, with the value where it is a number."""
    return condition.words() if isinstance(value, bool) else f"{condition.words()}: it is {value:g}"


def _due(fired: tuple[Spoken, ...]) -> tuple[TestDue, ...]:
    """Tests asked for; of those at standstill on the same vehicles the strictest, asked for by all the milder ones too."""
    found: dict[tuple[DueTest, Covers], list[str]] = {}
    for entry in fired:
        if entry.test != "none":
            found.setdefault((_strictest(entry, fired), entry.covers), []).append(entry.key)
    return tuple(TestDue(test, covers, tuple(dict.fromkeys(keys))) for (test, covers), keys in found.items())


def _strictest(entry: Spoken, fired: Iterable[Spoken]) -> DueTest:
    if entry.test not in STRICTNESS:
        return entry.test
    alike = [other.test for other in fired if other.covers == entry.covers and other.test in STRICTNESS]
    return max(alike, key=lambda test: STRICTNESS[test])


def _may_change(entries: Sequence[Trigger], facts: Mapping[str, Value], due: tuple[TestDue, ...]) -> bool:
    """Whether what is not known of an event could bring a test that is not due anyhow, or leave the set silent about it."""
    conditions = [condition for entry in entries for condition in entry.when if condition.fact not in facts]
    names = tuple(dict.fromkeys(condition.fact for condition in conditions))
    for values in product(*(points_of(name, conditions) for name in names)):
        known: dict[str, Value] = {**facts}
        known.update(zip(names, values, strict=True))
        speak = [entry for entry in entries if unknown_of(entry.when, known) == ()]
        if not speak or not all(entry.test == "none" or _is_covered(entry, due) for entry in speak):
            return True
    return False


def _is_covered(entry: Trigger, due: tuple[TestDue, ...]) -> bool:
    """Whether what an entry asks for is due anyhow."""
    return any(
        test.covers == entry.covers
        and (test.test == entry.test or STRICTNESS.get(test.test, -1) >= STRICTNESS.get(entry.test, 9))
        for test in due
    )


def _notes(spoken: tuple[Spoken, ...], facts: Mapping[str, Value], triggers: TriggerSet) -> tuple[str, ...]:
    notes = [] if triggers.for_use else [EXAMPLE]
    if any(entry.test == "running" for entry in spoken):
        electric = facts.get("electric_brake_in_use")
        if electric:
            notes.append(f"{RUNNING_TEST_BLIND}: make it with the automatic brake alone, or test at standstill.")
        elif electric is None:
            notes.append(f"{RUNNING_TEST_BLIND}; whether one is in use is not known here (electric_brake_in_use).")
    return (*notes, VOIDED, *(f"The set lacks: {words}" for words in triggers.lacks))


def check_names(events: Iterable[str], facts: Mapping[str, object]) -> None:
    """Refuse events and facts that there are not, and values of the wrong kind; every fault at once."""
    faults = [
        Fault("event not known", found=event, expected="an event by its name", nearest=nearest_of(event, EVENTS))
        for event in events
        if event not in EVENTS
    ]
    for name, value in facts.items():
        if name not in FACTS:
            faults.append(Fault("fact not known", found=name, expected="a fact by its name", nearest=nearest_of(name, FACTS)))
        elif isinstance(value, bool) == (name in IS_NUMBER) or (name in IS_NUMBER and not 0 <= float(value) < float("inf")):  # type: ignore[arg-type]
            kind = "a number of 0 or more" if name in IS_NUMBER else "true or false"
            faults.append(Fault(f"wrong value of {name}", found=str(value), expected=kind))
    if faults:
        raise InputError(faults, cure="headstock due --list names all events and facts.")
