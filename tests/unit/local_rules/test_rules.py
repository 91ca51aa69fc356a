"""Local rules, methods and places: loaded, and refused where they contradict themselves."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from headstock.base.errors import InputError
from headstock.formation.place import load_place
from headstock.local_rules.rules import BUILT_IN, load_local_rules
from headstock.local_rules.test_method import BUILT_IN as METHODS
from headstock.local_rules.test_method import load_test_method
from headstock.usecases.job_file import PLACES_FOLDER

RULES = BUILT_IN / "wending-vale.yaml"
METHOD = METHODS / "rear-application.yaml"
PLACE = PLACES_FOLDER / "harrow-ings-3.yaml"
CASES: tuple[tuple[Path, Callable[[Path], Any], str, str, str], ...] = (
    (RULES, load_local_rules, "[2.0, 0.6]", "[0.6, 2.0]", "must come closer"),
    (RULES, load_local_rules, "margin: {value: 1.5, source: demo}", "margin: {value: 1.5, source: dimo}", "nearest demo"),
    (RULES, load_local_rules, "margin: {value: 1.5", "margin: {value: 0.5", "at least 1"),
    (RULES, load_local_rules, "pressure_unit: bar", "pressure_unit: atm", "bar"),
    (METHOD, load_test_method, "key: lapped", "key: charged", "names of their own"),
    (METHOD, load_test_method, "    reading: {at: front, limit: front_full_at_most_bar, name: \"Applied, front\"}\n", "",
     "move a valve or read a gauge"),
    (PLACE, load_place, "falls_towards: south", "falls_towards: up", "falls_towards must be one of"),
    (PLACE, load_place, "gradient: 1 in 150", "gradient: 1 in 5", "outside level to 100 per mille"),
    (PLACE, load_place, "gradient: 1 in 150", "gradient: level", "a level road falls nowhere"),
    (PLACE, load_place, "gradient: 1 in 150", "gradient: steep", "gradient"),
    (PLACE, load_place, "[north, south]", "[north, north]", "two different words"),
)  # fmt: skip


@pytest.mark.parametrize(("path", "load", "before", "after", "word"), CASES)
def test_a_contradiction_is_refused_with_its_place(
    path: Path, load: Callable[[Path], Any], before: str, after: str, word: str, tmp_path: Path
) -> None:
    text = path.read_text(encoding="utf-8")
    assert before in text
    changed = tmp_path / path.name
    changed.write_text(text.replace(before, after, 1), encoding="utf-8")
    with pytest.raises(InputError) as caught:
        load(changed)
    assert word in caught.value.text(), caught.value.text()


def test_a_missing_allowance_says_what_to_add() -> None:
    rules = load_local_rules(RULES)
    with pytest.raises(InputError) as caught:
        rules.allowance_s("juggle")
    assert "Add juggle" in caught.value.text()


@pytest.mark.parametrize(("gradient", "slope"), [("level", 0.0), ("1 in 150", 1 / 150), ("6.7 per mille", 0.0067)])
def test_a_gradient_is_read_in_the_words_of_the_trade(gradient: str, slope: float, tmp_path: Path) -> None:
    text = PLACE.read_text(encoding="utf-8").replace("gradient: 1 in 150", f"gradient: {gradient}")
    if gradient == "level":
        text = text.replace("falls_towards: south\n", "")
    (tmp_path / "place.yaml").write_text(text, encoding="utf-8")
    assert load_place(tmp_path / "place.yaml").slope == pytest.approx(slope)
