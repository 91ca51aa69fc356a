"""Makes docs/reference/formats.md from the models that read the files, so that the page cannot fall behind.

``python -m tests.promises.formats_page`` writes it; a test compares.
"""

from __future__ import annotations

import types
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel

from headstock.base.sources import Source
from headstock.devices.kind import DeviceSpec
from headstock.devices.registry import KINDS
from headstock.equipment.library import BUILT_IN as FLEET
from headstock.equipment.unit_type import UnitType
from headstock.formation.place import Place
from headstock.local_rules.afterwards import WHAT
from headstock.local_rules.allowances import ALLOWANCES
from headstock.local_rules.drawn_tests import DEMONSTRATION as DRAWN
from headstock.local_rules.drawn_tests import SEVERITY_OF, DrawnTests
from headstock.local_rules.events import DUE_TESTS, EVENTS, FACTS
from headstock.local_rules.extra_looks import DEMONSTRATION as LOOKS
from headstock.local_rules.extra_looks import ExtraLooks
from headstock.local_rules.mistake_plausibility import DEMONSTRATION, MistakePlausibility
from headstock.local_rules.rules import BUILT_IN as RULES
from headstock.local_rules.rules import LocalRules
from headstock.local_rules.test_method import BUILT_IN as METHODS
from headstock.local_rules.test_method import BrakeTestMethod
from headstock.local_rules.triggers import BUILT_IN as TRIGGERS
from headstock.local_rules.triggers import TriggerSet
from headstock.usecases.exercise_file import READY, ExerciseFile
from headstock.usecases.job_file import JOBS_FOLDER, PLACES_FOLDER, JobFile
from headstock.usecases.mistake_study_file import MistakeStudyFile
from headstock.usecases.people_file import BUILT_IN as PEOPLE
from headstock.usecases.people_file import PeopleFile
from headstock.usecases.readings_file import ReadingsFile
from headstock.usecases.study_file import STUDIES, StudyFile
from headstock.usecases.trade_words import BUILT_IN as WORDS
from headstock.usecases.trade_words import TradeWords
from headstock.usecases.written_instruction import InstructionFile
from tests.promises.tree import ROOT

PAGE = ROOT / "docs" / "reference" / "formats.md"
INSTRUCTION = """headstock: instruction 1
title: Beginning of an instruction
steps:
  - {who: shunter, does: "agree the job: who does what, all repeat"}
  - {who: shunter, does: ask for the road}
  - {who: driver, does: "put on the parking brake of 217, cab 217/2"}
"""
FORMATS: tuple[tuple[str, type[BaseModel], Path | str, str], ...] = (
    ("unit type", UnitType, FLEET / "moss.yaml", "One type of unit: its vehicles, both ends, what hangs on them."),
    (
        "local rules",
        LocalRules,
        RULES / "wending-vale.yaml",
        "One railway's rules for this work, each a value with a source.",
    ),
    ("test method", BrakeTestMethod, METHODS / "rear-application.yaml", "One way to test the brake: stages in order."),
    (
        "trigger set",
        TriggerSet,
        TRIGGERS / "wending-vale.yaml",
        "Which brake test is due after what. Silence never means that no test is due; entries that disagree are refused.",
    ),
    ("place", Place, PLACES_FOLDER / "harrow-ings-3.yaml", "One road at one place."),
    ("job", JobFile, JOBS_FOLDER / "demo-attach.yaml", "One job: units and joints in order, what moves, who is there."),
    (
        "instruction",
        InstructionFile,
        INSTRUCTION,
        "A written order of work, in the words that `plan --instruction` writes.",
    ),
    (
        "mistake plausibility",
        MistakePlausibility,
        DEMONSTRATION,
        "How plausible each kind of mistake is taken to be: an order of three, no probability.",
    ),
    (
        "readings",
        ReadingsFile,
        JOBS_FOLDER.parent / "readings" / "demo-attach.yaml",
        "The record of a brake test, for `judge`: who read what where and when, and what was touched.",
    ),
    (
        "drawn tests",
        DrawnTests,
        DRAWN,
        "From what brake tests are drawn, for `blind-spots` and `find`: healthy trains, and how often and how bad each fault is.",
    ),
    (
        "extra looks",
        ExtraLooks,
        LOOKS,
        "Looks that could be added to a brake test, for `blind-spots`: how long, and what each shows.",
    ),
    (
        "people",
        PeopleFile,
        PEOPLE / "wending-vale.yaml",
        "Who may do and read brake tests, and from when until when, for `records file --people`.",
    ),
    (
        "exercise",
        ExerciseFile,
        READY / "attach-keeper-out.yaml",
        "A job to be practised: what is hidden in it, how colleagues go wrong, weather and light.",
    ),
    (
        "study",
        StudyFile,
        STUDIES / "demo-fleet.yaml",
        "A fleet study, for `study`: trains, methods, faults, weather and limits laid together, and how large it may be.",
    ),
    (
        "mistake study",
        MistakeStudyFile,
        STUDIES / "demo-mistakes.yaml",
        "A study of mistakes, for `study`: which ends come together under which local rules, and how many jobs it may come to.",
    ),
    ("trade words", TradeWords, WORDS, "Words with which lines of a plain text are matched to steps; no rule rests on them."),
)
HEAD = """# File formats

> A planning and training aid: the rule book, the maintainer's documents and the person in charge come first. The data shown
> here are invented for demonstration and must be replaced by approved data before any real use.

Every file is YAML (UTF-8, at most 1 MB, no anchors, no tags) and begins with `headstock: KIND VERSION`. All formats here are
version 1. Only `true`, `false` and `null` are special words: `on`, `off`, `yes`, `no` are text, though other YAML readers want
them in quotes. Unknown fields are refused. Numbers carry their unit in their name. Every `source` names a key of the file's own
`sources`; each of those says text, edition and status (read, second-hand, from memory, common practice, computed, invented).

Local rules name a trigger set in `triggers`: a file beside them or a built-in one, for use. Those with `for_use: false` are
examples from published texts, never complete; `headstock due --triggers NAME` shows what they say.

In a job, `place`, `local_rules` and `method` name a file beside the job or one of the built-in ones. `as_left` says what stands
otherwise than the types' own `as_left`; keys are written `UNIT/END.device`, `VEHICLE.device` or `UNIT.device`, with `.part` for
a device that has several (`226/1.coupler.pin`). Units are listed from the place's first direction to its second.
"""


def page() -> str:
    """The whole page."""
    parts = [HEAD]
    for kind, model, example, what in FORMATS:
        text = example if isinstance(example, str) else example.read_text(encoding="utf-8")
        tables = _tables(model) + "\n" + MORE.get(kind, lambda: "")()
        parts.append(f"\n## {kind.capitalize()}\n\n{what}\n\n{tables}```yaml\n{text.strip()}\n```\n")
    parts.append(f"\n## Sources\n\nEach under `sources`, by a key of one's own.\n\n{_tables(Source)}")
    parts.append("\n## Devices\n\nDevices stand under `devices` by a name of their own, with their `kind`.\n")
    parts += [f"\n### {name}\n\n{_about(kind.Spec)}\n\n{_tables(kind.Spec)}" for name, kind in sorted(KINDS.items())]
    return "".join(parts)


def _tables(model: type[BaseModel]) -> str:
    return "\n".join(_table(inner, "" if inner is model else inner.__name__) for inner in _models(model))


def models_written() -> set[type[BaseModel]]:
    """Every model that a person fills in a file."""
    tops = [Source, *(model for _, model, _, _ in FORMATS), *(kind.Spec for kind in KINDS.values())]
    return {inner for top in tops for inner in _models(top)}


def _models(model: type[BaseModel]) -> Iterator[type[BaseModel]]:
    """The model and those inside it, each once; sources and devices have places of their own."""
    seen: list[type[BaseModel]] = []
    waiting = [model]
    while waiting:
        here = waiting.pop(0)
        if here in seen:
            continue
        seen.append(here)
        for field in here.model_fields.values():
            waiting += [inner for inner in _inside(field.annotation) if inner is not Source and not hasattr(inner, "source_of")]
    return iter(inner for inner in seen if inner not in {kind.Spec for kind in KINDS.values()} or inner is model)


def _inside(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        metadata = annotation.__pydantic_generic_metadata__
        if metadata["origin"] is not None:
            yield from (inner for argument in metadata["args"] for inner in _inside(argument))
        else:
            yield annotation
    for argument in get_args(annotation):
        yield from _inside(argument)


def _table(model: type[BaseModel], name: str) -> str:
    head = f"`{name}`: {_about(model)}\n\n" if name else ""
    rows = [
        f"| `{key}` | {_words(field.annotation)} | {meaning(model, key)} | {'yes' if field.is_required() else 'no'} |"
        for key, field in model.model_fields.items()
    ]
    return head + "| field | takes | meaning | required |\n|---|---|---|---|\n" + "\n".join(rows) + "\n"


def meaning(model: type[BaseModel], key: str) -> str:
    """What a field means, with its unit; "" where the model does not say."""
    if key == "kind" and issubclass(model, DeviceSpec):
        return "which kind of device this is"
    return model.model_fields[key].description or ""


def _allowances() -> str:
    rows = "".join(f"| `{name}` | {what} |\n" for name, what in ALLOWANCES.items())
    return f"Names under `allowances_s`; a test method may name others of its own.\n\n| name | time for |\n|---|---|\n{rows}\n"


def _trigger_names() -> str:
    """The names that a trigger set may use."""
    parts = (("event", "what happened", EVENTS), ("fact", "what is known", FACTS), ("test", "what is due", DUE_TESTS))
    tables = []
    for word, what, meanings in parts:
        rows = "".join(f"| `{name}` | {meaning} |\n" for name, meaning in meanings.items())
        tables.append(f"| {word} | {what} |\n|---|---|\n{rows}\n")
    return "".join(tables)


def _afterwards_names() -> str:
    rows = "".join(f"| `{name}` | {meaning} |\n" for name, meaning in WHAT.items())
    return f"Names under `what` of `tell_afterwards`.\n\n| name | {{value}} |\n|---|---|\n{rows}\n"


def _severities() -> str:
    rows = "".join(f"| `{kind}` | {what} |\n" for kind, what in SEVERITY_OF.items())
    return (
        f"Kinds that have `severities`, and what the figure is; all others have none.\n\n| kind | figure |\n|---|---|\n{rows}\n"
    )


MORE: dict[str, Callable[[], str]] = {
    "local rules": lambda: _allowances() + _afterwards_names(), "trigger set": _trigger_names,
    "drawn tests": _severities,
}  # fmt: skip


def _about(model: type[BaseModel]) -> str:
    return " ".join((model.__doc__ or "").split())


def _words(annotation: Any) -> str:
    """A field's type as people say it."""
    origin, arguments = get_origin(annotation), get_args(annotation)
    if origin is Annotated:
        return _words(arguments[0])
    if origin in (Literal, Union, types.UnionType):
        return _choices(origin, arguments)
    if origin in (tuple, list):
        return f"list of {_words(arguments[0])}"
    if origin is dict:
        return f"{_words(arguments[1])}, by name"
    return _plain_words(annotation)


def _choices(origin: Any, arguments: tuple[Any, ...]) -> str:
    if origin is Literal:
        return " or ".join(f"`{choice}`" for choice in arguments)
    if len(arguments) > len(KINDS) // 2:
        return "a device"
    return " or ".join(_words(argument) for argument in arguments if argument is not type(None))


def _plain_words(annotation: Any) -> str:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        arguments = annotation.__pydantic_generic_metadata__["args"]
        return f"value ({_words(arguments[0])}) with `source`" if arguments else f"`{annotation.__name__}`"
    words = {str: "text", float: "number", int: "whole number", bool: "true or false", date: "day, `YYYY-MM-DD`"}
    return words.get(annotation, str(annotation))


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
