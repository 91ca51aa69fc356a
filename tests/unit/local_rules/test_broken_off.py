"""What local rules say of a job broken off, or handed over."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.base.errors import InputError
from headstock.local_rules.broken_off import UNSAID
from headstock.local_rules.rules import BUILT_IN, load_local_rules


def test_the_rules_may_be_silent() -> None:
    assert load_local_rules(BUILT_IN / "lanthorn-reach.yaml").broken_off is None
    assert UNSAID.boards_on.value == "nothing"
    assert UNSAID.relief_looks_at.value == ("hand and parking brakes",)


def test_words_fill_in_only_what_there_is(tmp_path: Path) -> None:
    text = (BUILT_IN / "wending-vale.yaml").read_text(encoding="utf-8")
    bad = tmp_path / "rules.yaml"
    bad.write_text(text.replace("Job at {joint} broken off.", "Job at {place} broken off."), encoding="utf-8")
    with pytest.raises(InputError, match=r"\{place\} is not filled in here"):
        load_local_rules(bad)
