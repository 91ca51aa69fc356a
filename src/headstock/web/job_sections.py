"""The parts of a job's page that take work: what each asks, how it is shown, and whether it is ready."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from headstock.sheets.blocks import blocks_of
from headstock.sheets.compose import gauge_seen, sheet_of
from headstock.sheets.content import Block, DetailLine, JobSheetContent
from headstock.sheets.forecast_chart import forecast_chart
from headstock.sheets.forecast_svg import forecast_svg
from headstock.sheets.forecast_words import forecast_data
from headstock.sheets.pair_words import pair_words
from headstock.sheets.svg import role_svg
from headstock.usecases.can_sections import can_sections
from headstock.usecases.can_words import CAN_CAUTIONS
from headstock.usecases.forecast_moments import forecast_moments
from headstock.usecases.job_mistakes import MISTAKE_CAUTION
from headstock.usecases.mistake_sections import count_words, mistake_sections
from headstock.usecases.plan_job import JobPlan
from headstock.usecases.stop_lines import HOW
from headstock.web.drawings.ink import on_page
from headstock.web.drawings.ribbon import along_train
from headstock.web.job_answers import JobAnswers
from headstock.web.job_view import join_now
from headstock.web.work_in_hand import Tell

NO_ORDER = {"no": "No order of work", "not found": "No order of work found", "outside the model": "Not planned here"}
ROOMY_MM, WHOLE = 1e9, (100_000,)
"""A page has room for all that is said of a block."""
TOP = 12
Content = dict[str, Any]


@dataclass(frozen=True)
class Section:
    """A part of the page: its heading, template, what is worked out for it (None: nothing long) and how that is shown."""

    heading: str
    template: str
    works: str
    asks: Callable[[JobAnswers, Tell | None], object] | None
    shows: Callable[[JobAnswers, int], Content]
    kept_as: str = ""
    on_request: bool = False
    """Work that takes longer is begun only when somebody asks for it."""

    def is_ready(self, of_job: JobAnswers) -> bool:
        """Whether it can be shown without work."""
        return not self.kept_as or of_job.answers.is_kept(self.kept_as, of_job.job.digest)


def section_content(of_job: JobAnswers, name: str, block: int) -> Content:
    """What a part shows, once it is ready."""
    section = SECTIONS[name]
    if name == "order":
        return section.shows(of_job, block)
    plan = "planned" if of_job.kept_plan() is not None else "not planned"
    return of_job.answers.kept((f"{name} shown", of_job.job.digest, plan), lambda: section.shows(of_job, block))


def _joined(of_job: JobAnswers, _: int) -> Content:
    read = of_job.read()
    joint = read.train.joint_to_make
    words = pair_words(join_now(of_job), str(joint.first), str(joint.second))
    return {"words": words, "parts": read.papers.job.work == "detach"}


@dataclass(frozen=True, slots=True)
class BlockShown:
    """A block of the order with its roles on their strings and its lines."""

    block: Block
    roles: str
    lines: tuple[DetailLine, ...]
    cautions: tuple[str, ...]


def _order(of_job: JobAnswers, block: int) -> Content:
    plan = of_job.plan()
    if plan.answer != "yes" or plan.order is None:
        return {"plan": plan, "no_order": NO_ORDER.get(plan.answer, ""), "sheet": None}
    sheet, blocks = of_job.answers.kept(("order shown", of_job.job.digest), lambda: _blocks(plan))
    lamp = min(block, len(blocks))
    done = blocks[lamp - 1].lines[0].number - 1
    # The same words as on paper, but a page has no back and needs no command.
    cautions = tuple(one.replace("(see back)", "(see Tests due, below the order)") for one in sheet.cautions)
    note = sheet.plan_note.replace(HOW, "The way from any line: Stop, make safe.")
    return {"plan": plan, "no_order": "", "sheet": sheet, "blocks": blocks, "lamp": lamp, "done": done, "cautions": cautions,
            "plan_note": note}  # fmt: skip


def _blocks(plan: JobPlan) -> tuple[JobSheetContent, tuple[BlockShown, ...]]:
    sheet, task, order = sheet_of(plan), plan.assembled.task, plan.order
    assert task is not None and order is not None
    letters = [person.letter for person in sheet.people]
    charge = {person.letter for person in sheet.people if person.in_charge}
    return sheet, tuple(_shown(block, sheet, letters, charge) for block in blocks_of(task, order.steps, ROOMY_MM, WHOLE))


def _shown(block: Block, sheet: JobSheetContent, letters: list[str], charge: set[str]) -> BlockShown:
    marks = [(letter, "acts", letter in charge) for letter in block.acts]
    marks += [(letter, "hears", letter in charge) for letter in block.hears]
    lines = tuple(line for line in sheet.detail if line.block == block.number)
    cautions = tuple(dict.fromkeys(line.caution for line in lines if line.caution))
    return BlockShown(block, on_page(role_svg(marks, block.arrows, letters)), lines, cautions)


def _forecast(of_job: JobAnswers, _: int) -> Content:
    forecast, plan = of_job.forecast(), of_job.plan()
    task = plan.assembled.task
    if forecast is None or task is None:
        return {"chart": None, "reasons": plan.reasons}
    chart = forecast_chart(forecast, task.rules.pressure_unit, gauge_seen(task, task.controls), gauge_seen(task, task.rear_cab))
    moments = forecast_moments(forecast, task.rules)
    ribbons = [on_page(along_train(moment.front_bar, moment.rear_bar)) for moment in moments]
    return {"chart": on_page(forecast_svg(chart)), "data": forecast_data(chart), "method": plan.papers.method.name, "reasons": (),
            "moments": list(zip(moments, ribbons, strict=True)), "unit": task.rules.pressure_unit,
            "cannot_show": plan.papers.method.cannot_show}  # fmt: skip


def _can(of_job: JobAnswers, _: int) -> Content:
    can = of_job.can()
    return {"can": can, "parts": can_sections(can), "cautions": CAN_CAUTIONS}


def _mistakes(of_job: JobAnswers, _: int) -> Content:
    found = of_job.mistakes()
    if found.going is None:
        return {"found": found, "rows": (), "counts": (), "caution": MISTAKE_CAUTION}
    return {"found": found, "rows": mistake_sections(found, TOP), "counts": count_words(found), "caution": MISTAKE_CAUTION}


SECTIONS = {
    "joined": Section("Can it be joined", "job_joined.html", "", None, _joined),
    "order": Section("Order of work", "job_order.html", "Working out the order of work", JobAnswers.plan, _order, "plan"),
    "forecast": Section("What the gauges will show", "job_forecast.html", "Reckoning the brake test", JobAnswers.forecast,
                        _forecast, "forecast"),
    "can": Section("What it can do", "job_can.html", "Reckoning what the train can do", JobAnswers.can, _can, "can", True),
    "mistakes": Section("Mistakes that matter", "job_mistakes.html", "Following each mistake to its end", JobAnswers.mistakes,
                        _mistakes, "mistakes", True),
}  # fmt: skip
