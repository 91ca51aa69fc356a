"""Where a lamp is reached from, and a portable one that is fetched, hung up, taken down and stowed."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from headstock.base.documents import document_from_text
from headstock.base.errors import ContentError
from headstock.base.loading import load_as
from headstock.devices.kind import At
from headstock.devices.lamp import KIND, LampSpec
from headstock.equipment.library import BUILT_IN
from headstock.equipment.unit_type import UnitType

PLAIN = {"kind": "lamp", "shows": "red", "as_left": "off", "source": "demo"}
HUNG = {**PLAIN, "hangs_on": "the left hook", "stowed": "cab 1 locker"}
AT = At("70", "red_lamp", end="2")
CRAG = (BUILT_IN / "crag.yaml").read_text(encoding="utf-8")


def spec(**data: str) -> LampSpec:
    return LampSpec.model_validate(data)


def test_a_lamp_is_reached_where_its_data_say_and_from_the_ground_if_they_are_silent() -> None:
    for data, spot in ((PLAIN, "end"), ({**PLAIN, "worked_from": "cab"}, "cab")):
        assert {act.spot for act in KIND.acts(AT, spec(**data))} == {spot}
    assert spec(**PLAIN).worked_from == "ground"


def test_a_portable_lamp_goes_from_its_stowage_to_its_hook_and_back_through_somebodys_hands() -> None:
    acts = {act.effects[0][1]: [] for act in KIND.acts(AT, spec(**HUNG))}  # type: ignore[var-annotated]
    for act in KIND.acts(AT, spec(**HUNG)):
        acts[act.effects[0][1]].append((act.needs[0][1], act.spot))
    assert acts == {"carried": [("off", "beside"), ("lit", "end")], "lit": [("carried", "end")], "off": [("carried", "beside")]}


@pytest.mark.parametrize(
    ("data", "words"),
    [({**PLAIN, "hangs_on": "the left hook"}, "where it is kept"), ({**PLAIN, "stowed": "cab 1 locker"}, "where it hangs"),
     ({**HUNG, "worked_from": "cab"}, "hung by hand")],
)  # fmt: skip
def test_half_a_portable_lamp_is_refused(data: dict[str, str], words: str) -> None:
    with pytest.raises(ValidationError, match=words):
        spec(**data)


WHITE = (
    'shows: white, worked_from: {}, as_left: "off", source: demo}}\n      red_lamp: {{kind: lamp, shows: red, worked_from: ground'
)
IN_CAB, ON_HOOK = "shows: red, worked_from: cab", "shows: red, hangs_on: the hook, stowed: cab 1 locker"


@pytest.mark.parametrize(
    ("before", "after", "words"),
    [("stowed: cab 1 locker, as_left", "stowed: cab 2 locker, as_left", "red_lamp of end 2 is kept in cab 2 locker, but"),
     ("- {kind: portable red lamp", "- {kind: portable white lamp", "no portable red lamp there for it"),
     (WHITE.format("ground"), WHITE.format("cab"), "white_lamp is worked from the cab of its end, which has none"),
     (IN_CAB, ON_HOOK, "red_lamp of end 2 is kept in cab 1 locker")],
)  # fmt: skip
def test_a_lamp_fits_its_unit(before: str, after: str, words: str) -> None:
    """The last: one lamp in the locker, and two ends that would hang it up."""
    assert before in CRAG
    text = CRAG.replace(before, after, 1)
    with pytest.raises(ContentError, match=words):
        load_as(document_from_text(text, "crag.yaml"), UnitType, "unit type")
