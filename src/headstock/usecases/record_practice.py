"""Sittings of exercises, papers and competence as entries: who practised what, what was marked, who was signed off by whom.

A drill is not a sign-off: competence is what a named assessor saw on real units. It is refused without that.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, get_args

from headstock.base.errors import Fault, InputError
from headstock.base.nearest import nearest_of
from headstock.usecases.job_file import CrewRole
from headstock.usecases.moments import day_s, kept_day, latest_anywhere_s
from headstock.usecases.record_notes import digest_of_file, entry_named, key_of, moment_given
from headstock.usecases.record_terms import name_key, terms_of, word_terms
from headstock.usecases.records_port import Draft, Records

ROLES: Final[tuple[str, ...]] = get_args(CrewRole)
DRILL_CAUTION: Final = "A drill is not a sign-off: that is a named assessor watching real units."


@dataclass(frozen=True, slots=True)
class SittingGiven:
    """One time an exercise was done; ``people``: name and role of each; ``file``: its course, whose digest is kept."""

    exercise: str
    led_by: str
    people: tuple[tuple[str, str], ...]
    outcome: str
    units: tuple[str, ...] = ()
    when: str | None = None
    file: Path | None = None
    key: str | None = None


@dataclass(frozen=True, slots=True)
class PaperGiven:
    """A question paper that somebody wrote, and its marking."""

    title: str
    person: str
    marked_by: str
    points: int
    out_of: int
    when: str | None = None
    file: Path | None = None
    key: str | None = None


@dataclass(frozen=True, slots=True)
class CompetenceGiven:
    """What an assessor signs somebody off for, from a day until a day; ``watched``: on which real units, where and when."""

    person: str
    role: str
    units: tuple[str, ...]
    place: str
    since: str
    until: str
    assessor: str
    watched: str
    about: tuple[str, ...] = ()
    when: str | None = None
    key: str | None = None


def sitting_to_file(given: SittingGiven) -> Draft:
    """The entry of a sitting. Raises InputError with every reason why it cannot have been."""
    faults = [*_empty(("EXERCISE", given.exercise), ("--led-by", given.led_by), ("--outcome", given.outcome))]
    if not given.people:
        faults.append(Fault("nobody sat the exercise", path="--person", found="nobody", expected="NAME=ROLE, once for each"))
    faults += [Fault("name or role is missing", path="--person", found=f"{name}={role}", expected="NAME=ROLE")
               for name, role in given.people if not (name.strip() and role.strip())]  # fmt: skip
    faults += [fault for name, role in given.people if name.strip() and role.strip() for fault in _wrong_role(name, role)]
    _raise(faults)
    at = moment_given(given.when)
    body = {"text": f"{given.exercise}: {given.outcome}", "exercise": given.exercise, "who": given.led_by, "when": at,
            "people": [{"name": name, "role": role} for name, role in given.people], "outcome": given.outcome,
            "units": list(given.units), "file_sha256": digest_of_file(given.file)}  # fmt: skip
    names = [name for name, _ in given.people]
    terms = [*given.units, *word_terms(given.exercise, given.led_by, *names), *(f"person:{name}" for name in names)]
    return _draft("sitting", at, body, terms, given.key)


def paper_to_file(given: PaperGiven) -> Draft:
    """The entry of a paper. Raises InputError with every reason why it cannot have been."""
    faults = [*_empty(("TITLE", given.title), ("--person", given.person), ("--marked-by", given.marked_by))]
    if not (given.out_of > 0 and 0 <= given.points <= given.out_of):
        faults.append(Fault("more or fewer points than there are", path="--points", found=f"{given.points} of {given.out_of}",
                            expected="0 to all of them"))  # fmt: skip
    if name_key(given.person) == name_key(given.marked_by):
        faults.append(Fault("nobody marks their own paper", path="--marked-by", found=given.marked_by, expected="somebody else"))
    _raise(faults)
    at = moment_given(given.when)
    body = {"text": f"{given.title}: {given.points} of {given.out_of}", "title": given.title, "person": given.person,
            "who": given.marked_by, "when": at, "points": given.points, "out_of": given.out_of,
            "file_sha256": digest_of_file(given.file)}  # fmt: skip
    terms = [*word_terms(given.title, given.person, given.marked_by), f"person:{given.person}"]
    return _draft("paper", at, body, terms, given.key)


def _wrong_role(name: str, role: str) -> Iterator[Fault]:
    """A role that nobody has on the ground; a name given in its place is what happens."""
    if role in ROLES:
        return
    if name in ROLES:
        yield Fault("name and role are the other way round", path="--person", found=f"{name}={role}", expected=f"{role}={name}")
    else:
        yield _no_role("--person", role)


def _no_role(path: str, role: str) -> Fault:
    return Fault(
        "no such role", path=path, found=role, expected=f"{', '.join(ROLES[:-1])} or {ROLES[-1]}", nearest=nearest_of(role, ROLES)
    )


def competence_to_file(given: CompetenceGiven, records: Records, types: Collection[str] | None = None) -> Draft:
    """The entry of a sign-off; ``types``: the unit types that there are, where they are known.

    Raises InputError with every reason why it cannot have been.
    """
    faults = [*_empty(("PERSON", given.person), ("--role", given.role), ("--place", given.place), ("--assessor", given.assessor),
                      ("--watched", given.watched))]  # fmt: skip
    if not given.units:
        faults.append(Fault("for which units?", path="--unit", found="none", expected="the unit types, one or the two of a pair"))
    faults += [_no_role("--role", given.role)] if given.role.strip() and given.role not in ROLES else []
    faults += _unknown_types(given.units, types) if types is not None else []
    if name_key(given.person) == name_key(given.assessor):
        faults.append(Fault("nobody signs themselves off", path="--assessor", found=given.assessor, expected="somebody else"))
    _raise([*faults, *_wrong_days(given)])
    about = [entry_named(name, records).draft.key for name in given.about]
    at = moment_given(given.when)
    body = {"text": f"{given.person}, {given.role}: {' and '.join(given.units)} at {given.place} until {given.until}",
            "person": given.person, "role": given.role, "units": list(given.units), "place": given.place, "since": given.since,
            "until": given.until, "who": given.assessor, "watched": given.watched, "rests_on": about, "when": at}  # fmt: skip
    terms = [*given.units, *word_terms(given.person, given.assessor, given.place, given.role), f"person:{given.person}"]
    return _draft("competence", at, body, [*terms, *(f"about:{key}" for key in about)], given.key)


def _unknown_types(units: Collection[str], types: Collection[str]) -> list[Fault]:
    expected = f"one of {', '.join(sorted(types))}"
    return [Fault("no such unit type", path="--unit", found=unit, expected=expected, nearest=nearest_of(unit, types))
            for unit in units if unit not in types]  # fmt: skip


def _wrong_days(given: CompetenceGiven) -> list[Fault]:
    """What is wrong with the days of a sign-off."""
    faults: list[Fault] = []
    days_s = []
    for text, option in ((given.since, "--since"), (given.until, "--until")):
        try:
            days_s.append(day_s(text, option))
        except InputError as error:
            faults += error.faults
    if len(days_s) == 2 and days_s[1] < days_s[0]:
        faults.append(
            Fault("it would end before it begins", path="--until", found=given.until, expected=f"{given.since} or later")
        )
    if len(days_s) == 2 and days_s[0] > latest_anywhere_s():
        faults.append(Fault("nobody has seen that yet", path="--since", found=given.since, expected="a day that has been"))
    return faults


def is_good_on(body: dict[str, Any], day: str) -> bool:
    """Whether a sign-off covers a day."""
    return kept_day(str(body["since"])) <= kept_day(day) <= kept_day(str(body["until"]))


def _draft(kind: str, at: str, body: dict[str, Any], terms: list[str], key: str | None) -> Draft:
    return Draft(kind, key or key_of(kind, body), at, terms_of([f"kind:{kind}", *terms]), body)


def _empty(*fields: tuple[str, str]) -> Iterator[Fault]:
    for path, text in fields:
        if not text.strip():
            yield Fault("nothing is said", path=path, found="nothing", expected="words")


def _raise(faults: list[Fault]) -> None:
    if faults:
        raise InputError(faults)
