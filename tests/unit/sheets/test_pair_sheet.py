"""The sheet of a pair, and the table as print: all that is known of them is on paper, and it fits."""

from __future__ import annotations

import io

import pytest
from pypdf import PdfReader

from headstock.equipment.library import Fleet
from headstock.formation.curve_at_joint import curve_from
from headstock.sheets.pair_content import PairContent, pair_content, pair_sheet_name
from headstock.sheets.pair_sheet import render_pair_sheet
from headstock.sheets.table_sheet import render_table_sheet
from headstock.usecases.join_ends import PairAnswer, join_ends
from headstock.usecases.track_given import TrackGiven
from tests.unit.usecases.test_join_table import FLEET, RULES, TABLE, join_table, many_types


def answer(first: str, second: str, track: TrackGiven | None = None, fleet: Fleet = FLEET) -> PairAnswer:
    return join_ends(first, second, fleet, "wending-vale", track=track)


def text_of(pdf: bytes) -> list[str]:
    return [" ".join(page.extract_text().replace("\u00a0", " ").split()) for page in PdfReader(io.BytesIO(pdf)).pages]


def squeezed(text: str) -> str:
    return "".join(text.replace("\u00a0", " ").split())


PAIRS = [("tarn/1", "gale/2"), ("gale/1", "gale/2"), ("beck/1", "holm/1"), ("moss/1", "gale/1"), ("wold/1", "tarn/1"),
         ("tarn/2", "crag/1"), ("holm/2", "holm/2"), ("beck/1", "beck/2")]  # fmt: skip


@pytest.mark.parametrize("pair", PAIRS, ids=" with ".join)
def test_a_pair_stands_on_one_side_with_all_that_is_known_of_it(pair: tuple[str, str]) -> None:
    given = answer(*pair, TrackGiven(curve_from(300.0, None)))
    content = pair_content(given)
    pages = text_of(render_pair_sheet(content))
    assert len(pages) == 1
    page, best = squeezed(pages[0]), given.join.best
    said = [*best.conditions, *best.changes, *best.equipment, *best.losses, *best.restrictions, *content.cautions]
    said += [reason for way in given.join.ways for reason in way.reasons]
    said += [*given.join.geometry.lines(), *(pins.verdict for pins in content.words.pins)]
    said += [f"{pin}{first}{second}" for pins in content.words.pins for pin, first, second, _ in pins.rows]
    assert [words for words in said if squeezed(words) not in page] == []
    assert "All invented for demonstration." in pages[0] and "Wending Vale, edition 3" in pages[0]


def test_what_is_told_afterwards_is_there_only_where_there_is_a_way() -> None:
    told = RULES.tell_afterwards.value[0].words.partition("{")[0]
    assert told in text_of(render_pair_sheet(pair_content(answer("tarn/1", "fell/1"))))[0]
    assert pair_content(answer("moss/1", "gale/1")).afterwards is None


def test_ends_are_drawn_as_they_must_stand() -> None:
    def captions(first: str, second: str) -> list[str]:
        content: PairContent = pair_content(answer(first, second))
        return [end.caption for end in content.ends]

    screw = captions("tarn/1", "moss/1")
    assert "head dropped, pin out" in screw[0] and "buffers out" in screw[0]
    knuckles = captions("tarn/1", "tarn/2")
    assert ["knuckle open" in caption for caption in knuckles] == [False, True]
    assert all("head raised, pin home, keeper in" in caption and "buffers in" in caption for caption in knuckles)
    assert "that of the standing portion" in pair_content(answer("tarn/1", "tarn/2")).ends_note
    assert [words.split("; ")[1] for words in captions("gale/1", "holm/1")] == ["electrical head locked back."] * 2
    assert "electrical head covered." in captions("gale/1", "gale/2")[0]
    assert "lock up" in captions("crag/1", "crag/2")[1]


def test_the_declaration_that_a_level_rests_on_is_named() -> None:
    assert any("Fell notes 5" in line for line in pair_content(answer("crag/1", "fell/1")).sources)
    assert not any("Declared" in line for line in pair_content(answer("crag/1", "tarn/1")).sources)


def test_a_sheet_is_named_after_its_pair_and_the_same_twice() -> None:
    given = answer("wold/1", "tarn/2")
    assert pair_sheet_name(given) == "pair-wold-1-with-tarn-2.pdf"
    assert render_pair_sheet(pair_content(given)) == render_pair_sheet(pair_content(given))


def test_the_printed_table_has_every_pair_with_every_reason() -> None:
    pages = text_of(render_table_sheet(TABLE))
    assert "What joins what" in pages[0] and "All invented for demonstration." in pages[0]
    assert all("Wending Vale, edition 3" in page for page in pages)
    flat = squeezed(" ".join(pages))
    for pair in TABLE.pairs:
        best = pair.join.best
        said = [f"{pair.first} with {pair.second}", *best.conditions, *best.losses]
        said += [reason for way in pair.join.ways for reason in way.reasons]
        torn = [words for words in said if squeezed(words) not in flat]
        # A sentence may be torn by the end of a page, with the foot between.
        assert len(torn) <= 1, torn


def test_a_large_fleet_is_printed_in_parts() -> None:
    pages = text_of(render_table_sheet(join_table(many_types(12), RULES)))
    assert "part 1 of" in pages[0]
    assert "part 3 of" in pages[2]
