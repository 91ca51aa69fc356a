"""An engineer asks for a report of a study: pictures, tables, what was counted, by what, and what it does not speak of.

It is about tests on a model. It never says that a method or a limit may be used.
"""

from __future__ import annotations

from typing import Final

from headstock.usecases.standing_caution import STANDING_CAUTION
from headstock.usecases.study_questions import Kind
from headstock.usecases.study_report_drawn import drawn_tests_parts
from headstock.usecases.study_report_mistakes import mistakes_parts
from headstock.usecases.study_report_parts import Ask, StudyReport

NO_LEAVE: Final = "It gives no leave to change a limit or a method: the local rules decide, and whoever answers for them."

MODEL: Final[dict[Kind, str]] = {"drawn tests": "Tests on a model", "mistakes": "Mistakes on a model"}


def study_report(ask: Ask, kind: Kind) -> StudyReport:
    """The report of a folder of results of a kind of study. Raises InputError as its questions do."""
    parts = drawn_tests_parts(ask) if kind == "drawn tests" else mistakes_parts(ask)
    answer, said = parts.about, parts.about.study
    cautions = [STANDING_CAUTION, *parts.what_it_is, NO_LEAVE]
    if answer.parts != said["parts"]:
        cautions.append(f"Only {answer.parts} of {said['parts']} parts are worked out: figures will change.")
    return StudyReport(
        title=said["name"], subtitle=f"Report of a study, edition {said['edition']}",
        invented="Invented for demonstration." if said["invented"] else "",
        cautions=tuple(cautions), counts=parts.counts, versions=parts.versions, sections=parts.sections,
        not_covered=parts.not_covered,
        foot=f"{said['name']}, edition {said['edition']}{' (invented)' if said['invented'] else ''}. Headstock "
             f"{said['headstock']}. {MODEL[kind]}; local rules decide.",
        is_whole=answer.parts == said["parts"],
    )  # fmt: skip
