"""What an answer shows as text and as HTML: nothing given by a person becomes an element, and both say the same."""

from __future__ import annotations

from collections.abc import Iterator
from html.parser import HTMLParser
from xml.etree import ElementTree

from hypothesis import given
from hypothesis import strategies as st

from headstock.notebook.shown import Answer, Lines, Part, Picture, Table

LETTERS = st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs", "Zl", "Zp")), min_size=1, max_size=30)
MARKUP = ("<b>bold", "</td><td>", "a & b &amp; c", "<!-- not shown -->", "'\"><script>x</script>", "5 < 6 > 4")
WORDS = LETTERS | st.sampled_from(MARKUP)
DRAWN = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1 1"><path d="M0 0H1"/></svg>'


class _Told(Answer):
    def __init__(self, title: str, parts: tuple[Part, ...] = (), reasons: tuple[str, ...] = ()) -> None:
        self._title, self._parts, self._reasons = title, parts, reasons

    @property
    def title(self) -> str:
        return self._title

    @property
    def answer(self) -> str:
        return "no"

    @property
    def reasons(self) -> tuple[str, ...]:
        return self._reasons

    @property
    def data(self) -> dict[str, str]:
        return {}

    def parts(self) -> Iterator[Part]:
        yield from self._parts


class _Reader(HTMLParser):
    """Elements and words of a piece of HTML."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[str] = []
        self.words = ""
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.words += data


@given(WORDS, WORDS, WORDS)
def test_words_stay_words_in_html_and_every_element_is_shut(title: str, cell: str, reason: str) -> None:
    parts = (Lines(title, (cell,)), Table(cell, (title, cell), ((reason, title),)), Picture(cell, DRAWN))
    plain = _Reader(
        _Told("t", (Lines("h", ("l",)), Table("c", ("a", "b"), (("1", "2"),)), Picture("p", DRAWN)), ("r",))._repr_html_()
    )
    read = _Reader(_Told(title, parts, (reason,))._repr_html_())
    assert read.open == [] and read.tags == plain.tags
    assert all(word in read.words for word in (title, cell, reason))


@given(WORDS)
def test_a_picture_is_told_to_whoever_does_not_see_it_and_stays_a_drawing(words: str) -> None:
    root = ElementTree.fromstring(Picture(words, DRAWN)._repr_svg_())
    assert root.tag.endswith("svg") and root.attrib["role"] == "img" and root.attrib["viewBox"] == "0 0 1 1"
    assert root.attrib["aria-label"] == words


def test_plain_text_has_caution_reasons_columns_and_what_drawings_show() -> None:
    table = Table("pressures", ("gauge", "bar"), (("front", "3.4"), ("rear", "10")))
    said = str(_Told("Test", (Lines("Heading", ("line",)), table, Picture("a train", DRAWN)), ("not held",)))
    assert said.startswith("_Told: Test: no\nCaution: A planning and training aid.")
    assert "\n  - not held\nHeading\n  line\npressures\n  gauge  bar\n  front  3.4\n  rear   10\n[a train]" in said


def test_the_drawing_s_ground_is_white_and_only_the_outer_element_is_changed() -> None:
    nested = DRAWN.replace("<path", "<svg x='1'/><path")
    assert Picture("both", nested)._repr_svg_().count('role="img"') == 1
