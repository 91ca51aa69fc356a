"""The report of a study of mistakes: pairs of units one mistake from harm, what nobody notices, how late the rest is noticed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import groupby
from typing import Any

from headstock.usecases.job_mistakes import MISTAKE_CAUTION
from headstock.usecases.study_drawings import Bar, BarRow, Bars
from headstock.usecases.study_questions import SOON, WHAT_MISTAKES_ARE, StudyAnswer
from headstock.usecases.study_report_parts import Ask, ReportParts, ReportSection, drawings_of, rows_of, share_text, table_of

Pairs = tuple[tuple[str, str], ...]
Row = dict[str, Any]
WORST = 20
"""So many pairs, and so many mistakes, are drawn."""
NOT_COVERED = (
    "Two mistakes in one job: headstock mistakes --pairs asks that of one job.",
    "Mistakes with things that the order of work does not name, and what people make of an order that fits badly.",
    "Detaching, rescues, trains of more than two units, ends left otherwise than the unit types say.",
    "Any other place, method or crew than the study names; how often mistakes happen: nobody has counted.",
)
PLAUSIBLE = "Plausible: rank 2 or 3 of 3 in the list of ranks."

LATE = "Lines of the order from where it first goes wrong. At once: at the same line or the next. Harmless: nothing comes of it."


def mistakes_parts(ask: Ask) -> ReportParts:
    """What such a study has to say. Raises InputError as its questions do."""
    pairs, unnoticed, late = (ask(name) for name in ("unit-pairs", "unnoticed", "how-late"))
    able = [row for row in rows_of(pairs) if row["mistakes"]]
    sections = (_pairs(rows_of(pairs), able), _unnoticed(unnoticed, len(able)), _late(late))
    return ReportParts(sections, _counts(pairs, able), _versions(pairs), NOT_COVERED, (WHAT_MISTAKES_ARE, MISTAKE_CAUTION), pairs)


def _pairs(rows: Sequence[Row], able: Sequence[Row]) -> ReportSection:
    says = []
    if able:
        near = [row for row in able if row["one_from_harm"]]
        says.append(
            f"{len(near)} of {len(able)} jobs are one plausible mistake from harm: a rule is broken before anybody notices."
        )
        worst = able[0]
        says.append(f"Most of them that nobody notices at all: {_job(worst)}, {worst['harm_unnoticed']} mistakes.")
    if len(able) < len(rows):
        answers = Counter(row["answer"] for row in rows if not row["mistakes"])
        said = ", ".join(f"{name}: {count}" for name, count in sorted(answers.items()))
        says.append(
            f"{len(rows) - len(able)} of {len(rows)} jobs have no order of work ({said}): nothing is said of mistakes in them."
        )
    if len(able) > WORST:
        says.append(f"Drawn are the worst {WORST} of {len(able)}.")
    drawn = tuple(
        BarRow(_job(row), (_of(row, "harm_unnoticed", "plausible"), _of(row, "one_from_harm", "plausible")))
        for row in able[:WORST]
    )
    key = f"Share of the plausible mistakes of a job; figures: how many mistakes. Worst first. {PLAUSIBLE}"
    counts = ("mistakes", "plausible", "one_from_harm", "harm_unnoticed", "by_nobody")
    table = table_of(
        ("moves", "stands", "local rules", "mistakes", "plausible", "rule broken first", "and nobody notices",
         "not noticed at all"),
        [(row["moving"], row["standing"], row["local_rules"], *(f"{row[name]:,}" for name in counts)) for row in able],
    )  # fmt: skip
    bars = Bars(("a rule is broken and nobody notices", "a rule is broken before anybody notices"), drawn, key, " ".join(says))
    return ReportSection("unit-pairs", "Units one mistake from harm", tuple(says), drawings_of(bars), table,
                         f"Not noticed at all: of all mistakes, the others of plausible ones. {PLAUSIBLE}")  # fmt: skip


def _job(row: Row) -> str:
    return f"{row['moving']} with {row['standing']}, {row['local_rules']}"


def _of(row: Row, name: str, whole: str) -> Bar:
    return Bar(row[name] / row[whole] if row[whole] else 0.0, f"{row[name]:,}")


def _unnoticed(answer: StudyAnswer, jobs: int) -> ReportSection:
    rows = rows_of(answer)
    plausible = [row for row in rows if row["plausibility"] == max(one["plausibility"] for one in rows)]
    says = ["Every mistake is noticed or harmless."]
    if rows:
        says = [f"{len(rows):,} sorts of mistake (at which step, how) go unnoticed in one job or more, {len(plausible):,} of "
                f"them of the highest rank; drawn are the first {min(WORST, len(rows))}."]  # fmt: skip
    drawn = tuple(BarRow(_mistake(row), (Bar(row["jobs"] / jobs, f"{row['jobs']:,}"),)) for row in rows[:WORST])
    table = table_of(
        ("mistake", "who", "step", "jobs", "rank", "into service", "breaks a rule", "how it hurts, what is wrong"),
        [(f"{row['mistake']}{': ' if row['how'] else ''}{row['how']}", row["role"], row["step"], f"{row['jobs']:,}",
          str(row["plausibility"]), f"{row['into_service']:,}", f"{row['breaks_a_rule']:,}", _harm(row)) for row in rows],
    )  # fmt: skip
    key = "Share of jobs in which nobody notices; figures: in how many. The most plausible first."
    bars = Bars((f"of {jobs} jobs",), drawn, key, " ".join(says))
    return ReportSection("unnoticed", "Mistakes that nobody notices", tuple(says), drawings_of(bars) if rows else (), table,
                         "Rank: 3 is the most plausible. Into service: after so many something is wrong in service.")  # fmt: skip


def _mistake(row: Row) -> str:
    return f"{row['mistake']}, {row['role']}: {row['step']}"


def _harm(row: Row) -> str:
    wrong = f"Wrong in service: {row['wrong_in_service']}." if row["wrong_in_service"] else ""
    return " ".join(part for part in (row["hurts"] or "", wrong) if part)


def _late(answer: StudyAnswer) -> ReportSection:
    rows = rows_of(answer)
    says = [_late_words(rules, list(own)) for rules, own in groupby(rows, key=lambda row: row["local_rules"])]
    drawn = tuple(BarRow(row["mistake"], tuple(_late_bars(row)), f"local rules: {row['local_rules']}") for row in rows)
    table = table_of(
        ("local rules", "mistake", "how many", "at once", f"within {SOON} lines", "later", "at handing over",
         "by nobody", "harmless"),
        [(row["local_rules"], row["mistake"], *(f"{row[name]:,}" for name in
          ("mistakes", "at_once", "soon", "later", "at_handover", "by_nobody", "harmless"))) for row in rows],
    )  # fmt: skip
    columns = ("noticed at once", f"within {SOON} lines", "later", "by nobody")
    key = "Share of mistakes of a kind, harmless ones not drawn. Later: also when the job is handed over."
    bars = Bars(columns, drawn, key, " ".join(says))
    return ReportSection("how-late", "How late mistakes are noticed", tuple(says), drawings_of(bars), table, LATE)


def _late_bars(row: Row) -> list[Bar]:
    counts = (row["at_once"], row["soon"], row["later"] + row["at_handover"], row["by_nobody"])
    return [Bar(count / row["mistakes"], share_text(count / row["mistakes"])) for count in counts]


def _late_words(rules: str, rows: Sequence[Row]) -> str:
    total = {name: sum(row[name] for row in rows) for name in ("mistakes", "at_once", "soon", "by_nobody", "harmless")}
    share = {name: share_text(count / total["mistakes"]) for name, count in total.items()}
    return (f"{rules}: of {total['mistakes']:,} mistakes {share['at_once']} are noticed at once, {share['soon']} within {SOON} "
            f"lines, {share['by_nobody']} by nobody; of {share['harmless']} nothing comes.")  # fmt: skip


def _counts(answer: StudyAnswer, able: Sequence[Row]) -> Pairs:
    said = answer.study
    settings = said["settings"]
    return (
        ("jobs", f"{len(settings):,}: {len({one['pair'] for one in settings}):,} pairs of ends, each by "
                 f"{len({one['local_rules'] for one in settings})} local rules"),
        ("jobs with an order of work", f"{len(able):,}"), ("single mistakes", f"{sum(row['mistakes'] for row in able):,}"),
        ("kinds", ", ".join(said["study"]["mistakes"]) or "all"), ("parts worked out", f"{answer.parts} of {said['parts']}"),
        ("crew", ", ".join(said["study"]["crew"])), ("place", said["place"]),
    )  # fmt: skip


def _versions(answer: StudyAnswer) -> Pairs:
    said = answer.study
    rules = dict.fromkeys(f"{one['local_rules_name']}, edition {one['local_rules_edition']}" for one in said["settings"])
    types = {one[name].split("/")[0]: one[f"{name}_issue"] for one in said["settings"] for name in ("moving", "standing")}
    invented = " (invented)" if said["ranks_invented"] else ""
    return (("study", f"{said['name']}, edition {said['edition']}"), ("Headstock", said["headstock"]),
            ("study and code", said["key"]), ("local rules", "; ".join(rules)),
            ("method", f"{said['method']}, edition {said['method_edition']}"),
            ("unit types", ", ".join(f"{name} issue {issue}" for name, issue in sorted(types.items()))),
            ("ranks", f"{said['ranks']}, edition {said['ranks_edition']}{invented}. {said['ranks_note']}"))  # fmt: skip
