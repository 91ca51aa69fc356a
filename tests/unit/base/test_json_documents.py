"""JSON files read like any other document: lines, and everything refused that would have to be guessed."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from headstock.base.errors import FileError, NotationError
from headstock.base.json_documents import json_from_text, read_json

plain = st.none() | st.booleans() | st.integers(-(2**53), 2**53) | st.floats(allow_nan=False, allow_infinity=False) | st.text(
    st.characters(min_codepoint=32, max_codepoint=126), max_size=8
)  # fmt: skip
names = st.text(st.sampled_from("abc_ 9"), min_size=1, max_size=6)
values = st.recursive(plain, lambda inner: st.lists(inner, max_size=4) | st.dictionaries(names, inner, max_size=4), max_leaves=12)


@given(st.dictionaries(names, values, max_size=5), st.sampled_from([None, 1, "\t"]))
def test_what_a_json_writer_wrote_is_read_back(value: dict[str, object], indent: int | str | None) -> None:
    file = json_from_text(json.dumps(value, indent=indent), "case.json")
    assert not file.is_list
    assert file.documents[0].value == value


def test_a_list_of_objects_keeps_its_shape_and_the_lines_of_each() -> None:
    file = json_from_text('[{"a": 1},\n {"a":\n  [1,\n   2]}]', "case.json")
    assert file.is_list
    assert [document.value for document in file.documents] == [{"a": 1}, {"a": [1, 2]}]
    assert file.documents[1].line_of(("a", 1)) == 4
    assert file.documents[0].line_of(("a",)) == 1


def test_a_character_written_as_two_escapes_is_one() -> None:
    assert json_from_text('{"a": "\\ud83d\\ude82"}', "case.json").documents[0].value == {"a": "\U0001f682"}


@pytest.mark.parametrize(
    ("text", "line", "said"),
    [
        ("", None, "the file is empty"),
        (" \n", None, "the file is empty"),
        ('"x"', 1, "no JSON object"),
        ("[]", 1, "no JSON object"),
        ('[{"a": 1},\n 3]', 2, "not a JSON object"),
        ('{"a": 1,}', 1, "no comma before a }"),
        ('{"a": 1\n "b": 2}', 2, "a comma between two parts"),
        ('{"a" 1}', 1, "a colon after the name"),
        ('{"a": 1} x', 1, "nothing after the first value"),
        ('{"a": "x', 1, "a closing double quote"),
        ('{"a":\n +1}', 2, "a value"),
        ('{"a": 01}', 1, "not written as JSON"),
        ('{"a": 1,\n "a": 2}', 2, "name written twice, on lines 1 and 2"),
        ('{"a":\n NaN}', 2, "not a finite number"),
        ('{"a": [1,\n -Infinity]}', 2, "not a finite number"),
        ('{"a": 1e999}', 1, "number too large"),
        ('{"a": ' + "9" * 6000 + "}", 1, "number too large"),
        ('{"a": "\\ud800"}', 1, "control character"),
        ('{"a": "\x01"}', 1, "control character"),
        ('{"a":\n' + "[" * 60 + "]" * 60 + "}", 2, "nested too deep"),
        ("[" * 200_000, None, "nested too deep"),
    ],
)
def test_what_is_refused_is_named_with_its_line(text: str, line: int | None, said: str) -> None:
    with pytest.raises(NotationError) as caught:
        json_from_text(text, "case.json")
    (fault,) = caught.value.faults
    assert said in fault.text()
    assert fault.line == line
    assert fault.file == "case.json"


def test_every_fault_of_the_notation_is_told_at_once() -> None:
    with pytest.raises(NotationError) as caught:
        json_from_text('{"a": NaN,\n "b": Infinity,\n "b": 2}', "case.json")
    assert [fault.line for fault in caught.value.faults] == [1, 2, 3]


@pytest.mark.parametrize("content", [b"\xff\xfe{}", b'{"a": "caf\xe9"}', b"{" + b" " * 1_000_001 + b"}"])
def test_what_is_not_text_of_a_sensible_size_is_refused(content: bytes, tmp_path: Path) -> None:
    (tmp_path / "case.json").write_bytes(content)
    with pytest.raises(FileError):
        read_json(tmp_path / "case.json")


def test_a_mark_of_byte_order_is_no_part_of_the_text(tmp_path: Path) -> None:
    (tmp_path / "case.json").write_bytes(b'\xef\xbb\xbf{"a": 1}\r\n')
    assert read_json(tmp_path / "case.json").documents[0].value == {"a": 1}
