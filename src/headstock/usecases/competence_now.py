"""Who is in date for what, what lapses when, how often it was done lately: reckoned from what is on record.

For a supervisor who plans a turn. It never says that somebody may: that is for whoever is in charge, by the local rules.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, Final, Literal

from headstock.usecases.moments import kept_day
from headstock.usecases.record_practice import is_good_on
from headstock.usecases.record_state import MANY
from headstock.usecases.records_port import Filed, Records, Search

State = Literal["in date", "lapsed", "not yet", "corrected"]
LATELY: timedelta = timedelta(days=183)
NOT_MAY: Final = "On record; whether somebody may is for whoever is in charge, by the local rules."


@dataclass(frozen=True, slots=True)
class CompetenceNow:
    """A sign-off and how it stands; ``left_days``: until it lapses, below nothing since."""

    filed: Filed
    state: State
    left_days: int


@dataclass(frozen=True, slots=True)
class PersonNow:
    """Somebody's sign-offs, newest first, and how often they tested or practised in the last half year."""

    person: str
    competences: tuple[CompetenceNow, ...]
    tests_lately: int
    sittings_lately: int
    papers: tuple[Filed, ...]

    @property
    def is_on_record(self) -> bool:
        """Whether anything of that name was found."""
        return bool(self.competences or self.papers or self.tests_lately or self.sittings_lately)


def person_now(person: str, records: Records, day: date) -> PersonNow:
    """How somebody stands on a day. Raises StorageError."""
    words = (f"person:{person}",)
    found = records.search(Search(words, kind="competence", top=MANY))
    since = (day - LATELY).isoformat()
    tests = records.search(Search((person,), kind="test", from_day=since, to_day=day.isoformat(), top=MANY))
    sittings = records.search(Search(words, kind="sitting", from_day=since, to_day=day.isoformat(), top=MANY))
    papers = records.search(Search(words, kind="paper", top=MANY))
    return PersonNow(person, tuple(_now(filed, records, day) for filed in found), len(tests), len(sittings), papers)


def held_by_all(records: Records, day: date) -> tuple[CompetenceNow, ...]:
    """Every sign-off on record as it stands on a day, newest first. Raises StorageError."""
    found = records.search(Search(kind="competence", top=MANY))
    corrections = records.search(Search(kind="correction", top=MANY))
    corrected = {str(one.draft.body["about"]) for one in corrections}
    return tuple(_stands(filed, day, filed.draft.key in corrected) for filed in found)


def _now(filed: Filed, records: Records, day: date) -> CompetenceNow:
    about = records.search(Search((f"about:{filed.draft.key}",), kind="correction", top=1))
    return _stands(filed, day, bool(about))


def _stands(filed: Filed, day: date, is_corrected: bool) -> CompetenceNow:
    body: Mapping[str, Any] = filed.draft.body
    left_days = (kept_day(body["until"]) - day).days
    state: State = "in date" if is_good_on(dict(body), day.isoformat()) else "lapsed" if left_days < 0 else "not yet"
    return CompetenceNow(filed, "corrected" if is_corrected else state, left_days)
