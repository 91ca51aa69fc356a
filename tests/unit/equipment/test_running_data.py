"""What a type states of running: each law with what it needs and nothing else; all of it may be left out."""

from __future__ import annotations

import pytest

from headstock.base.documents import document_from_text
from headstock.base.errors import ContentError
from headstock.base.loading import load_as
from headstock.equipment.library import BUILT_IN, KIND, load_fleet
from headstock.equipment.unit_type import UnitType

TARN = (BUILT_IN / "tarn.yaml").read_text(encoding="utf-8")
TABLE = "friction: {law: table, points: [[0, 0.31], [40, 0.36], [100, 0.35], [200, 0.30]]}"
PRELOADED = "law: preloaded, stroke_mm: 60, force_kn: 620, preload_kn: 60"


def _faults(before: str, after: str) -> str:
    assert before in TARN
    with pytest.raises(ContentError) as caught:
        load_as(document_from_text(TARN.replace(before, after, 1), "tarn.yaml"), UnitType, KIND)
    return " ".join(f"{fault.what} {fault.found} {fault.expected}" for fault in caught.value.faults)


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [
        (TABLE, "friction: {law: constant, coefficient: 0.3}", "coefficient and up_to_kmh belong to law: constant"),
        (TABLE, "friction: {law: constant, points: [[0, 0.3]]}", "points belong to law: table"),
        (TABLE, "friction: {law: table, points: [[10, 0.3], [20, 0.3]]}", "points must begin at 0"),
        (TABLE, "friction: {law: table, points: [[0, 0.3], [20, 0.3], [20, 0.2]]}", "points must rise"),
        (PRELOADED, "law: linear, stroke_mm: 60, force_kn: 620, preload_kn: 60", "preload_kn belongs to law: preloaded"),
        (PRELOADED, "law: preloaded, stroke_mm: 60, force_kn: 620", "preload_kn belongs to law: preloaded"),
        (PRELOADED, "law: preloaded, stroke_mm: 60, force_kn: 620, preload_kn: 700", "preload_kn must be below force_kn"),
        (PRELOADED, "law: measured, stroke_mm: 60, force_kn: 620, points: [[0, 0], [50, 600]]", "points must end at"),
        ("[70, 1], [160, 0.45]]", "[70, 1.2], [160, 0.45]]", "a share is at most 1"),
        ("[[0, 1], [10.1, 1.18]]", "[[1, 1], [10.1, 1.18]]", "load_sensing must begin at [0, 1]"),
        ("[[0, 1], [10.1, 1.18]]", "[[0, 1.2], [10.1, 1.18]]", "load_sensing must begin at [0, 1]"),
        ("[[0, 1], [10.1, 1.18]]", "[[0, 1], [5, 1.2], [10.1, 1.18]]", "no less force for more load"),
        ("{laden_t: 5.9, exceptional_t: 10.1", "{laden_t: 11, exceptional_t: 10.1", "exceptional_t must not be below laden_t"),
        ('{word: "2", pull_kn: 70', '{word: "2", pull_kn: 7', "pull_kn must rise"),
    ],
)
def test_what_does_not_belong_together_is_told(before: str, after: str, said: str) -> None:
    assert said in _faults(before, after)


def test_the_invented_fleet_states_what_stopping_and_loads_ask_for() -> None:
    for name, one in load_fleet().types.items():
        assert all(vehicle.friction_brake and vehicle.payload for vehicle in one.vehicles), name
