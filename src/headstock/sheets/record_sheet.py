"""Setting a reconstruction on A4: answer, moves, ranked table, plots with what is left over, what was assumed."""

from __future__ import annotations

from typing import Any

from headstock.brake_test.reconstruct import Candidate
from headstock.local_rules.limit_figures import PressureUnit
from headstock.sheets.record_page import PLOTS_SHOW, drawn_candidates, plot_of
from headstock.sheets.record_plot import record_svg, record_text
from headstock.sheets.setting import as_pdf, plain_name
from headstock.usecases.reconstruct_record import NOT_WHAT_HAPPENED, RecordSearched
from headstock.usecases.reconstruct_words import (
    assumptions_in_words,
    causes_in_words,
    off_in_words,
    summary_in_words,
    train_in_words,
)
from headstock.usecases.standing_caution import STANDING_CAUTION, invented_words


def record_sheet_name(found: RecordSearched) -> str:
    """File name of the sheet: the record's letters and figures."""
    return f"{plain_name('reconstruction', found.judged.title)}.pdf"


def render_record_sheet(found: RecordSearched) -> bytes:
    """The sheet as PDF, tagged (PDF/UA-1). Same answer, same bytes."""
    return as_pdf("record_sheet.typ", _as_data(found), _drawings(found))


def _name(number: int) -> str:
    return f"record-{number}.svg"


def _drawings(found: RecordSearched) -> dict[str, str]:
    return {_name(number): record_svg(plot_of(found, number, one)) for number, one in drawn_candidates(found)}


def _as_data(found: RecordSearched) -> dict[str, Any]:
    record, result, drawn = found.judged.record, found.result, found.drawn
    first_s, channels = found.moves[0].when_s, found.model.recorded.channels
    plots = [(plot_of(found, number, one), number, one) for number, one in drawn_candidates(found)]
    return {
        "title": found.judged.title, "subtitle": "Reconstruction for the investigator",
        "invented": invented_words([found.judged.invented, record.rules.invented, drawn.invented]),
        "rules_line": f"Local rules: {record.rules.name}, edition {record.rules.edition}",
        "method_line": f"Method: {record.method.name}, edition {record.method.edition}",
        "cautions": [NOT_WHAT_HAPPENED, STANDING_CAUTION], "footer": f"plausibilities: {drawn.name}, edition {drawn.edition}",
        "is_explained": result.is_explained, "summary": summary_in_words(found), "notes": list(found.notes),
        "moves": [[f"{move.when_s - first_s:.0f} s", move.says] for move in found.moves],
        "table_note": f"By odds among what was tried; plausibility of nothing wrong is 1. {result.tried} were tried as they "
                      f"stand, those below were fitted. Off by: root mean square, and at most.",
        "rows": [_row(number, one, channels, record.rules.pressure_unit)
                 for number, one in enumerate(result.candidates, start=1)],
        "plot_note": PLOTS_SHOW,
        "plots": [{"title": plot.title, "explains": one.explains, "drawing": _name(number), "text": record_text(plot)}
                  for plot, number, one in plots],
        "assumed": list(assumptions_in_words(found)),
    }  # fmt: skip


def _row(number: int, one: Candidate, channels: tuple[Any, ...], unit: PressureUnit) -> dict[str, Any]:
    told = f"; not told from {one.alike}" if one.alike else ""
    return {
        "number": str(number), "words": causes_in_words(one.fit.tried.causes) + told, "explains": one.explains,
        "odds": f"{one.odds:.3f}", "prior": f"{one.prior:.2g}", "off": off_in_words(one, channels, unit).split("; "),
        "train": train_in_words(one),
    }  # fmt: skip
