"""Lists of drawn tests and of extra looks: what they say of themselves, and what is refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.base.errors import InputError
from headstock.local_rules import extra_looks
from headstock.local_rules.drawn_tests import DEMONSTRATION, FAULT_KINDS, SEVERITY_OF, load_drawn_tests
from headstock.local_rules.extra_looks import load_extra_looks

TEXT = DEMONSTRATION.read_text(encoding="utf-8")


def test_the_demonstration_says_that_it_is_invented_and_that_nobody_has_counted() -> None:
    drawn = load_drawn_tests(DEMONSTRATION)
    assert drawn.invented and "nobody has counted" in drawn.note and "All invented" in drawn.note
    assert {fault.kind for fault in drawn.faults} == set(FAULT_KINDS)
    assert {fault.kind for fault in drawn.faults if fault.severities} == set(SEVERITY_OF)
    looks = load_extra_looks(extra_looks.DEMONSTRATION)
    assert looks.invented and "invented" in looks.note


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [
        ("{kind: cock shut, weight: 6}", "{kind: cock shut, weight: 0}", "weight"),
        ("{kind: cock shut, weight: 6}", "{kind: cock shot, weight: 6}", "kind"),
        ("{kind: cock shut, weight: 6}", "{kind: cock shut, weight: 6, severities: [1]}", "no severities"),
        ("severities: [0.3, 0.1, 0.03, 0.01]", "severities: [1.0]", "share of the bore"),
        ("severities: [0.4, 0.8, 1.6, 3.2]", "severities: [0.0]", "more than 0"),
        ("  - {kind: nothing, weight: 100}\n", "", "nothing among them"),
        ("{kind: brake isolated, weight: 4}", "{kind: cock shut, weight: 4}", "twice: cock shut"),
        ("{low: -10, high: 30}", "{low: 30, high: -10}", "high must not be less"),
        ("eye_share_of_mark: 0.25", "eye_share_of_mark: 1.5", "eye_share_of_mark"),
        ("note: >-", "comment: >-", "note"),
    ],
)
def test_a_list_that_cannot_be_meant_is_refused_by_name(before: str, after: str, said: str, tmp_path: Path) -> None:
    assert before in TEXT
    (tmp_path / "mine.yaml").write_text(TEXT.replace(before, after, 1), encoding="utf-8")
    with pytest.raises(InputError) as caught:
        load_drawn_tests(tmp_path / "mine.yaml")
    assert said in caught.value.text()


def test_a_look_shows_kinds_of_fault_that_there_are_and_takes_time(tmp_path: Path) -> None:
    text = extra_looks.DEMONSTRATION.read_text(encoding="utf-8")
    for before, after in (("[gauge stuck, gauge off", "[gauge struck, gauge off"), ("minutes: 12", "minutes: 0")):
        assert before in text
        (tmp_path / "looks.yaml").write_text(text.replace(before, after), encoding="utf-8")
        with pytest.raises(InputError):
            load_extra_looks(tmp_path / "looks.yaml")
