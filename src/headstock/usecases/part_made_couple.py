"""Somebody stands before a couple that is not as it should be: which states explain it, what tells them apart, what to do?

Asked of signs by name, or of a job that says what was found. It never says that a couple may be used.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from headstock.base.errors import Fault, InputError
from headstock.base.nearest import nearest_of
from headstock.capability.automatic_couple import AUTOMATIC
from headstock.capability.couple_signs import CoupleAnswer, CoupleFamily, explain_couple, signs_from
from headstock.capability.couples_by_hand import FAMILIES
from headstock.usecases.job_file import JobFile, load_job

LAST = {"attach": "joining", "detach": "parting"}


def part_made_couple(family: str | None, signs: Sequence[str], job: Path | None) -> CoupleAnswer:
    """What explains the signs, those of a job first. Raises InputError."""
    known = family_named(family or AUTOMATIC.name)
    seen: dict[str, str] = {}
    if job is not None:
        if known is not AUTOMATIC:
            raise InputError(Fault("a job says signs of automatic couplers alone", found=known.name, expected=AUTOMATIC.name))
        seen |= signs_of(load_job(job).job)
    return explain_couple(known, {**seen, **signs_from(signs, known)})


def family_named(name: str) -> CoupleFamily:
    """A family of couples by its name."""
    if name not in FAMILIES:
        fault = Fault("no such kind of couple", found=name, expected=", ".join(FAMILIES), nearest=nearest_of(name, FAMILIES))
        raise InputError(fault)
    return FAMILIES[name]


def signs_of(job: JobFile) -> dict[str, str]:
    """What a job says was seen of its couple, and what was being done."""
    if job.couple_as_found is None:
        return {}
    said = {sign.replace("_", " "): value for sign, value in job.couple_as_found.signs.model_dump(exclude_none=True).items()}
    wires = {"wires": "wired brake, doors, display"}
    return {"last done": LAST[job.work], **{wires.get(sign, sign): value for sign, value in said.items()}}
