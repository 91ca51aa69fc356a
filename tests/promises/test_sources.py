"""Every source that is named stands in docs/sources.md, and no test claims more than that page does."""

import ast
import re
from collections.abc import Callable, Iterator
from functools import cache

import pytest

from tests.outside import OUTSIDE_MARKS, STATUSES
from tests.promises.tree import ROOT, place

ROW = re.compile(r"^\| (?P<keys>`[^|]+`) \| (?P<what>[^|]+) \| (?P<status>[^|]+) \|$", re.MULTILINE)
# A key in running text: SUBSET-026, LOCPAS-TSI-1302-2014, EN 15807, UIC 544-1, 49 CFR 232.205.
KEY = re.compile(r"\b(?:\d+ (?:CFR|USC|FR) \d+|(?:EN|ISO|UIC) \d[\d-]*|[A-Z]{2,}[A-Z0-9]*(?:-[A-Z0-9]+)+)\b")
PASSAGE = re.compile(r"\bSources?:(?P<text>.*?)(?:\n\s*\n|\Z)", re.DOTALL)
LESS_AND_LESS = ("read", "second-hand", "from memory")


def _rows() -> list[tuple[list[str], str]]:
    page = (ROOT / "docs/sources.md").read_text(encoding="utf-8")
    return [(re.findall(r"`([^`]+)`", row["keys"]), row["status"]) for row in ROW.finditer(page)]


@cache
def _sources() -> dict[str, str]:
    return {key: status for keys, status in _rows() for key in keys}


def _key_of(source: str) -> str | None:
    """The longest key that `source` is, or goes on from into a section."""
    fitting = [key for key in _sources() if re.match(re.escape(key) + r"(?![\w-])", source)]
    return max(fitting, key=len, default=None)


def _named_in_docstrings() -> Iterator[tuple[str, str]]:
    for path in sorted((ROOT / "src").rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for node in ast.walk(tree):
            if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef):
                for passage in PASSAGE.finditer(ast.get_docstring(node) or ""):
                    line = getattr(node, "lineno", 1)
                    yield from ((found[0], place(path, line)) for found in KEY.finditer(passage["text"]))


def _named_in_data() -> Iterator[tuple[str, str]]:
    for path in sorted((ROOT / "src").rglob("*.yaml")):
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1):
            if re.search(r"\bsource\w*:", line):
                yield from ((found[0], place(path, number)) for found in KEY.finditer(line))


@pytest.fixture
def marks(request: pytest.FixtureRequest) -> list[tuple[pytest.Mark, str]]:
    """Every marker of the tests collected in this run, those left out by `-m` among them."""
    return request.config.stash[OUTSIDE_MARKS]


def test_the_page_of_sources_has_no_key_twice_and_no_unknown_status() -> None:
    keys = [key for row, _ in _rows() for key in row]
    assert len(keys) == len(set(keys)) > 0
    assert {status for _, status in _rows()} <= set(STATUSES)


def test_every_row_of_the_page_is_understood() -> None:
    page = (ROOT / "docs/sources.md").read_text(encoding="utf-8")
    assert len([line for line in page.splitlines() if line.startswith("| `")]) == len(_rows())


@pytest.mark.parametrize("named", [_named_in_docstrings, _named_in_data], ids=["docstrings", "data"])
def test_every_source_named_stands_on_the_page(named: Callable[[], Iterator[tuple[str, str]]]) -> None:
    missing = [f"{key} @ {where}" for key, where in named() if _key_of(key) is None]
    assert not missing, "not in docs/sources.md: " + "; ".join(missing)


def test_every_marker_names_a_source_of_the_page(marks: list[tuple[pytest.Mark, str]]) -> None:
    missing = [f"{mark.kwargs['source']!r} @ {where}" for mark, where in marks if _key_of(mark.kwargs["source"]) is None]
    assert not missing, "not in docs/sources.md: " + "; ".join(missing)


def _allowed(known: str) -> tuple[str, ...]:
    """What a test may claim of a source of which the page says `known`."""
    return ("computed", *LESS_AND_LESS[LESS_AND_LESS.index(known) :]) if known in LESS_AND_LESS else (known,)


def test_no_marker_claims_more_than_the_page(marks: list[tuple[pytest.Mark, str]]) -> None:
    too_much = []
    for mark, where in marks:
        claimed, key = mark.kwargs["status"], _key_of(mark.kwargs["source"])
        if key is not None and claimed not in _allowed(_sources()[key]):
            too_much.append(f"{key}: {claimed} in the test, {_sources()[key]} on the page @ {where}")
    assert not too_much, "; ".join(too_much)


@pytest.mark.parametrize(
    ("claimed", "known", "allowed"),
    [
        ("read", "read", True),
        ("from memory", "read", True),
        ("read", "second-hand", False),
        ("second-hand", "from memory", False),
        ("computed", "from memory", True),
        ("read", "computed", False),
    ],
)
def test_a_claim_is_at_most_what_the_page_says(claimed: str, known: str, allowed: bool) -> None:
    assert (claimed in _allowed(known)) is allowed


@pytest.mark.parametrize(
    ("text", "keys"),
    [
        ("statics; LOCPAS-TSI-1302-2014, 4.2.4.5.5", ["LOCPAS-TSI-1302-2014"]),
        ("49 CFR 232.205 (c)(1) and UIC 544-1.", ["49 CFR 232", "UIC 544-1"]),
        ("EN 15807, 5.1.1; Coulomb's law", ["EN 15807"]),
        ("definition", []),
    ],
)
def test_a_key_is_seen_in_running_text(text: str, keys: list[str]) -> None:
    assert KEY.findall(text) == keys


def test_a_key_may_go_on_into_a_section() -> None:
    assert _key_of("49 CFR 232.205") == "49 CFR 232"
    assert _key_of("49 CFR 2320") is None
    assert _key_of("UIC 541-03") == "UIC 541-03"
