"""The report of a study as one page for a browser and for print; nothing fetched, no script."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from pathlib import Path

from headstock.sheets.page_fonts import fonts_inside
from headstock.sheets.study_svg import study_svg
from headstock.usecases.study_report_parts import ReportSection, ReportTable, StudyReport

HERE = Path(__file__).parent
ON_A_PHONE = "@media screen{figure{overflow-x:auto}figure svg{min-width:680px}}"
"""A picture too wide to be read there scrolls sideways."""


def study_page(report: StudyReport) -> bytes:
    """The whole page, UTF-8."""
    title = f"{report.title}: {report.subtitle}"
    style = "".join((HERE / name).read_text(encoding="utf-8") for name in ("table_page.css", "record_page.css"))
    head = ('<meta charset="utf-8">', '<meta name="viewport" content="width=device-width, initial-scale=1">',
            '<meta name="color-scheme" content="dark light">', f"<title>{escape(title)}</title>",
            f"<style>\n{fonts_inside()}{style}{ON_A_PHONE}</style>")  # fmt: skip
    sections = (part for section in report.sections for part in _section(section))
    body = (*_top(report), *_lists(report), *sections, "</main>", f"<footer><p>{escape(report.foot)}</p></footer>")
    return "\n".join(
        ('<!doctype html>\n<html lang="en">\n<head>', *head, "</head>\n<body>", *body, "</body>\n</html>\n")
    ).encode()


def _top(report: StudyReport) -> Iterator[str]:
    invented = f"<strong>{escape(report.invented)}</strong> " if report.invented else ""
    yield f'<header><h1>{escape(report.title)}</h1>\n<p class="origin">{invented}{escape(report.subtitle)}.</p>'
    first, *others = report.cautions
    yield f'<p class="caution" role="note"><strong>{escape(first)}</strong> {escape(" ".join(others))}</p></header><main>'


def _lists(report: StudyReport) -> Iterator[str]:
    yield "<h2>In short</h2><ul>"
    for section in report.sections:
        yield f'<li><a href="#{section.name}">{escape(section.title)}</a>. {escape(" ".join(section.says))}</li>'
    yield "</ul>"
    for heading, rows in (("What was counted", report.counts), ("By what", report.versions)):
        lines = "".join(f'<tr><th scope="row">{escape(name)}</th><td>{escape(said)}</td></tr>' for name, said in rows)
        yield f'<h2>{heading}</h2><div class="wide" role="region" tabindex="0" aria-label="{heading}">'
        yield f'<table class="ranked"><tbody>{lines}</tbody></table></div>'
    yield f"<h2>What is not covered</h2><ul>{''.join(f'<li>{escape(said)}</li>' for said in report.not_covered)}</ul>"


def _section(section: ReportSection) -> Iterator[str]:
    yield f'<section aria-labelledby="{section.name}"><h2 id="{section.name}">{escape(section.title)}</h2>'
    yield f"<ul>{''.join(f'<li>{escape(said)}</li>' for said in section.says)}</ul>"
    for drawing in section.drawings:
        said = f"Picture: {section.title}"
        drawn = study_svg(drawing, section.title)
        yield f'<figure role="group" tabindex="0" aria-label="{escape(said)}">{drawn}</figure>'
    yield from _table(section.table, section.title)
    yield f"<p>{escape(section.note)}</p></section>"


def _table(table: ReportTable, title: str) -> Iterator[str]:
    heads = "".join(f'<th scope="col">{escape(head)}</th>' for head in table.heads)
    yield f'<div class="wide" role="region" tabindex="0" aria-label="Figures: {escape(title)}"><table class="ranked">'
    yield f"<caption>Figures</caption><thead><tr>{heads}</tr></thead><tbody>"
    for name, *rest in table.rows:
        cells = "".join(f"<td>{escape(cell)}</td>" for cell in rest)
        yield f'<tr><th scope="row">{escape(name)}</th>{cells}</tr>'
    yield "</tbody></table></div>"
    if table.left_out:
        yield f"<p>And {table.left_out} more lines: ask for them with headstock study ask.</p>"
