"""Data of unit types as people read them: the unit behind the figure."""

import pytest

from headstock.equipment.library import load_fleet
from headstock.usecases.answers_as_data.fleet import said_of, with_unit
from headstock.usecases.unit_type_words import type_words


@pytest.mark.parametrize(("field", "value", "words"), [
    ("height_mm", 1025.0, "height 1025 mm"), ("vent_area_mm2", 12, "vent area 12 mm²"),
    ("closes_from_kmh", 1, "closes from 1 km/h"),
    ("accuracy_class_percent", 1.6, "accuracy class 1.6 %"), ("cylinder_bar_per_bar", 2.4, "cylinder 2.4 bar per bar"),
    ("per_kmh_n", 32, "32 N per km/h"), ("pantographs_m", [30.0, 50.0], "pantographs 30, 50 m"),
    ("share_of_weight", 0.5, "share of weight 0.5"), ("moves", True, "moves yes"), ("as_left", "in", "as left in"),
])  # fmt: skip
def test_a_figure_has_its_unit_behind_it(field: str, value: object, words: str) -> None:
    assert with_unit(field, value) == words


def test_what_lies_inside_is_said_the_same_way() -> None:
    assert said_of({"kind": "cab valve", "positions": [{"word": "Full", "ends_at_bar": 3.4}]}) == (
        "cab valve; positions word Full, ends at 3.4 bar"
    )


def test_no_word_of_a_type_is_a_field_s_name() -> None:
    for unit_type in load_fleet(None).types.values():
        words = type_words(unit_type)
        parts = [*words.ends["1"], *words.ends["2"], *words.vehicles, *words.unit]
        assert not [part.says for part in parts if "_" in part.says]
