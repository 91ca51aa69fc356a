"""A job made for two ends that come together: what a form offers at first, everything else left as the unit types say."""

from __future__ import annotations

from dataclasses import dataclass

from headstock.base.documents import document_from_text
from headstock.base.located import Document
from headstock.equipment.library import Fleet
from headstock.usecases.job_form import JobForm, UnitGiven, form_text, train_of_form, with_first_choices
from headstock.usecases.left_boxes import left_of

MOVES, STANDS = "A1", "B2"
"""Names of the two units."""
PEOPLE = {"driver": "A. Ner", "shunter": "B. Holt", "guard": "C. Yard"}
"""Made-up names; no answer hangs on them."""


@dataclass(frozen=True, slots=True)
class JobMade:
    """What a job is made from: the end that moves and the one that stands, place, rules, method, who is there."""

    moving: str
    standing: str
    place: str
    local_rules: str
    method: str
    crew: tuple[str, ...]
    invented: bool


def made_job(made: JobMade, fleet: Fleet) -> Document:
    """The job as its file would be read. Raises ValueError for ends that the fleet has not."""
    (one, end), (other, other_end) = (name.split("/") for name in (made.moving, made.standing))
    values = {"work": "attach", "place": made.place, "local_rules": made.local_rules, "method": made.method}
    units = (UnitGiven(MOVES, one, end == "1"), UnitGiven(STANDS, other, other_end == "2"))
    boards = dict.fromkeys((MOVES, STANDS), made.crew[-1])
    form = JobForm(values, units, {}, {role: PEOPLE[role] for role in made.crew}, boards)
    train = train_of_form(form, fleet)
    if train is None:
        raise ValueError("; ".join(text for texts in form.faults.values() for text in texts))
    with_first_choices(form, train)
    text = form_text(form, train, left_of(train, "attach"), made.invented)
    return document_from_text(text, f"{made.moving} with {made.standing}")
