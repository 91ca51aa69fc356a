"""What joins what: the table of the fleet, and one pair in words, under the rules and on the track that are chosen."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request, Response
from markupsafe import Markup

from headstock.base.errors import Fault, InputError
from headstock.formation.curve_at_joint import BENDS
from headstock.formation.join_way import TypeEnd
from headstock.local_rules.rules import BUILT_IN as RULES_FOLDER
from headstock.sheets.end_figure import coupler_icon
from headstock.sheets.joint_square import square_svg
from headstock.sheets.pair_words import PairWords, pair_words, square_words
from headstock.sheets.table_key import LANES, MARKS
from headstock.usecases.job_file import PLACES_FOLDER, load_rules_named
from headstock.usecases.join_table import LEVELS_EXPLAINED, SHORT_LEVELS, TABLE_CAUTIONS, WAYS_EXPLAINED, JoinTable, join_table
from headstock.usecases.track_given import track_from
from headstock.web.answers import Answers
from headstock.web.asked import AnswersOf
from headstock.web.page_paint import PAINT
from headstock.web.replies import page
from headstock.web.visitor import needs

router = APIRouter(prefix="/fleet", include_in_schema=False, dependencies=[needs("see the fleet")])
Short = Annotated[str, Query(max_length=60)]
RULES = tuple(sorted(path.stem for path in RULES_FOLDER.glob("*.yaml")))
PLACES = tuple(sorted(path.stem for path in PLACES_FOLDER.glob("*.yaml")))
MOST_NOTES = 9
LEAST_ROWS = 6
"""Fewer rows leave no room for notes in the empty half."""


@dataclass(frozen=True, slots=True)
class Square:
    """One square of the table."""

    first: str
    second: str
    answer: str
    level: str
    says: str
    notes: tuple[int, ...]
    drawn: Markup


@dataclass(frozen=True, slots=True)
class Joins:
    """The table ready to be shown; ``rows``: squares from the diagonal on."""

    table: JoinTable
    rows: tuple[tuple[Square, ...], ...]
    icons: tuple[Markup, ...]
    notes: tuple[str, ...]
    words: dict[tuple[str, str], PairWords]

    @property
    def room(self) -> int:
        """Rows and columns of the empty half that hold notes."""
        return round(0.4 * len(self.rows)) if len(self.rows) >= LEAST_ROWS else 0


@router.get("/table")
def joins(
    request: Request, answers: AnswersOf, rules: Short = "", place: Short = "", radius: Short = "", bend: Short = "",
    first: Short = "", second: Short = "",
) -> Response:  # fmt: skip
    """The table, and one pair where one is chosen."""
    asked = {"rules": rules or RULES[-1], "place": place, "radius": radius, "bend": bend}
    chosen: dict[str, Any] = {"asked": asked, "all_rules": RULES, "places": PLACES, "bends": BENDS, "cautions": TABLE_CAUTIONS}
    try:
        shown = answers.kept(("page", "joins", *asked.values()), lambda: _joins(answers, asked))
    except InputError as error:
        return page(request, "fleet_joins.html", 400, error=error, joins=None, pair=None, **chosen)
    pair = shown.words.get((first, second))
    status = 404 if (first or second) and pair is None else 200
    words = (("only if", "yes, once what is asked first is so"), *WAYS_EXPLAINED, *LEVELS_EXPLAINED)
    return page(request, "fleet_joins.html", status, error=None, joins=shown, pair=pair, key=_key(), words=words, **chosen)


def _joins(answers: Answers, asked: dict[str, str]) -> Joins:
    if asked["rules"] not in RULES or (asked["place"] and asked["place"] not in PLACES):
        raise _no_such(asked)
    track = track_from(asked["place"] or None, _radius(asked["radius"]), asked["bend"] or None)
    table = join_table(answers.fleet, load_rules_named(asked["rules"]), track)
    size = len(table.rows)
    words = {(i, j): _words(table, i, j) for i in range(size) for j in range(i, size)}
    shared = Counter(line for one in words.values() for line in _restrictions(one))
    notes = tuple(line for line, count in shared.most_common(MOST_NOTES) if count > 1)
    rows = tuple(tuple(_square(table, i, j, words[i, j], notes) for j in range(i, size)) for i in range(size))
    icons = tuple(Markup(coupler_icon(TypeEnd(row.name, row.unit_type, row.ends[0][-1]), PAINT)) for row in table.rows)
    return Joins(table, rows, icons, notes, {(one.first, one.second): one for one in words.values()})


def _no_such(asked: dict[str, str]) -> InputError:
    fault = Fault("local rules or place not found", found=f"{asked['rules']} {asked['place']}".strip(),
                  expected=f"one of {', '.join((*RULES, *PLACES))}")  # fmt: skip
    return InputError(fault)


def _radius(text: str) -> float | None:
    if not text.strip():
        return None
    try:
        return float(text)
    except ValueError:
        raise InputError(Fault("not a radius", path="radius", found=text, expected="metres, as in 180")) from None


def _words(table: JoinTable, first: int, second: int) -> PairWords:
    pair = table.pair(first, second)
    return pair_words(pair.join, pair.first, pair.second)


def _restrictions(words: PairWords) -> tuple[str, ...]:
    return next((block.lines for block in words.blocks if block.title == "Restrictions"), ())


def _square(table: JoinTable, row: int, column: int, words: PairWords, notes: tuple[str, ...]) -> Square:
    pair = table.pair(row, column)
    drawn = square_svg(words.crossing, PAINT, 1 + row * len(table.rows) + column)
    numbers = tuple(sorted(notes.index(line) + 1 for line in _restrictions(words) if line in notes))
    says = f"{pair.first} with {pair.second}: {square_words(pair.join)}"
    level = "" if pair.join.answer == "no" else SHORT_LEVELS[pair.join.best.level]
    return Square(pair.first, pair.second, pair.join.answer, level, says, numbers, Markup(drawn))


def _key() -> list[tuple[Markup, str]]:
    return [(Markup(square_svg(crossing, PAINT, 9000 + number)), words) for number, (crossing, words) in
            enumerate((*LANES, *MARKS))]  # fmt: skip
