"""Who is signed off and in date for each role of a job: by role, unit pair, place and day; why not for the others.

It reads what named assessors signed. It gives nobody leave: that is for whoever is in charge, by the local rules.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from headstock.usecases.competence_now import CompetenceNow
from headstock.usecases.job_file import JobFile
from headstock.usecases.record_terms import name_key

SOON_DAYS = 30
"""A sign-off with so many days left, or fewer, lapses soon (common practice, no source)."""

Held = Mapping[str, Sequence[CompetenceNow]]
"""Sign-offs by whose they are."""


@dataclass(frozen=True, slots=True)
class WorkAsked:
    """What a job asks of people: its roles with the names on the job, the unit types at its joint, its place."""

    crew: tuple[tuple[str, str], ...]
    types: tuple[str, ...]
    place: str

    @property
    def pair(self) -> str:
        """The pair in words."""
        return " with ".join(self.types)


@dataclass(frozen=True, slots=True)
class PersonForRole:
    """Somebody and a role: the sign-off that covers it, the one that lasts longest; or every reason why none does."""

    person: str
    by: CompetenceNow | None
    why_not: tuple[str, ...] = ()

    @property
    def lapses_soon(self) -> bool:
        """Whether little is left of it."""
        return self.by is not None and self.by.left_days <= SOON_DAYS


@dataclass(frozen=True, slots=True)
class RoleNow:
    """A role of the job: whom the job names, who is covered, longest first, who is not."""

    role: str
    named: PersonForRole | None
    covered: tuple[PersonForRole, ...]
    others: tuple[PersonForRole, ...]


def work_of(job: JobFile, place: str) -> WorkAsked:
    """What a job asks; ``place``: the place's own name."""
    kinds = {unit.name: unit.type for unit in job.units}
    ends = next((joint.ends for joint in job.joints if joint.make or joint.part), ())
    types = tuple(sorted(kinds[name] for name in (end.rpartition("/")[0] for end in ends) if name in kinds))
    return WorkAsked(tuple(job.crew.items()), types or tuple(sorted(set(kinds.values()))), place)


def who_may(work: WorkAsked, held: Sequence[CompetenceNow], people: Iterable[str]) -> tuple[RoleNow, ...]:
    """Each role of the job and who is covered for it; ``people``: everybody on record, signed off or not."""
    names = {name_key(name): name for name in (*(str(one.filed.draft.body["person"]) for one in held), *people)}
    of_each: dict[str, list[CompetenceNow]] = {}
    for one in held:
        of_each.setdefault(name_key(one.filed.draft.body["person"]), []).append(one)
    return tuple(_role(role, named, work, of_each, names.values()) for role, named in work.crew)


def _role(role: str, named: str, work: WorkAsked, held: Held, names: Iterable[str]) -> RoleNow:
    found = [_person(name, role, work, held) for name in sorted(names)]
    covered = sorted((one for one in found if one.by is not None), key=lambda one: -one.by.left_days if one.by else 0)
    on_job = _person(named, role, work, held) if named.strip() else None
    return RoleNow(role, on_job, tuple(covered), tuple(one for one in found if one.by is None))


def _person(name: str, role: str, work: WorkAsked, held: Held) -> PersonForRole:
    own = held.get(name_key(name), ())
    lacking = [(one, tuple(_lacks(one, role, work))) for one in own]
    good = [one for one, reasons in lacking if not reasons]
    if good:
        return PersonForRole(name, max(good, key=lambda one: one.left_days))
    if not own:
        return PersonForRole(name, None, ("no sign-off on record",))
    least = min(len(reasons) for _, reasons in lacking)
    near = [f"{one.filed.code}: {'; '.join(reasons)}" for one, reasons in lacking if len(reasons) == least]
    return PersonForRole(name, None, tuple(near))


def _lacks(one: CompetenceNow, role: str, work: WorkAsked) -> Iterator[str]:
    """What of a sign-off does not fit the work."""
    body = one.filed.draft.body
    if not _is_same(body["role"], role):
        yield f"as {body['role']}, not as {role}"
    units = [str(unit) for unit in body["units"]]
    if {unit.strip().casefold() for unit in units} != {kind.casefold() for kind in work.types}:
        yield f"for {' with '.join(units)}, not for {work.pair}"
    if not _is_at(str(body["place"]), work.place):
        yield f"at {body['place']}, not at {work.place}"
    if one.state == "lapsed":
        yield f"lapsed, {body['until']} was its last day"
    elif one.state == "not yet":
        yield f"begins on {body['since']}"
    elif one.state == "corrected":
        yield "corrected since, so it does not count"


def _is_at(signed: str, place: str) -> bool:
    """A sign-off for a place covers its roads, as `Harrow Ings` does `Harrow Ings, road 3`; one for a road that road alone."""
    return _is_same(signed, place) or _is_same(signed, place.partition(",")[0])


def _is_same(one: object, other: str) -> bool:
    return name_key(one) == name_key(other)
