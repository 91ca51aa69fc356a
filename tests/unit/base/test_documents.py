"""Reading of files: what is taken, and every refusal."""

import os
from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from headstock.base import documents
from headstock.base.documents import document_from_text, read_document
from headstock.base.errors import Fault, FileError, InputError, NotationError

LOADERS = [yaml.SafeLoader, getattr(yaml, "CSafeLoader", yaml.SafeLoader)]


@pytest.fixture(params=LOADERS, ids=["plain parser", "compiled parser"])
def _each_parser(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(documents, "_LOADER", request.param)


def refusal(text: str) -> NotationError:
    with pytest.raises(NotationError) as caught:
        document_from_text(text, "demo.yaml")
    assert all("yaml.org/" not in fault.text() and "token" not in fault.text() for fault in caught.value.faults)
    return caught.value


def only_fault(text: str) -> Fault:
    faults = refusal(text).faults
    assert len(faults) == 1, [fault.text() for fault in faults]
    return faults[0]


def file_refusal(path: Path) -> Fault:
    with pytest.raises(FileError) as caught:
        read_document(path)
    assert len(caught.value.faults) == 1
    return caught.value.faults[0]


def test_a_file_becomes_plain_values_with_the_line_of_each(tmp_path: Path) -> None:
    path = tmp_path / "unit.yaml"
    path.write_text("headstock: unit 1\n# a remark\nends:\n  '1':\n    - kind: hose\n      length_m: 0.9\n", "utf-8")
    document = read_document(path)
    assert document.value == {"headstock": "unit 1", "ends": {"1": [{"kind": "hose", "length_m": 0.9}]}}
    assert document.name == str(path)
    assert document.line_of(()) == 1
    assert document.line_of(("ends", "1")) == 4
    assert document.line_of(("ends", "1", 0, "length_m")) == 6


def test_the_line_of_what_is_not_there_is_that_of_its_nearest_ancestor() -> None:
    document = document_from_text("a: 1\nends:\n  '1':\n    - kind: hose\n", "demo.yaml")
    assert document.line_of(("ends", "1", 0, "length_m")) == 4
    assert document.line_of(("ends", "2")) == 2
    assert document.line_of(("a", "b", "c")) == 1


def test_a_missing_file_is_refused_with_the_nearest_name(tmp_path: Path) -> None:
    (tmp_path / "beck-217.yaml").write_text("a: 1\n")
    fault = file_refusal(tmp_path / "beck-271.yaml")
    assert fault.what == "no such file"
    assert fault.nearest == str(tmp_path / "beck-217.yaml")
    assert file_refusal(tmp_path / "nowhere" / "a.yaml").nearest is None


def test_a_folder_is_refused(tmp_path: Path) -> None:
    assert file_refusal(tmp_path).what == "this is a folder"


def test_a_name_no_file_can_have_is_refused() -> None:
    assert "cannot be read" in file_refusal(Path("a\0b")).what


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="nothing is forbidden to the superuser")
def test_a_file_that_may_not_be_read_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "shut.yaml"
    path.write_text("a: 1\n")
    path.chmod(0)
    assert "permission" in file_refusal(path).what


def test_bytes_that_are_not_utf_8_are_refused_with_offset_and_line(tmp_path: Path) -> None:
    path = tmp_path / "latin.yaml"
    path.write_bytes(b"a: 1\r\nb: caf\xe9\r\n")
    fault = file_refusal(path)
    assert (fault.line, fault.found) == (2, "byte 0xe9 at offset 12")


def test_sixteen_bit_text_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "wide.yaml"
    path.write_bytes("a: 1\n".encode("utf-16"))
    assert file_refusal(path).what == "not UTF-8 text"


def test_a_file_of_more_than_1_mb_is_refused_and_one_of_1_mb_read(tmp_path: Path) -> None:
    path = tmp_path / "large.yaml"
    path.write_bytes(b"a: 1\n#" + b"x" * 999_994)
    assert read_document(path).value == {"a": 1}
    path.write_bytes(b"a: 1\n#" + b"x" * 999_995)
    assert file_refusal(path).what == "file too large"


def test_text_of_more_than_1_mb_is_refused_counted_in_bytes() -> None:
    with pytest.raises(FileError, match="file too large"):
        document_from_text("a: " + "é" * 500_000, "demo.yaml")


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="no endless device here")
def test_an_endless_device_is_not_read_to_its_end() -> None:
    assert file_refusal(Path("/dev/zero")).what == "file too large"


@pytest.mark.usefixtures("_each_parser")
@pytest.mark.parametrize(
    ("text", "line", "what"),
    [
        ("a: 1\nb: [1, 2\n", 2, "a list in [ ]"),
        ("a: 1\nb: {c: 1\n", 2, "a group in { }"),
        ("a: 1\nb: 'open\n", 3, "a quote that is never closed"),
        ("a: 1\nb: c: d\n", 2, "a colon where none can stand"),
        ("a:\n  b: 1\n c: 2\n", 3, "a line that does not line up"),
        ("a: 1\n\tb: 2\n", 2, "a tab used to indent"),
        ("a: 1\nb: @c\n", 2, "an @ where text begins"),
        ("a: 1\nb: `c\n", 2, "a ` where text begins"),
        ("a: 1\nb: %c\n", 2, "a % where text begins"),
        ('a: 1\nb: "\\d"\n', 2, "a backslash sequence"),
        ("a: 1\nb\n", 3, "a name without its colon"),
        ("a: 1\nb: ]\n", 2, "a bracket or comma where none can stand"),
        ("a: 1\nb: * c\n", 2, "a * where text begins"),
    ],
)
def test_what_is_not_yaml_is_refused_with_line_column_and_plain_words(text: str, line: int, what: str) -> None:
    fault = only_fault(text)
    assert fault.what.startswith(what)
    assert fault.line is not None
    assert abs(fault.line - line) <= 1  # the two parsers count the end of the text differently
    assert " in column " in (fault.found or "")


@pytest.mark.usefixtures("_each_parser")
@pytest.mark.parametrize("opening", ["[", "{a: ", "- ", "? ", "[[{b: "])
@pytest.mark.parametrize("times", [41, 900, 60_000])
def test_nesting_deeper_than_40_is_refused_however_deep(opening: str, times: int) -> None:
    assert refusal(opening * times).faults[-1].what == "nested too deep"


@pytest.mark.usefixtures("_each_parser")
def test_nesting_of_40_is_read_and_41_refused() -> None:
    assert list(document_from_text("a: " + "[" * 39 + "]" * 39, "demo.yaml").value) == ["a"]
    assert only_fault("a: " + "[" * 40 + "]" * 40).what == "nested too deep"


@pytest.mark.usefixtures("_each_parser")
def test_anchors_and_what_refers_to_them_are_refused_each_with_its_line() -> None:
    faults = refusal("a: &x\n  b: 1\nc:\n  - *x\n").faults
    assert [(fault.line, fault.path) for fault in faults] == [(1, "a"), (4, "c[0]")]
    assert all("write it out" in (fault.expected or "") for fault in faults)


def test_a_bomb_of_references_is_refused_at_once() -> None:
    rows = [f"x{row}: &x{row} [{', '.join([f'*x{row - 1}'] * 9)}]" for row in range(1, 30)]
    assert len(refusal("x0: &x0 a\n" + "\n".join(rows)).faults) <= 101


@pytest.mark.usefixtures("_each_parser")
@pytest.mark.parametrize("text", ["a: !!str 1", "a: !python/object:os.system x", "a: ! x", "a: !!set {b}", "!!map {a: 1}"])
def test_type_tags_are_refused(text: str) -> None:
    assert "type tag" in [fault.what for fault in refusal(text).faults]


@pytest.mark.usefixtures("_each_parser")
def test_a_second_document_is_refused_where_it_begins() -> None:
    assert (only_fault("a: 1\n---\nb: 2\n").what, only_fault("a: 1\n---\nb: 2\n").line) == ("a second document", 2)


@pytest.mark.usefixtures("_each_parser")
def test_lines_beginning_with_percent_are_refused() -> None:
    assert only_fault("%YAML 1.1\n---\na: 1\n").what == "YAML directive"


@pytest.mark.usefixtures("_each_parser")
def test_one_document_may_have_its_marks() -> None:
    assert document_from_text("---\na: 1\n...\n", "demo.yaml").value == {"a": 1}


@pytest.mark.usefixtures("_each_parser")
@pytest.mark.parametrize("text", ["", "\n\n", "# only a remark\n", "\ufeff"])
def test_an_empty_file_is_refused(text: str) -> None:
    assert only_fault(text).what == "the file is empty"


@pytest.mark.usefixtures("_each_parser")
@pytest.mark.parametrize(("text", "found"), [("- a\n", "a list"), ("a\n", "a single value"), ("'a'\n", "a single value")])
def test_a_file_that_is_no_group_of_names_is_refused(text: str, found: str) -> None:
    assert only_fault(text).found == found


@pytest.mark.parametrize("character", ["\0", "\x07", "\x1b", "\x7f", "\x85", "\u2028", "\ufffe", "\ud800"])
def test_control_characters_are_refused_with_line_and_column(character: str) -> None:
    fault = only_fault(f"a: 1\nb: x{character}y\n")
    assert fault.what == "control character"
    assert fault.line == 2
    assert fault.found == f"U+{ord(character):04X} in column 5"


@pytest.mark.usefixtures("_each_parser")
@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_the_line_endings_of_every_system_give_the_same_lines(ending: str) -> None:
    text = ending.join(["a: 1", "b: |", "  one", "  two", "c: [1,", "  x: 2]", ""])
    document = document_from_text(text, "demo.yaml")
    assert document.value == {"a": 1, "b": "one\ntwo\n", "c": [1, {"x": 2}]}
    assert document.line_of(("c", 1, "x")) == 6


def test_a_byte_order_mark_at_the_beginning_is_no_fault(tmp_path: Path) -> None:
    path = tmp_path / "marked.yaml"
    path.write_bytes(b"\xef\xbb\xbfa: 1\r\nb: 2\r\n")
    assert read_document(path).value == {"a": 1, "b": 2}
    path.write_bytes(b"a: 1\r\nb: \xef\xbb\xbf2\r\n")
    with pytest.raises(NotationError, match=r"U\+FEFF"):
        read_document(path)


def test_faults_before_a_break_in_the_text_are_reported_with_it() -> None:
    faults = refusal("1: a\nb: .nan\nc: [1\n").faults
    assert [fault.what.split()[0] for fault in faults] == ["name", "not", "a"]


YAML_LIKE = st.lists(
    st.sampled_from(
        ["a", "b", ": ", ":", "- ", "\n", "\n  ", "\n    ", "[", "]", "{", "}", ", ", "'", '"', "&a ", "*a", "!x ", "|\n", ">",
         "? ", "#", "---\n", "...\n", "%", "\t", "1", "0o7", ".nan", "true", "~", "\\", "é", "\r", "\0", "@", "`", "<<"]
    )
).map("".join)  # fmt: skip


def document_or_refusal(text: str) -> None:
    try:
        document = document_from_text(text, "demo.yaml")
    except InputError as error:
        assert error.faults
        assert all(fault.text().isprintable() for fault in error.faults)
        assert error.text().encode("utf-8")
    else:
        assert all(isinstance(key, str) for key in document.value)
        assert 1 <= document.line_of(tuple(document.value)[:1]) <= text.count("\n") + text.count("\r") + 1


@given(st.one_of(YAML_LIKE, st.text()))
def test_any_text_gives_a_document_or_a_refusal_and_nothing_else(text: str) -> None:
    document_or_refusal(text)


@given(YAML_LIKE)
def test_any_text_is_read_by_the_plain_parser_too(text: str) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(documents, "_LOADER", yaml.SafeLoader)
        document_or_refusal(text)


@given(st.binary(max_size=300))
def test_any_bytes_give_a_document_or_a_refusal(tmp_path_factory: pytest.TempPathFactory, content: bytes) -> None:
    path = tmp_path_factory.getbasetemp() / "any.yaml"
    path.write_bytes(content)
    try:
        read_document(path)
    except InputError as error:
        assert error.faults
