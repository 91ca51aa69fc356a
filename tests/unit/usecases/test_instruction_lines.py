"""Plain text instructions: numbers, bullets, columns, roles, headings, and files that cannot be meant."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.base.errors import InputError
from headstock.usecases.instruction_lines import WrittenLine, is_plain_text, written_lines
from headstock.usecases.trade_words import BUILT_IN, load_trade_words

WORDS = load_trade_words(BUILT_IN)
VOCABULARY = frozenset({"open", "the", "cock", "hoses", "join", "brake", "pipe", "test"})


def lines_of(content: bytes | str, tmp_path: Path) -> tuple[WrittenLine, ...]:
    path = tmp_path / "order.txt"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return written_lines(path, WORDS, VOCABULARY)


def faults_of(content: bytes | str, tmp_path: Path) -> str:
    with pytest.raises(InputError) as refused:
        lines_of(content, tmp_path)
    return refused.value.text()


@pytest.mark.parametrize(
    "row",
    ["1. Shunter: open the cock", "1) Shunter: open the cock", "(1) Shunter: open the cock", "- shunter: open the cock",
     "• SHUNTER: open the cock", "Shunter: open the cock", "12.3. The shunter: open the cock", "Shunter opens the cock",
     "S: open the cock", "Shunter - open the cock", "Shunter – open the cock", "1 | shunter | open the cock",
     "| 1 | Shunter | open the cock |", "1\tshunter\topen the cock", "Step 4: Shunter: open the cock",
     "shunter   open the cock"],
)  # fmt: skip
def test_the_role_and_the_words_of_a_line_are_found_however_it_is_written(row: str, tmp_path: Path) -> None:
    (line,) = lines_of(row, tmp_path)
    assert (line.role, line.kind) == ("shunter", "step")
    assert line.text in ("open the cock", "opens the cock")


def test_a_line_without_a_role_has_none_and_a_word_of_the_trade_before_a_colon_is_no_role(tmp_path: Path) -> None:
    lines = lines_of("open the cock\nHoses: join\nBrake pipe: open the cock\nDriver's cock: open\n", tmp_path)
    assert [(line.role, line.kind) for line in lines] == [("", "step")] * 4


def test_windows_line_ends_a_mark_of_byte_order_and_blank_lines_change_nothing(tmp_path: Path) -> None:
    plain = lines_of("1. Shunter: open the cock\n\n2. Guard: test\n", tmp_path)
    assert lines_of("\ufeff1. Shunter: open the cock\r\n\r\n2. Guard: test\r\n", tmp_path) == plain
    assert [line.number for line in plain] == [1, 3]


def test_headings_and_remarks_are_set_apart_and_kept(tmp_path: Path) -> None:
    text = "Join two units\n\n# Between\nBETWEEN THE ENDS\nThe hoses:\n----\nNote: open the cock\n"
    text += "".join(f"{number}. Shunter: join\n" for number in range(1, 8))
    kinds = [(line.text, line.kind) for line in lines_of(text, tmp_path)]
    assert [kind for _, kind in kinds] == ["loose", *["heading"] * 4, "remark", *["step"] * 7]


def test_a_table_has_a_heading_row(tmp_path: Path) -> None:
    lines = lines_of("| no | who | what |\n|---|---|---|\n| 1 | guard | test |\n", tmp_path)
    assert [line.kind for line in lines] == ["heading", "heading", "step"]


def test_an_indented_row_goes_on_from_its_numbered_line(tmp_path: Path) -> None:
    (line,) = lines_of("1. Shunter: open the cock\n   of the brake pipe\n", tmp_path)
    assert line.text == "open the cock of the brake pipe"


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ("Shunter: join\nForeman: open the cock\n", "unknown role @ {}:2: found 'Foreman', expected driver, shunter, guard"),
        ("Gaurd: test\n", "nearest guard"),
        ("Shunter and guard: join\n", "two roles on one line @ {}:1"),
        ("", "the instruction has no line"),
        ("\n# Title\n\n", "the instruction has no line"),
        (b"Shunter: join \xff\n", "not UTF-8 text @ {}:1"),
        (b"\x00\x01\x02Shunter", "control character @ {}:1"),
        ("Shunter: join\nShunter: " + "x" * 1001, "line too long @ {}:2"),
        ("Shunter: join\n" * 2001, "too many lines"),
    ],
)
def test_what_cannot_be_meant_is_one_error_with_its_place(content: bytes | str, said: str, tmp_path: Path) -> None:
    assert said.format(tmp_path / "order.txt") in faults_of(content, tmp_path)


def test_all_unknown_roles_are_named_at_once(tmp_path: Path) -> None:
    said = faults_of("Foreman: join\nShunter: join\nPorter: join\n", tmp_path)
    assert ":1" in said and ":3" in said


@pytest.mark.parametrize(
    ("name", "content", "plain"),
    [("a.txt", "headstock: instruction 1\n", True), ("a", "1. Shunter: join\n", True), ("a", "\ufeffheadstock: job 1\n", False),
     ("a.md", "# Title\nShunter: join\n", True), ("a.yaml", "Shunter: join\n", False),
     ("a", "# ours\n\nheadstock: instruction 1\n", False)],
)  # fmt: skip
def test_what_does_not_begin_as_a_file_of_ours_is_plain_text(name: str, content: str, plain: bool, tmp_path: Path) -> None:
    (tmp_path / name).write_text(content, encoding="utf-8")
    assert is_plain_text(tmp_path / name) is plain


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [
        ("shut: [shut, close]", "shut: [shut, close, join]", "'join' is given to two meanings"),
        ("[open, shut]", "[open, close up]", "'close up' under opposites is more than one word"),
        ("idle: [the,", "idle: ['...',", "'...' is no word"),
        ("[open, shut]", "[open, ' ']", "' ' is no word"),
        ("driver: [driver,", "foreman: [driver,", "foreman"),
        ("invented: true", "colour: blue", "colour"),
    ],
)
def test_trade_words_that_cannot_be_meant_are_refused(before: str, after: str, said: str, tmp_path: Path) -> None:
    text = BUILT_IN.read_text(encoding="utf-8")
    assert before in text
    (tmp_path / "words.yaml").write_text(text.replace(before, after), encoding="utf-8")
    with pytest.raises(InputError) as refused:
        load_trade_words(tmp_path / "words.yaml")
    assert said in refused.value.text()
