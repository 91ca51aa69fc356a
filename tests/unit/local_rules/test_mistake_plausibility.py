"""Ranks of plausibility: three of them, with a note that says what they are not."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.base.errors import InputError
from headstock.local_rules.mistake_plausibility import DEMONSTRATION, load_mistake_plausibility


def test_the_demonstration_says_that_it_is_invented_and_no_probability() -> None:
    ranks = load_mistake_plausibility(DEMONSTRATION)
    assert ranks.invented
    assert "no error rates" in ranks.note
    assert "no probability" in ranks.note


@pytest.mark.parametrize("written", ["0", "4", "0.5", "high"])
def test_a_rank_is_one_two_or_three(written: str, tmp_path: Path) -> None:
    text = DEMONSTRATION.read_text(encoding="utf-8").replace("left_out: 3", f"left_out: {written}")
    (tmp_path / "ranks.yaml").write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match="left_out"):
        load_mistake_plausibility(tmp_path / "ranks.yaml")
