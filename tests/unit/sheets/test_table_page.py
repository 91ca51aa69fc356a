"""The table as a page: whole in itself, its links lead somewhere, a reader without eyes for it gets the same words."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest

from headstock.equipment.library import Fleet
from headstock.sheets.joint_square import Crossing, square_svg
from headstock.sheets.pair_words import crossing_of, square_words
from headstock.sheets.svg import PRINT
from headstock.sheets.table_page import table_page
from tests.unit.usecases.test_join_table import FLEET, RULES, TABLE, join_table, many_types

VOID = {"meta", "br"}


class Reader(HTMLParser):
    """Reads a page as a strict reader would: every element closed in its turn."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.ids: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        self.ids += [value for name, value in attrs if name == "id" and value]
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if not self.open or self.open[-1] != "style":
            self.text.append(data)


def read(page: bytes) -> tuple[Reader, str]:
    reader = Reader()
    reader.feed(page.decode("utf-8"))
    assert reader.open == []
    return reader, " ".join(" ".join(reader.text).replace("\u00a0", " ").split())


PAGE = table_page(TABLE)
READER, TEXT = read(PAGE)


def test_the_page_is_whole_in_itself_and_needs_no_script() -> None:
    text = PAGE.decode("utf-8")
    assert not any(tag in ("script", "link", "img", "iframe", "object") for tag, _ in READER.tags)
    assert set(re.findall(r"https?://[^\"' >)]+", text)) == {"http://www.w3.org/2000/svg"}
    assert not re.search(r"\bon\w+=", re.sub(r"<style>.*?</style>", "", text, flags=re.DOTALL))
    assert all(attributes["href"].startswith("#") for tag, attributes in READER.tags if tag == "a")  # type: ignore[union-attr]


def test_every_link_leads_to_a_part_that_stands_once() -> None:
    assert len(READER.ids) == len(set(READER.ids))
    links = {str(attributes["href"])[1:] for tag, attributes in READER.tags if tag == "a"}
    assert links <= set(READER.ids)
    assert len([link for link in links if link.startswith("pair-")]) == len(TABLE.pairs) == 55


def test_the_table_has_a_caption_and_headings_for_rows_and_columns() -> None:
    tags = [tag for tag, _ in READER.tags]
    assert tags.count("h1") == 1 and "caption" in tags and "main" in tags
    scopes = [attributes.get("scope") for tag, attributes in READER.tags if tag == "th"]
    assert None not in scopes
    assert scopes.count("col") >= 10 and scopes.count("row") >= 10
    assert ("html", {"lang": "en"}) in READER.tags


def test_every_square_says_in_words_what_it_draws() -> None:
    labels = {attributes.get("aria-label") for tag, attributes in READER.tags if tag == "a"}
    for pair in TABLE.pairs:
        assert f"{pair.first} with {pair.second}: {square_words(pair.join)}" in labels


def test_nothing_that_is_said_of_a_pair_is_left_out() -> None:
    for pair in TABLE.pairs:
        best = pair.join.best
        said = [*best.conditions, *best.changes, *best.equipment, *best.losses, *best.restrictions, *pair.join.geometry.lines()]
        said += [reason for way in pair.join.ways for reason in way.reasons]
        assert [words for words in said if words not in TEXT] == []


def test_cautions_and_that_it_is_invented_stand_at_the_head() -> None:
    head = TEXT.split("beck")[0] + TEXT[:900]
    assert "All invented for demonstration." in head
    assert "planning and training aid" in head and "no leave to join anything" in head


def test_words_of_a_file_are_text_and_never_marks_of_the_page() -> None:
    gear = tuple(g.model_copy(update={"stowed": '<b>rack</b> & "hook"'}) for g in FLEET.find("wold").loose_gear)
    page = table_page(join_table(Fleet([FLEET.find("wold").model_copy(update={"loose_gear": gear}), FLEET.find("gale")]), RULES))
    assert b"<b>rack</b>" not in page and b"&lt;b&gt;rack" in page
    read(page)


def test_a_large_fleet_makes_a_page_too() -> None:
    reader, _ = read(table_page(join_table(many_types(20), RULES)))
    assert len(reader.ids) == len(set(reader.ids))


@pytest.mark.parametrize(
    ("pair", "crossing"),
    [
        (("tarn", "tarn"), Crossing("direct", True, True, True, True)),
        (("beck", "beck"), Crossing("direct", True, False, True, True)),
        (("gale", "holm/1"), Crossing("direct", True, True, wires_apart=True)),
        (("fell", "moss"), Crossing("screw", False, True)),
        (("gale", "wold/1"), Crossing("adapter", False, True)),
        (("beck", "crag"), Crossing("adapter", False, False)),
        (("gale", "moss"), Crossing("no")),
    ],
)
def test_a_square_draws_what_crosses_the_joint(pair: tuple[str, str], crossing: Crossing) -> None:
    found = next(one for one in TABLE.pairs if (one.first, one.second) == pair)
    assert crossing_of(found.join) == crossing


def test_each_lane_has_a_pattern_of_its_own_so_that_one_ink_is_enough() -> None:
    grey = dict.fromkeys(PRINT, "#000")
    full = Crossing("direct", True, True, True, True)
    lanes = [Crossing("direct", True), Crossing("direct", False, True), Crossing("direct", False, False, True),
             Crossing("direct", False, False, False, True), Crossing("screw"), Crossing("adapter"), Crossing("no"), full,
             Crossing("direct", wires_apart=True), Crossing("direct")]  # fmt: skip
    assert len({square_svg(lane, grey) for lane in lanes}) == len(lanes)
    strokes = re.findall(r'stroke-width="([\d.]+)"(?: stroke-dasharray="([\d. ]+)")?', square_svg(full, grey))
    assert len(set(strokes)) == 5, "couplers, two fine lines, one stout line, dashes, dots"
