"""A stage of a test is done at one end and moves a valve to somewhere else."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.base.errors import InputError
from headstock.local_rules.test_method import BUILT_IN, load_test_method

METHOD = (BUILT_IN / "rear-application.yaml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("before", "after", "word"),
    [
        ("{at: rear, before: locked, after: full}", "{at: front, before: locked, after: full}", "one stage is done at one end"),
        ("{at: front, before: running, after: lap}", "{at: front, before: lap, after: lap}", "to where it already is"),
    ],
)
def test_a_stage_that_contradicts_itself_is_refused(before: str, after: str, word: str, tmp_path: Path) -> None:
    assert before in METHOD
    (tmp_path / "method.yaml").write_text(METHOD.replace(before, after), encoding="utf-8")
    with pytest.raises(InputError) as caught:
        load_test_method(tmp_path / "method.yaml")
    assert word in caught.value.text()
