"""Somebody asks to put a brake test on record. It is filed as it was judged, or refused with every reason; never judged anew.

A test outside its limits, not finished or void is filed too: what happened stays. What cannot have been so is refused.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

from headstock.base.errors import Fault, InputError
from headstock.equipment.library import Fleet
from headstock.usecases.job_file import job_path
from headstock.usecases.judge_readings import JudgedReadings, ReadRecorder, judge_readings
from headstock.usecases.moments import A_DAY_S, EARLIEST_S, day_s, latest_anywhere_s, moment_text
from headstock.usecases.people_file import PeopleFile, load_people
from headstock.usecases.record_terms import terms_of, word_terms
from headstock.usecases.records_port import Draft
from headstock.usecases.test_as_filed import filed_body

NOBODY_LOOKED = "nobody looked whether the people were in date: no list was given"


@dataclass(frozen=True, slots=True)
class Filing:
    """What is asked with the readings file: its day where times have none, a list of people, a key, what it corrects."""

    day: str | None = None
    people: Path | None = None
    key: str | None = None
    corrects: str | None = None


@dataclass(frozen=True, slots=True)
class TestFiling:
    """The test as it would be filed, or why not."""

    __test__ = False

    judged: JudgedReadings
    refused: tuple[str, ...]
    draft: Draft | None


def filing_of(path: Path, fleet: Fleet, read_recorder: ReadRecorder, asked: Filing) -> TestFiling:
    """Judge a readings file and make an entry of it. Raises InputError for one that cannot be meant."""
    judged = judge_readings(path, fleet, read_recorder)
    people = load_people(asked.people) if asked.people is not None else None
    refused = [f"line {one.line}: {one.what}. {one.cure}" if one.line else f"{one.what}. {one.cure}"
               for one in judged.judgement.refusals]  # fmt: skip
    shift_s, why = _shift_s(judged, asked.day)
    refused += why
    if why:
        return TestFiling(judged, tuple(refused), None)
    refused += _of_times_and_people(judged, shift_s, people)
    if refused:
        return TestFiling(judged, tuple(refused), None)
    return TestFiling(judged, (), _draft(path, judged, shift_s, people, asked))


def _shift_s(judged: JudgedReadings, day: str | None) -> tuple[float, list[str]]:
    """What is to be added to the record's times to get moments [s], or why that is not known."""
    is_dated = judged.record.entries[0].when_s >= EARLIEST_S
    if is_dated and day is not None:
        return 0.0, ["the times carry dates already: leave --date away"]
    if is_dated:
        return 0.0, []
    if day is None:
        return 0.0, ["the times carry no date, and nobody can tell what was touched since: give --date YYYY-MM-DD"]
    return day_s(day, "--date"), []


def _of_times_and_people(judged: JudgedReadings, shift_s: float, people: PeopleFile | None) -> Iterator[str]:
    entries = judged.record.entries
    ended_s = max(entry.when_s for entry in entries) + shift_s
    if ended_s > latest_anywhere_s():
        yield f"the test ended at {moment_text(ended_s)}, which no clock on earth shows yet"
    if people is not None:
        day = date.fromordinal(int((entries[0].when_s + shift_s) // A_DAY_S))
        yield from people.why_not((entry.who for entry in entries), day)


def _draft(path: Path, judged: JudgedReadings, shift_s: float, people: PeopleFile | None, asked: Filing) -> Draft:
    body: dict[str, Any] = filed_body(judged, shift_s)
    body["file_sha256"] = hashlib.sha256(path.read_bytes()).hexdigest()
    body["job_sha256"] = _digest_of_job(path, judged.job)
    body["people_list"] = f"{people.title}, edition {people.edition}" if people is not None else None
    body["corrects"] = asked.corrects
    if people is None:
        body["remarks"] = [*body["remarks"], NOBODY_LOOKED]
    draft = Draft("test", asked.key or "", body["began"], (), body)
    scope = "" if judged.job is not None else f"{_scope(draft)}/"
    draft = replace(draft, key=asked.key or f"test:{_scope(draft)}")
    body["scope"] = scope
    terms = ["kind:test", *body["units"], f"verdict:{body['verdict']}", *word_terms(body["title"], body["method"]["name"])]
    terms += [term for who in {entry["who"] for entry in body["readings"]} for term in word_terms(who)]
    terms += [f"path:{scope}{device}" for device in (body["path"] or {"devices": []})["devices"]]
    terms += [f"about:{asked.corrects}"] if asked.corrects else []
    return replace(draft, terms=terms_of(terms))


def _scope(draft: Draft) -> str:
    """The same test has the same key, whoever sends it and however often."""
    said = repr((draft.at, draft.body["file_sha256"], draft.body["job_sha256"], draft.body["method"], draft.body["corrects"]))
    return hashlib.sha256(said.encode()).hexdigest()[:24]


def _digest_of_job(path: Path, job: str | None) -> str | None:
    if job is None:
        return None
    try:
        return hashlib.sha256(job_path(job, path.parent).read_bytes()).hexdigest()
    except OSError as error:
        raise InputError(Fault("the job cannot be read", job, found=error.strerror or str(error))) from None
