"""Glossary, decision records and changelog keep their shape."""

import re
from pathlib import Path

import pytest

from tests.promises.tree import ROOT

RECORDS = sorted((ROOT / "docs/decisions").glob("*.md"))
PARTS = ["Why it came up", "What was decided", "What else was looked at", "What follows"]


def test_decision_records_are_numbered_without_a_gap() -> None:
    assert [int(record.name[:4]) for record in RECORDS] == list(range(len(RECORDS)))


@pytest.mark.parametrize("record", RECORDS, ids=lambda record: record.stem)
def test_a_decision_record_has_all_its_parts(record: Path) -> None:
    text = record.read_text(encoding="utf-8")
    assert re.search(r"^# (NNNN|\d{4}): \S", text)
    assert re.search(r"^Status: (proposed|accepted|replaced by \d{4})", text, re.MULTILINE)
    assert re.search(r"^Date: (YYYY-MM-DD|\d{4}-\d\d-\d\d)$", text, re.MULTILINE)
    assert re.findall(r"^## (.+)$", text, re.MULTILINE) == PARTS


def test_a_word_of_the_glossary_has_one_meaning() -> None:
    page = (ROOT / "docs/glossary.md").read_text(encoding="utf-8")
    words = [row[0] for row in re.findall(r"^\| ([^|]+) \| ([^|]+) \| [^|]*\|$", page, re.MULTILINE) if row[0] != "word"]
    assert len(words) > 50
    assert sorted(words) == sorted(set(words))


def test_a_word_in_bold_in_the_glossary_has_a_row() -> None:
    page = (ROOT / "docs/glossary.md").read_text(encoding="utf-8")
    words = {word for row in re.findall(r"^\| ([^|]+) \|", page, re.MULTILINE) for word in row.split(", ")}
    table = "\n".join(line for line in page.splitlines() if line.startswith("|"))
    assert set(re.findall(r"\*\*([^*]+)\*\*", table)) <= words
