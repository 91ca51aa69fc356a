"""A person in charge asks: which brake test is due after this, and why? Never whether the train may go.

Asked of events by name, or of a job, whose own events and facts are then known.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import cast

from headstock.base.errors import Fault, InputError
from headstock.base.nearest import nearest_of
from headstock.equipment.library import Fleet
from headstock.local_rules.condition import Value
from headstock.local_rules.events import IS_NUMBER, Event
from headstock.local_rules.tests_due import TestsDueResult, check_names, tests_due
from headstock.local_rules.triggers import TriggerSet, built_in_names, load_trigger_set, trigger_path
from headstock.usecases.assemble import assemble
from headstock.usecases.events_of_job import events_and_facts
from headstock.usecases.job_file import load_job

DEFAULT_SET = "wending-vale"


@dataclass(frozen=True, slots=True)
class WhichTests:
    """The answer with what it was asked of."""

    triggers: TriggerSet
    events: tuple[str, ...]
    facts: Mapping[str, Value]
    result: TestsDueResult


def which_tests(events: Sequence[str], facts: Sequence[str], set_name: str | None, job: Path | None, fleet: Fleet) -> WhichTests:
    """Tests due after events, with facts as NAME=VALUE; those of a job come first. Raises InputError."""
    told = _facts_from(facts)
    all_events: list[str] = []
    known: dict[str, Value] = {}
    triggers: TriggerSet | None = None
    if job is not None:
        papers = load_job(job)
        triggers = papers.triggers
        found, known = events_and_facts(papers, assemble(papers, fleet).task)
        all_events += found
    if set_name is not None or triggers is None:
        triggers = trigger_set_named(set_name or DEFAULT_SET)
    all_events = list(dict.fromkeys([*all_events, *events]))
    check_names(all_events, told)
    known = {**known, **told}
    result = tests_due(cast("list[Event]", all_events), known, triggers)
    return WhichTests(triggers, tuple(all_events), known, result)


def trigger_set_named(name: str) -> TriggerSet:
    """A trigger set by its file's path or by the name of a built-in one."""
    path = trigger_path(name, Path())
    if path is None:
        known = built_in_names()
        fault = Fault("trigger set not found", found=name, expected=f"a file, or one of {', '.join(known)}",
                      nearest=nearest_of(name, known))  # fmt: skip
        raise InputError(fault)
    return load_trigger_set(path)


def _facts_from(texts: Sequence[str]) -> dict[str, Value]:
    """NAME=VALUE each: a number, or true or false."""
    facts: dict[str, Value] = {}
    faults = []
    for text in texts:
        name, equals, said = (part.strip() for part in text.partition("="))
        value = _value_from(name, said)
        if not equals or value is None or name in facts:
            expected = "each fact once" if name in facts else "NAME=NUMBER, NAME=true or NAME=false"
            faults.append(Fault("fact not understood", found=text, expected=expected))
        else:
            facts[name] = value
    if faults:
        raise InputError(faults, cure="headstock due --list names all events and facts.")
    return facts


def _value_from(name: str, said: str) -> Value | None:
    if name not in IS_NUMBER and said in ("true", "false"):
        return said == "true"
    try:
        return float(said)
    except ValueError:
        return None
