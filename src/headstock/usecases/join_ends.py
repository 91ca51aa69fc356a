"""Anybody asks: can these two ends be joined? Answered with every way and every reason; never with leave to do it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from headstock.base.errors import Fault, InputError
from headstock.base.nearest import nearest_of
from headstock.equipment.library import Fleet
from headstock.formation.joinability import JoinResult, TypeEnd, can_be_joined
from headstock.local_rules.rules import LocalRules
from headstock.usecases.job_file import JobPapers, load_job, load_rules_named
from headstock.usecases.standing_caution import invented_words
from headstock.usecases.track_given import TrackGiven


@dataclass(frozen=True, slots=True)
class PairAnswer:
    """Two ends in the order asked, the answer, and what it was computed with."""

    ends: tuple[TypeEnd, TypeEnd]
    join: JoinResult
    rules: LocalRules
    track: TrackGiven

    @property
    def invented(self) -> str:
        """What of it is made up for demonstration, in words; "" for nothing."""
        places = [self.track.place.invented] if self.track.place is not None else []
        return invented_words([self.rules.invented, *(end.unit_type.invented for end in self.ends), *places])


def join_ends(first: str, second: str, fleet: Fleet, rules_name: str, job: Path | None = None,
              track: TrackGiven | None = None) -> PairAnswer:  # fmt: skip
    """The answer for ``TYPE/1`` and ``TYPE/2``, or for ``UNIT/1`` and ``UNIT/2`` of a job, then at the job's place."""
    papers = load_job(job) if job is not None else None
    rules: LocalRules = papers.rules if papers is not None else load_rules_named(rules_name)
    ends = (_end(first, fleet, papers), _end(second, fleet, papers))
    if ends[0].name == ends[1].name and papers is not None:
        raise InputError(Fault("a unit end cannot be joined to itself", found=first, expected="two different ends"))
    where = track or TrackGiven()
    if papers is not None and where == TrackGiven():
        where = TrackGiven(papers.place.curve_at_joint, papers.place)
    return PairAnswer(ends, can_be_joined(ends[0], ends[1], rules, where.curve), rules, where)


def _end(text: str, fleet: Fleet, papers: JobPapers | None) -> TypeEnd:
    name, slash, end = text.rpartition("/")
    form = "UNIT/1 or UNIT/2" if papers is not None else "TYPE/1 or TYPE/2"
    if not slash or end not in ("1", "2"):
        raise InputError(Fault("not a unit end", found=text, expected=form), cure="Write the end after a slash.")
    if papers is None:
        return TypeEnd(text, fleet.find(name), end)
    units = {unit.name: unit.type for unit in papers.job.units}
    if name not in units:
        raise InputError(Fault("unknown unit", found=name, expected=", ".join(units), nearest=nearest_of(name, units)))
    return TypeEnd(text, fleet.find(units[name]), end)
