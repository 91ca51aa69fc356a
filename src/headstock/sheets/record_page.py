"""A reconstruction as one page for a browser and for print: answer, ranked table, plots, what was assumed; nothing fetched."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from pathlib import Path

from headstock.brake_test.reconstruct import Candidate
from headstock.local_rules.limit_figures import in_unit
from headstock.sheets.page_fonts import fonts_inside
from headstock.sheets.record_plot import PlotChannel, RecordPlot, record_svg
from headstock.usecases.reconstruct_record import NOT_WHAT_HAPPENED, RecordSearched
from headstock.usecases.reconstruct_words import (
    assumptions_in_words,
    causes_in_words,
    channel_in_words,
    off_in_words,
    summary_in_words,
    train_in_words,
)
from headstock.usecases.standing_caution import STANDING_CAUTION

HERE = Path(__file__).parent
EXPLAINED, NOT_EXPLAINED = 3, 2
"""So many candidates of each sort are drawn."""
PLOTS_SHOW = (
    "Two thin lines: recorded. Broken: reckoned, and not seen. Beneath, recorded less reckoned; between the thin lines "
    "lies what recorder, reckoning and clock may be off, twice the standard deviation."
)


def record_page(found: RecordSearched) -> bytes:
    """The whole page, UTF-8."""
    title = f"Reconstruction: {found.judged.title}"
    style = "".join((HERE / name).read_text(encoding="utf-8") for name in ("table_page.css", "record_page.css"))
    head = ('<meta charset="utf-8">', '<meta name="viewport" content="width=device-width, initial-scale=1">',
            '<meta name="color-scheme" content="dark light">', f"<title>{escape(title)}</title>",
            f"<style>\n{fonts_inside()}{style}</style>")  # fmt: skip
    body = (*_top(found, title), *_table(found), *_plots(found), *_assumed(found))
    return "\n".join(
        ('<!doctype html>\n<html lang="en">\n<head>', *head, "</head>\n<body>", *body, "</body>\n</html>\n")
    ).encode()


def record_plots(found: RecordSearched) -> dict[str, bytes]:
    """Drawings by file name, numbered as in the table."""
    return {f"record-{number}.svg": record_svg(plot_of(found, number, one)).encode() for number, one in drawn_candidates(found)}


def drawn_candidates(found: RecordSearched) -> list[tuple[int, Candidate]]:
    """The best that explain by traces of their own, and the nearest that do not."""
    numbered = list(enumerate(found.result.candidates, start=1))
    good = [pair for pair in numbered if pair[1].explains and not pair[1].alike]
    bad = [pair for pair in numbered if not pair[1].explains and not pair[1].alike]
    return good[:EXPLAINED] + bad[:NOT_EXPLAINED]


def plot_of(found: RecordSearched, number: int, one: Candidate) -> RecordPlot:
    """A candidate beside the record, by its number in the table."""
    unit, recorded = found.judged.record.rules.pressure_unit, found.model.recorded
    channels = tuple(
        PlotChannel(
            channel_in_words(channel).capitalize(),
            *([in_unit(float(value), unit) for value in rows[:, place]]
              for rows in (recorded.bar, one.fit.simulated, recorded.sigma_bar * 2)),
        ) for place, channel in enumerate(recorded.channels)
    )  # fmt: skip
    first_s = found.moves[0].when_s
    moves = tuple((move.when_s - first_s, move.says) for move in found.moves)
    return RecordPlot(
        f"{number}: {causes_in_words(one.fit.tried.causes)}", str(unit), tuple(recorded.t_s.tolist()), channels, moves
    )


def _top(found: RecordSearched, title: str) -> Iterator[str]:
    invented = "<strong>Invented.</strong> " if found.judged.invented else ""
    record = found.judged.record
    yield f'<header><h1>{escape(title)}</h1>\n<p class="origin">{invented}For the investigator. Method: '
    yield f"{escape(record.method.name)}, edition {escape(record.method.edition)}.</p>"
    yield f'<p class="caution" role="note"><strong>{escape(NOT_WHAT_HAPPENED)}</strong> {escape(STANDING_CAUTION)}</p>'
    yield "</header><main>"
    answer = "answer" if found.result.is_explained else "answer open"
    yield f'<p class="{answer}">{escape(summary_in_words(found))}</p>'
    if found.notes:
        yield f"<ul>{''.join(f'<li>{escape(note)}</li>' for note in found.notes)}</ul>"
    moves = "; ".join(f"{number} {move.says}" for number, move in enumerate(found.moves, start=1))
    yield f"<p>Moved, by number in the plots: {escape(moves)}.</p>"


def _table(found: RecordSearched) -> Iterator[str]:
    heads = ("", "what was tried", "explains", "odds", "plausibility", "off by", "train and clock")
    yield '<div class="wide" role="region" tabindex="0" aria-label="Ranked table"><table class="ranked">'
    yield "<caption>What explains the record and what does not, by odds; plausibility of nothing wrong is 1</caption>"
    named = "".join(f'<th scope="col">{head}</th>' for head in heads)
    yield f"<thead><tr>{named}</tr></thead><tbody>"
    unit, channels = found.judged.record.rules.pressure_unit, found.model.recorded.channels
    for number, one in enumerate(found.result.candidates, start=1):
        told = f"; not told from {one.alike}" if one.alike else ""
        cells = (escape(causes_in_words(one.fit.tried.causes) + told), "yes" if one.explains else "no",
                 f'<span class="figure">{one.odds:.3f}</span>', f'<span class="figure">{one.prior:.2g}</span>',
                 escape(off_in_words(one, channels, unit)), escape(train_in_words(one)))  # fmt: skip
        row = "".join(f"<td>{cell}</td>" for cell in cells)
        yield f'<tr><th scope="row" class="figure">{number}</th>{row}</tr>'
    yield f"</tbody></table></div>\n<p>{found.result.tried} were tried as they stand; those in the table were fitted.</p>"


def _plots(found: RecordSearched) -> Iterator[str]:
    yield "<h2>Record and reckoning</h2>"
    yield f"<p>{PLOTS_SHOW}</p>"
    for number, one in drawn_candidates(found):
        plot = plot_of(found, number, one)
        says = "explains the record" if one.explains else "does not explain the record"
        yield f"<figure>{record_svg(plot)}<figcaption>{escape(plot.title)}: {says}.</figcaption></figure>"


def _assumed(found: RecordSearched) -> Iterator[str]:
    yield f"<h2>Assumed</h2><ul>{''.join(f'<li>{escape(words)}</li>' for words in assumptions_in_words(found))}</ul></main>"
