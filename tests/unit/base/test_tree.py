"""Names in a file: text, once each, and faults with the path to them."""

import pytest

from headstock.base.documents import document_from_text
from headstock.base.errors import Fault, NotationError
from headstock.base.tree import MOST_FAULTS


def faults_of(text: str) -> tuple[Fault, ...]:
    with pytest.raises(NotationError) as caught:
        document_from_text(text, "demo.yaml")
    return caught.value.faults


def test_a_name_written_twice_is_refused_with_both_lines() -> None:
    (fault,) = faults_of("a:\n  - b: 1\n    c: 2\n    b: 3\n")
    assert fault.what == "name written twice, on lines 2 and 4"
    assert (fault.line, fault.path) == (4, "a[0].b")


def test_a_name_written_three_times_is_refused_twice() -> None:
    assert [fault.line for fault in faults_of("a: 1\n'a': 2\n\"a\": 3\n")] == [2, 3]


def test_the_same_name_in_two_groups_is_no_fault() -> None:
    assert document_from_text("a: {x: 1}\nb: {x: 1}\n", "demo.yaml").value == {"a": {"x": 1}, "b": {"x": 1}}


@pytest.mark.parametrize("name", ["1", "1.5", "true", "null", "~", "017", ".nan"])
def test_a_name_that_is_not_text_is_refused_and_quotes_advised(name: str) -> None:
    (fault,) = faults_of(f"a: 1\n{name}: 2\n")
    assert (fault.what, fault.line) == ("name is not text", 2)
    assert f'"{name}"' in (fault.expected or "")
    assert document_from_text(f"a: 1\n'{name}': 2\n", "demo.yaml").value == {"a": 1, name: 2}


@pytest.mark.parametrize("name", ["on", "off", "yes", "no", "217a"])
def test_a_plain_word_is_a_good_name(name: str) -> None:
    assert document_from_text(f"{name}: 1\n", "demo.yaml").value == {name: 1}


def test_an_empty_name_is_refused() -> None:
    assert faults_of("'': 1\n")[0].what == "name is not text"


def test_groups_and_lists_as_names_are_refused_and_the_rest_still_read() -> None:
    faults = faults_of("? [a, {b: 1}]\n: c\n? {d: 1}\n: {e: .nan}\nf: .nan\n")
    assert [(fault.what, fault.line, fault.path) for fault in faults] == [
        ("name is not text", 1, ""),
        ("name is not text", 3, ""),
        ("not a finite number", 4, "e"),
        ("not a finite number", 5, "f"),
    ]


def test_the_path_of_a_fault_leads_through_lists_and_groups() -> None:
    faults = faults_of("a:\n  - [1, .nan]\n  - b:\n      c: .inf\n      d: .inf\ne: .nan\n")
    assert [fault.path for fault in faults] == ["a[0][1]", "a[1].b.c", "a[1].b.d", "e"]
    assert [fault.line for fault in faults] == [2, 4, 5, 6]


def test_shorthand_in_a_name_is_placed_in_its_group_not_in_the_value_before() -> None:
    assert [fault.path for fault in faults_of("a:\n  b: 1\n  &x c: 2\n  *x : 3\n")] == ["a", "a"]


@pytest.mark.parametrize("escape", ["\\0", "\\a", "\\e", "\\x7f", "\\N", "\\L", "\\uFFFE"])
def test_control_characters_written_as_escapes_are_refused(escape: str) -> None:
    (fault,) = faults_of(f'a: 1\nb: "x{escape}y"\n')
    assert (fault.what, fault.line, fault.path) == ("control character", 2, "b")
    assert faults_of(f'"x{escape}y": 1\n')[0].what == "control character in a name"


def test_line_ends_and_tabs_may_stand_in_text_but_not_in_a_name() -> None:
    assert document_from_text('a: "x\\n\\ty"\n', "demo.yaml").value == {"a": "x\n\ty"}
    assert faults_of('"x\\ny": 1\n')[0].what == "control character in a name"


def test_reading_stops_after_a_hundred_faults() -> None:
    assert len(faults_of("a: .nan\n" * 5000)) == MOST_FAULTS
