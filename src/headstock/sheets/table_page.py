"""The table of what joins what as one page for a browser: no script, nothing fetched, dark and light, phone, desk and print."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from pathlib import Path

from headstock.devices.marks import Ink
from headstock.formation.wires import BOTH_SIDES
from headstock.sheets.joint_square import square_svg
from headstock.sheets.page_fonts import fonts_inside
from headstock.sheets.pair_words import PairWords, PinTable, WordBlock, pair_words, square_words
from headstock.sheets.setting import bound
from headstock.sheets.table_key import LANES, MARKS
from headstock.usecases.join_table import LEVELS_EXPLAINED, SHORT_LEVELS, TABLE_CAUTIONS, WAYS_EXPLAINED, JoinTable

HERE = Path(__file__).parent
PAINT: dict[Ink, str] = {
    "ink": "var(--ink)", "soft": "var(--soft)", "ground": "var(--ground)", "brake_pipe": "var(--brake)",
    "main_reservoir_pipe": "var(--main)", "electrical": "var(--electrical)",
}  # fmt: skip


def table_page(table: JoinTable) -> bytes:
    """The whole page, UTF-8."""
    title = f"<title>What joins what: {len(table.types)} unit types</title>"
    meta = ('<meta charset="utf-8">', '<meta name="viewport" content="width=device-width, initial-scale=1">',
            '<meta name="color-scheme" content="dark light">')  # fmt: skip
    parts = ['<!doctype html>\n<html lang="en">\n<head>', *meta, title,
             f"<style>\n{fonts_inside()}{_style()}</style>\n</head>\n<body>",
             *_head(table), *_table(table), *_key(table), *_details(table), *_foot(table), "</body>\n</html>\n"]  # fmt: skip
    return "\n".join(parts).encode("utf-8")


def _style() -> str:
    return (HERE / "table_page.css").read_text(encoding="utf-8")


def _head(table: JoinTable) -> Iterator[str]:
    yield '<a class="skip" href="#table">To the table</a>\n<header>\n<h1>What joins what</h1>'
    yield f'<p class="origin"><strong>{escape(table.invented)}</strong> {escape(table.origin)}</p>'
    first, *others = TABLE_CAUTIONS
    yield f'<p class="caution" role="note"><strong>{escape(first)}</strong> {escape(" ".join(others))}</p>\n</header>\n<main>'


def _table(table: JoinTable) -> Iterator[str]:
    """Rows and columns are ends; each pair stands once, under the diagonal, and leads to its words."""
    yield (
        '<p class="about">Each pair stands once: what crosses the joint, the answer, and how far it goes. '
        "Follow a square for every reason; a table wider than the page scrolls sideways.</p>"
    )
    yield '<div class="wide" role="region" aria-labelledby="caption" tabindex="0" id="table">\n<table class="joins">'
    yield '<caption id="caption">What joins what, each pair once</caption>'
    heads = "".join(f'<th scope="col">{escape(row.name)}</th>' for row in table.rows)
    yield f'<thead><tr><td class="corner"></td>{heads}</tr></thead>\n<tbody>'
    for number, row in enumerate(table.rows):
        cells = "".join(_square(table, number, column) for column in range(number + 1))
        rest = len(table.rows) - number - 1
        empty = f'<td class="none" colspan="{rest}"></td>' if rest else ""
        yield f'<tr><th scope="row">{escape(row.name)}<small>{escape(bound(row.coupler))}</small></th>{cells}{empty}</tr>'
    yield "</tbody>\n</table>\n</div>"


def _square(table: JoinTable, row: int, column: int) -> str:
    pair = table.pair(column, row)
    words = pair_words(pair.join, pair.first, pair.second)
    drawn = square_svg(words.crossing, PAINT, 1 + row * len(table.rows) + column)
    short = "" if pair.join.answer == "no" else f"<br>{SHORT_LEVELS[pair.join.best.level]}"
    said = f"{pair.first} with {pair.second}: {square_words(pair.join)}"
    return (f'<td><a href="#{_anchor(column, row)}" aria-label="{escape(said)}"><span aria-hidden="true">{drawn}'
            f'<b>{pair.join.answer}</b>{short}</span></a></td>')  # fmt: skip


def _anchor(first: int, second: int) -> str:
    return f"pair-{first + 1}-{second + 1}"


def _key(table: JoinTable) -> Iterator[str]:
    yield '<section class="key" aria-labelledby="key">\n<h2 id="key">What the squares say</h2>'
    yield '<div class="keys">\n<dl class="drawn">'
    for number, (crossing, meaning) in enumerate((*LANES, *MARKS)):
        yield f'<div><dt aria-hidden="true">{square_svg(crossing, PAINT, 9000 + number)}</dt><dd>{escape(meaning)}</dd></div>'
    yield '</dl>\n<dl class="worded">'
    only_if = ("only if", "yes, once what is asked first is so")
    for word, meaning in (only_if, *WAYS_EXPLAINED, *LEVELS_EXPLAINED):
        yield f"<div><dt>{escape(word)}</dt><dd>{escape(meaning)}</dd></div>"
    yield "</dl>\n</div>"
    both = ", ".join(row.name for row in table.rows if len(row.ends) == 2)
    yield f"<p>Both ends are alike here: {escape(both)}.</p>" if both else ""
    yield f"<p>{escape(BOTH_SIDES)}</p>\n</section>"


def _details(table: JoinTable) -> Iterator[str]:
    """All pairs, by the first of their two rows."""
    yield '<h2>Every pair, with every reason</h2>\n<nav aria-label="By type"><ul>'
    yield "".join(f'<li><a href="#row-{number + 1}">{escape(row.name)}</a></li>' for number, row in enumerate(table.rows))
    yield "</ul></nav>"
    for number, row in enumerate(table.rows):
        yield f'<section class="row" id="row-{number + 1}"><h3>{escape(row.name)}: {escape(row.coupler)}</h3>'
        for other in range(number, len(table.rows)):
            pair = table.pair(number, other)
            yield _pair(pair_words(pair.join, pair.first, pair.second), _anchor(number, other))
        yield "</section>"


def _pair(words: PairWords, anchor: str) -> str:
    blocks = "".join(_block(block) for block in words.blocks)
    pins = ("<h5>Wires</h5>" if words.pins else "") + "".join(_pins(table) for table in words.pins)
    kind = words.answer.replace(" ", "-")
    return (f'<article id="{anchor}"><h4>{escape(words.first)} with {escape(words.second)}</h4>'
            f'<p class="verdict {kind}"><b>{words.answer.capitalize()}.</b> {escape(words.headline)}.</p>'
            f'{blocks}{pins}<p class="back"><a href="#table">Back to the table</a></p></article>')  # fmt: skip


def _block(block: WordBlock) -> str:
    lines = "".join(f"<li>{escape(bound(line))}</li>" for line in block.lines)
    boxed = ' class="boxed"' if block.boxed else ""
    return f"<h5>{escape(block.title)}</h5><ul{boxed}>{lines}</ul>"


def _pins(table: PinTable) -> str:
    functions = "".join(f"<li>{escape(bound(line))}</li>" for line in table.functions)
    said = f"<p>{escape(table.verdict)}</p>" + (f"<ul>{functions}</ul>" if functions else "")
    if not table.rows:
        return said
    heads = "".join(f'<th scope="col">{escape(head)}</th>' for head in ("pin", *table.heads, "makes"))
    rows = "".join(
        f'<tr><th scope="row">{escape(pin)}</th>{"".join(f"<td>{escape(cell)}</td>" for cell in rest)}</tr>'
        for pin, *rest in table.rows
    )
    return (f'{said}<details><summary>Pin by pin</summary><table class="pins"><thead><tr>{heads}</tr></thead>'
            f"<tbody>{rows}</tbody></table></details>")  # fmt: skip


def _foot(table: JoinTable) -> Iterator[str]:
    said = f"{table.invented} {table.rules.name}, edition {table.rules.edition}."
    yield f"</main>\n<footer><p>{escape(said.strip())}</p></footer>"
