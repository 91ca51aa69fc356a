"""Trigger sets: after which event which brake test is due, as data; each entry with a source. Never code, never complete."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from pathlib import Path
from typing import Annotated, Final, TypeVar

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

from headstock.base.documents import is_file, read_document
from headstock.base.errors import ContentError, Fault
from headstock.base.loading import load_as
from headstock.base.located import Document
from headstock.base.sources import Source, missing_source_keys
from headstock.local_rules.condition import Condition, both, can_hold, is_within, spans_of
from headstock.local_rules.events import STRICTNESS, Covers, DueTest, Event

BUILT_IN = Path(__file__).parent / "triggers"
NOT_FOR_USE: Final = ("second-hand", "from memory")
"""A source that nobody here has read decides nothing for a real train."""
T = TypeVar("T")


def _not_empty(parts: tuple[T, ...]) -> tuple[T, ...]:
    # Not as a length in the schema: that would find a list of one wrong thing empty as well.
    if not parts:
        raise ValueError("an empty list says nothing: at least one")
    return parts


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class Trigger(_Part):
    """One entry: after one of these events, when all conditions hold, this test is due."""

    key: str = Field(pattern=r"^[a-z][a-z0-9 ]*$", description="name of the entry, in small letters")
    after: Annotated[tuple[Event, ...], AfterValidator(_not_empty)] = Field(description="events after which it speaks, by name")
    when: tuple[Condition, ...] = Field(default=(), description="conditions that must all hold; none: always")
    test: DueTest = Field(description="which test is due")
    covers: Covers = Field(default="the whole train", description="what is tested")
    words: str = Field(min_length=3, description="what is due and why, in words")
    source: str = Field(min_length=1, description="key in `sources`; its status says how the entry is known")


class TriggerSet(_Part):
    """A whole set. What it does not name is not decided by it: silence never means that no test is due."""

    name: str = Field(min_length=1, description="whose rules these are")
    edition: str = Field(min_length=1, description="edition, which answers name")
    invented: bool = Field(description="true: made up for demonstration or training; answers say so")
    for_use: bool = Field(description="false: an example that no local rules may name; answers say so")
    lacks: tuple[str, ...] = Field(description="what the set is known to lack, in words; an example names something")
    sources: dict[str, Source] = Field(min_length=1, description="where the entries come from, by a key of one's own")
    triggers: Annotated[tuple[Trigger, ...], AfterValidator(_not_empty)] = Field(description="the entries, at least one")

    def after(self, event: str) -> tuple[Trigger, ...]:
        """Entries that speak of an event."""
        return tuple(trigger for trigger in self.triggers if event in trigger.after)


def load_trigger_set(path: Path) -> TriggerSet:
    """A trigger set from a file. Raises InputError with every fault, entries that disagree among them."""
    document = read_document(path)
    triggers = load_as(document, TriggerSet, "trigger set")
    faults = [*missing_source_keys(triggers, triggers.sources).faults(document, triggers.sources)]
    if not faults:
        faults = [*_set_faults(triggers, document), *_entry_faults(triggers, document), *_disagreements(triggers, document)]
    if faults:
        raise ContentError(sorted(faults, key=lambda fault: fault.line or 0))
    return triggers


def trigger_path(name: str, beside: Path) -> Path | None:
    """A trigger set's file by its path beside other rules, or by the name of a built-in one."""
    return next((path for path in (beside / name, BUILT_IN / f"{name}.yaml") if is_file(path)), None)


def built_in_names() -> list[str]:
    """Names of the built-in trigger sets."""
    return sorted(path.stem for path in BUILT_IN.glob("*.yaml"))


def _set_faults(triggers: TriggerSet, document: Document) -> Iterator[Fault]:
    if not triggers.for_use and not triggers.lacks:
        yield Fault("an example is never complete", document.name, document.line_of(("lacks",)), "lacks",
                    "an empty list []", "at least one thing that it lacks")  # fmt: skip


def _entry_faults(triggers: TriggerSet, document: Document) -> Iterator[Fault]:
    """Names twice, conditions that can never hold, and sources not good enough for use."""
    seen: dict[str, int] = {}
    for number, trigger in enumerate(triggers.triggers):
        path, line = f"triggers[{number}]", document.line_of(("triggers", number))
        if trigger.key in seen:
            yield Fault(f"entry {trigger.key} twice, also on line {seen[trigger.key]}", document.name, line, f"{path}.key",
                        expected="a name of its own")  # fmt: skip
        seen.setdefault(trigger.key, line)
        if not can_hold(spans_of(trigger.when)):
            yield Fault("these conditions can never hold together", document.name, line, f"{path}.when",
                        " and ".join(condition.words() for condition in trigger.when))  # fmt: skip
        status = triggers.sources[trigger.source].status
        if triggers.for_use and status in NOT_FOR_USE:
            yield Fault(f"an entry known {status} only, in a set for use", document.name, line, f"{path}.source",
                        trigger.source, "a source somebody has read, or for_use: false")  # fmt: skip


def _disagreements(triggers: TriggerSet, document: Document) -> Iterator[Fault]:
    """Pairs of entries that cannot both be meant; both are named."""
    for (first, a), (second, b) in combinations(enumerate(triggers.triggers), 2):
        events = [event for event in a.after if event in b.after]
        if events and _disagree(a, b):
            line = document.line_of(("triggers", first))
            yield Fault(
                f"entries {a.key} (line {line}: {a.test}) and {b.key} (line {document.line_of(('triggers', second))}: "
                f"{b.test}) disagree after: {', '.join(events)}",
                document.name, document.line_of(("triggers", second)), f"triggers[{second}]",
                expected="conditions that keep them apart, or the narrower one stricter",
            )  # fmt: skip


def _disagree(a: Trigger, b: Trigger) -> bool:
    """Whether two entries can both speak and ask for unlike tests, other than a narrower entry asking for more.

    Two that overlap in part may ask for a continuity and a full test: then the full one is due. None against a test may not.
    """
    if a.covers != b.covers or a.test == b.test or not {a.test, b.test} <= STRICTNESS.keys():
        return False
    mild, strict = (spans_of(t.when) for t in sorted((a, b), key=lambda trigger: STRICTNESS[trigger.test]))
    if not can_hold(both(mild, strict)):
        return False
    if is_within(mild, strict):
        return True
    return "none" in (a.test, b.test) and not is_within(strict, mild)
