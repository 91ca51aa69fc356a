"""Reading documents: what is plain is read plainly, everything else is one clear refusal."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from headstock.base.documents import document_from_text, read_document
from headstock.base.errors import InputError
from headstock.base.located import Document


def test_only_true_false_and_null_are_special_words() -> None:
    value = document_from_text("a: on\nb: yes\nc: true\nd: null\ne: 12\nf: 1.5\nh: '7'\n", "t").value
    assert (value["a"], value["b"], value["c"], value["d"], value["e"], value["f"]) == ("on", "yes", True, None, 12, 1.5)
    assert value["h"] == "7"


def test_every_value_knows_its_line() -> None:
    document = document_from_text("a: 1\nb:\n  - x\n  - y: 2\n", "t")
    assert [document.line_of(path) for path in (("a",), ("b", 0), ("b", 1, "y"), ("b", 9), ("q",))] == [1, 3, 4, 2, 1]


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("", "empty"),
        ("- a\n", "list"),
        ("a: 1\na: 2\n", "twice"),
        ("a: &x 1\nb: *x\n", "write it out"),
        ("a: !!python/object:os.system 1\n", "tag"),
        ("a: 1\n---\nb: 2\n", "document"),
        ("a: [1, 2\n", "line"),
        ("a: .nan\n", "finite"),
        ("1: a\n", "key"),
        ("a: " + "[" * 60 + "]" * 60 + "\n", "deep"),
        ("a: " + "[" * 200_000, "deep"),
        ("a: \x07\n", "control"),
    ],
)
def test_what_is_no_plain_document_is_refused_in_plain_words(text: str, word: str) -> None:
    with pytest.raises(InputError) as caught:
        document_from_text(text, "file.yaml")
    said = caught.value.text().lower()
    assert caught.value.exit_status == 2
    assert "file.yaml" in said
    assert "traceback" not in said
    if word in ("empty", "write it out", "deep", "control"):
        assert word in said


def test_files_that_cannot_be_read_are_named(tmp_path: Path) -> None:
    latin = tmp_path / "latin.yaml"
    latin.write_bytes(b"title: caf\xe9\n")
    huge = tmp_path / "huge.yaml"
    huge.write_bytes(b"a: " + b"x" * 1_000_001)
    for path, word in ((tmp_path / "no.yaml", "no such file"), (tmp_path, "folder"), (latin, "UTF-8"), (huge, "too large")):
        with pytest.raises(InputError) as caught:
            read_document(path)
        assert word.lower() in caught.value.text().lower() or path == tmp_path


def test_a_byte_order_mark_and_other_line_ends_are_read(tmp_path: Path) -> None:
    path = tmp_path / "a.yaml"
    path.write_bytes(b"\xef\xbb\xbfa: 1\r\nb: 2\r\n")
    assert read_document(path).value == {"a": 1, "b": 2}


@given(st.text(max_size=300))
def test_any_text_is_a_document_or_a_refusal(text: str) -> None:
    try:
        assert isinstance(document_from_text(text, "t"), Document)
    except InputError as error:
        assert error.faults
