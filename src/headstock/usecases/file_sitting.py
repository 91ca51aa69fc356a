"""A sitting that is over, as an entry of the records: who took which role, what was marked, without a score."""

from __future__ import annotations

from headstock.base.errors import Fault, InputError
from headstock.practice.marking import Mark
from headstock.practice.sitting import Sitting
from headstock.usecases.record_practice import SittingGiven, sitting_to_file
from headstock.usecases.records_port import Draft


def sitting_key(code: str, began: str) -> str:
    """The key under which a sitting is on record."""
    return f"sitting:{code}:{began}"


def sat_draft(sitting: Sitting, mark: Mark, code: str, began: str, led_by: str) -> Draft:
    """Its entry. Raises InputError with every reason why it cannot be put on record yet."""
    check_over(sitting)
    exercise = sitting.exercise
    people = tuple((name, role) for role, name in sitting.people.items() if name)
    units = tuple(unit.name for unit in exercise.task.train.units)
    given = SittingGiven(f"{exercise.title}, sitting {code}", led_by, people, outcome_words(mark), units, began,
                         key=sitting_key(code, began))  # fmt: skip
    return sitting_to_file(given)


def check_over(sitting: Sitting) -> None:
    """Raises InputError while a sitting goes on."""
    if not sitting.is_over:
        fault = Fault("the sitting goes on", found="not over", expected="a sitting that the trainer has ended, or that is done")
        raise InputError(fault, cure="End it on the trainer's sheet.")


def outcome_words(mark: Mark) -> str:
    """Both marks of the people and what they found, in words; apart from it what the computer's colleagues did."""
    safe = "nothing unsafe was done" if mark.is_safe else f"unsafe: {len(mark.unsafe) or len(mark.missing_at_the_end)} things"
    asked = "line by line as instructed" if mark.is_as_instructed else "not as instructed"
    found = sum(was_found for _, was_found in mark.hidden)
    hidden = f"; {found} of {len(mark.hidden)} hidden things found" if mark.hidden else ""
    others = len(mark.colleagues.unsafe) + len(mark.colleagues.slips)
    apart = f"; apart from it {others} things by colleagues whom the computer played" if others else ""
    return f"{safe}; {asked}{'' if mark.is_finished else ', not finished'}{hidden}{apart}"
