"""Sources: each value names one, each one named is listed."""

from dataclasses import dataclass

import pytest
from pydantic import BaseModel, ConfigDict, ValidationError

from headstock.base.documents import document_from_text, load_as
from headstock.base.errors import ContentError
from headstock.base.sources import SOURCE_STATUSES, Entry, Source, missing_source_keys


@dataclass(frozen=True)
class Note:
    source: str


class Rules(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")

    leak_pa_per_s: Entry[float]
    steps: dict[str, tuple[Entry[int], ...]] = {}
    note: Note | None = None
    sources: dict[str, Source]


TEXT = """\
leak_pa_per_s: {value: 5, source: invented-rule}
steps:
  wait:
    - {value: 1, source: handbook}
    - value: 2
      source: handbok
note: {source: nowhere}
sources:
  invented-rule: {text: invented for the demo, edition: none, status: invented}
  handbook: {text: demo handbook, edition: "2", status: from memory}
  spare: {text: never named, edition: "1", status: common practice}
"""


def test_a_source_not_listed_is_a_fault_with_its_line_and_the_nearest_key() -> None:
    document = document_from_text(TEXT, "demo.yaml")
    rules = load_as(document, Rules)
    result = missing_source_keys(rules, rules.sources)
    assert result.missing == ((("steps", "wait", 1, "source"), "handbok"), (("note", "source"), "nowhere"))
    assert not result.is_complete
    assert [fault.text() for fault in result.faults(document, rules.sources)] == [
        "source not listed in sources @ demo.yaml:6 steps.wait[1].source: found 'handbok', "
        "expected a key of the file's sources; nearest handbook",
        "source not listed in sources @ demo.yaml:7 note.source: found 'nowhere', expected a key of the file's sources",
    ]


def test_a_listed_source_nothing_names_is_told_apart() -> None:
    rules = load_as(document_from_text(TEXT, "demo.yaml"), Rules)
    assert missing_source_keys(rules, rules.sources).unused == ("spare",)


def test_a_group_whose_own_name_is_source_is_walked_not_read() -> None:
    class Holder(BaseModel):
        by_name: dict[str, str]

    result = missing_source_keys(Holder(by_name={"source": "x"}), {})
    assert result.is_complete


def test_an_entry_without_source_is_refused() -> None:
    with pytest.raises(ContentError, match="missing field"):
        load_as(document_from_text("leak_pa_per_s: {value: 5}\nsources: {}\n", "demo.yaml"), Rules)


def test_an_entry_with_a_wrong_value_says_where() -> None:
    with pytest.raises(ContentError) as caught:
        load_as(document_from_text("leak_pa_per_s: {value: x, source: a}\nsources: {}\n", "demo.yaml"), Rules)
    assert [(fault.path, fault.expected) for fault in caught.value.faults] == [("leak_pa_per_s.value", "a number")]


@pytest.mark.parametrize("status", SOURCE_STATUSES)
def test_each_way_of_knowing_is_taken(status: str) -> None:
    assert Source.model_validate({"text": "a", "edition": "1", "status": status}).status == status


def test_a_source_says_what_and_which_edition_and_how_it_is_known() -> None:
    for wrong in ({"text": ""}, {"edition": ""}, {"status": "guessed"}):
        with pytest.raises(ValidationError):
            Source.model_validate({"text": "a", "edition": "1", "status": "read"} | wrong)


def test_sources_and_entries_do_not_change() -> None:
    with pytest.raises(ValidationError):
        Entry[int](value=1, source="a").value = 2  # type: ignore[misc]
