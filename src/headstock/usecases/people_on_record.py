"""Everybody on record: what they hold, what lapses next, how often they did it lately; the class of an instructor; who left.

Names are those that records write; large and small letters are one.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from headstock.base.errors import Fault, InputError
from headstock.usecases.competence_now import LATELY, CompetenceNow, held_by_all
from headstock.usecases.record_state import MANY
from headstock.usecases.record_terms import name_key, terms_of
from headstock.usecases.records_port import Draft, Filed, Records, Search


@dataclass(frozen=True, slots=True)
class PersonLine:
    """Somebody in the list; ``held``: sign-offs that are in date or yet to begin, the first to lapse first."""

    person: str
    held: tuple[CompetenceNow, ...]
    lapsed: int
    tests_lately: int
    sittings_lately: int


@dataclass(frozen=True, slots=True)
class PeopleNow:
    """Everybody on record who was not taken off, by name; all their sign-offs."""

    lines: tuple[PersonLine, ...]
    held: tuple[CompetenceNow, ...]


def people_now(records: Records, day: date) -> PeopleNow:
    """Everybody as they stand on a day. Raises StorageError."""
    gone = left(records)
    held = tuple(one for one in held_by_all(records, day) if name_key(one.filed.draft.body["person"]) not in gone)
    since = (day - LATELY).isoformat()
    tests = _counted(_of("test", records, since, day.isoformat()))
    sittings = _counted(_of("sitting", records, since, day.isoformat()))
    papers, earlier = _of("paper", records), _of("sitting", records)
    names: dict[str, str] = {}
    for name in (*(str(one.filed.draft.body["person"]) for one in held), *_names((*papers, *earlier)), *tests[1]):
        names.setdefault(name_key(name), name)
    of_each: dict[str, list[CompetenceNow]] = {}
    for one in held:
        of_each.setdefault(name_key(one.filed.draft.body["person"]), []).append(one)
    lines = (_line(name, of_each.get(key, ()), tests[0][key], sittings[0][key])
             for key, name in sorted(names.items()) if key not in gone)  # fmt: skip
    return PeopleNow(tuple(lines), held)


def class_of(instructor: str, records: Records) -> frozenset[str]:
    """Keys of those whom an instructor led in a sitting, marked, or signed off. Raises StorageError."""
    found = [one for kind in ("sitting", "paper", "competence") for one in records.search(Search((instructor,), kind, top=MANY))]
    own = (one for one in found if name_key(one.draft.body["who"]) == name_key(instructor))
    return frozenset(name_key(name) for name in _names(own))


def is_of(name: str, keys: Iterable[str]) -> bool:
    """Whether somebody is among those keys."""
    return name_key(name) in keys


def on_record_about(person: str, records: Records) -> tuple[Filed, ...]:
    """Every entry that has somebody's name in it, job files and traces too, in order. Raises StorageError."""
    name = re.compile(rf"(?<!\w){re.escape(name_key(person))}(?!\w)")
    return tuple(filed for filed in records.every() if any(map(name.search, _texts(filed.draft.body))))


def evidence_of(person: str, records: Records, top: int) -> tuple[Filed, ...]:
    """The newest sittings, papers and tests of somebody, newest first. Raises StorageError."""
    found = [one for kind, word in (("sitting", f"person:{person}"), ("paper", f"person:{person}"), ("test", person))
             for one in records.search(Search((word,), kind, top=top))]  # fmt: skip
    return tuple(sorted(found, key=lambda one: one.draft.at, reverse=True)[:top])


def left_draft(person: str, who: str, why: str) -> Draft:
    """The entry that takes somebody off the lists. Raises InputError with every reason."""
    faults = [Fault("nothing is said", path=path, found="nothing", expected="words")
              for path, text in (("person", person), ("who", who), ("why", why)) if not text.strip()]  # fmt: skip
    if faults:
        raise InputError(faults)
    now = datetime.now().isoformat(" ", "seconds")
    body = {"text": f"{person.strip()} is taken off the lists of people", "person": person.strip(), "who": who.strip(),
            "why": why.strip(), "when": now}  # fmt: skip
    return Draft("person", f"left:{name_key(person)}:{now}", now, terms_of(["kind:person", f"person:{person.strip()}"]), body)


def left(records: Records) -> frozenset[str]:
    """Keys of those taken off who were not signed off again since. Raises StorageError."""
    gone = {name_key(one.draft.body["person"]): one.seq for one in reversed(records.search(Search(kind="person", top=MANY)))}
    if gone:
        for one in records.search(Search(kind="competence", top=MANY)):
            key = name_key(one.draft.body["person"])
            if one.seq > gone.get(key, one.seq):
                gone.pop(key)
    return frozenset(gone)


def _line(name: str, own: Sequence[CompetenceNow], tests: int, sittings: int) -> PersonLine:
    standing = sorted((one for one in own if one.state in ("in date", "not yet")), key=lambda one: one.left_days)
    return PersonLine(name, tuple(standing), sum(one.state == "lapsed" for one in own), tests, sittings)


def _of(kind: str, records: Records, from_day: str = "", to_day: str = "") -> tuple[Filed, ...]:
    return records.search(Search((), kind, from_day, to_day, MANY))


def _counted(entries: Iterable[Filed]) -> tuple[Counter[str], list[str]]:
    """How many of the entries somebody is in, by key; their names."""
    count: Counter[str] = Counter()
    names: list[str] = []
    for entry in entries:
        here = list(_names([entry]))
        names += here
        count.update({name_key(name) for name in here})
    return count, names


def _names(entries: Iterable[Filed]) -> Iterator[str]:
    """Whom entries of tests, sittings, papers and sign-offs are about."""
    for entry in entries:
        body = entry.draft.body
        if entry.draft.kind == "sitting":
            yield from (str(one["name"]) for one in body["people"])
        elif entry.draft.kind == "test":
            yield from (str(one["who"]) for one in body["readings"])
        else:
            yield str(body["person"])


def _texts(value: Any) -> Iterator[str]:
    """All texts in a body, as keys."""
    if isinstance(value, str):
        yield name_key(value)
    elif isinstance(value, dict | list | tuple):
        for one in value.values() if isinstance(value, dict) else value:
            yield from _texts(one)
