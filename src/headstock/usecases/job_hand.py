"""Who has a job in hand: said on record by whoever takes it, and when it is done with. It says nothing of how far the work is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from headstock.usecases.job_book import BookedJob
from headstock.usecases.record_terms import terms_of, word_terms
from headstock.usecases.records_port import Draft, Records, Search

Hand = Literal["in hand", "done with"]
MANY = 500


@dataclass(frozen=True, slots=True)
class HandSaid:
    """The last that was said of a job: in hand or done with, by whom, when."""

    word: Hand
    who: str
    when: str


def hand_draft(job: BookedJob, word: Hand, who: str) -> Draft:
    """The entry that says so."""
    now = datetime.now().isoformat(" ", "seconds")
    said = f"{job.title}: {word}"
    body = {"text": said, "who": who, "when": now, "units": [], "about": f"job:{job.digest[:24]}", "hand": word}
    terms = ["kind:job", "hand", f"about:job:{job.digest[:24]}", *word_terms(said, who)]
    return Draft("job", f"hand:{job.digest[:24]}:{word}:{now}", now, terms_of(terms), body)


def hands(records: Records) -> Mapping[str, HandSaid]:
    """The last word on each job of which one was said, by the beginning of its digest."""
    found: dict[str, HandSaid] = {}
    for entry in records.search(Search(("hand",), kind="job", top=MANY)):
        body = entry.draft.body
        if "hand" in body:
            found.setdefault(body["about"].removeprefix("job:"), HandSaid(body["hand"], body["who"], entry.draft.at))
    return found


def hand_of(job: BookedJob, said: Mapping[str, HandSaid]) -> HandSaid | None:
    """What was said of one job; None while it is planned only."""
    return said.get(job.digest[:24])
