"""Couplers: which faces each kind has, what a rigid knuckle does when it closes, and a bar that nobody on the ground works."""

from __future__ import annotations

from typing import Any

import pytest

from headstock.devices.automatic_coupler import AutomaticCouplerSpec
from headstock.devices.coupler import CouplerKind, fits_form
from headstock.devices.kind import At
from headstock.devices.marks import Disc, Lettering, Mark, Trace
from headstock.devices.registry import KINDS
from headstock.devices.rigid_knuckle import RigidKnuckleSpec
from headstock.devices.scene import COUPLE, GAP
from headstock.equipment.end_faults import COUPLERS
from headstock.equipment.library import load_fleet
from headstock.formation.train import Joint, Train, TrainUnit, UnitEnd
from headstock.formation.train_state import as_left

FLEET = load_fleet()
NEAR, FAR = At("70", "coupler", end="2"), At("80", "coupler", end="1")


def coupler(end: str) -> Any:
    name, _, number = end.partition("/")
    return FLEET.find(name).ends[number].devices["coupler"]  # type: ignore[index]


def kind(end: str) -> CouplerKind:
    found = KINDS[coupler(end).kind]
    assert isinstance(found, CouplerKind)
    return found


def without_colour(marks: tuple[Mark, ...]) -> str:
    return repr([mark.points_mm if isinstance(mark, Trace) else (mark.x_mm, mark.y_mm, type(mark).__name__) for mark in marks])


def test_couplers_are_found_by_looking() -> None:
    assert COUPLERS == ("automatic coupler", "drop-head knuckle", "hook and screw", "rigid knuckle", "semi-permanent bar")


@pytest.mark.parametrize(
    ("end", "faces"),
    [
        ("moss/1", ["hook and screw"]),
        ("tarn/1", ["knuckle A", "hook and screw"]),
        ("crag/1", ["knuckle A"]),
        ("gale/1", ["automatic coupler L"]),
        ("beck/1", ["automatic coupler M"]),
        ("holm/2", []),
    ],
)
def test_a_coupler_has_the_faces_of_its_kind_each_in_its_form(end: str, faces: list[str]) -> None:
    found = kind(end).faces(coupler(end))
    assert [face.words for face in found] == faces
    forms = {other.face_form for other in KINDS.values() if isinstance(other, CouplerKind)}
    assert all(any(fits_form(face.words, form) for form in forms) for face in found)


def test_only_the_bar_is_for_the_workshop_alone() -> None:
    ends = [f"{name}/{end}" for name in FLEET.types for end in "12"]
    assert [end for end in ends if kind(end).workshop_only(coupler(end))] == ["holm/2"]


@pytest.mark.parametrize(("face", "good"), [("knuckle A", True), ("knuckle ", False), ("knuckle", False), ("", False)])
def test_a_face_with_a_pattern_names_it(face: str, good: bool) -> None:
    assert fits_form(face, "knuckle X") is good
    assert not fits_form(face, "")


def test_knuckles_close_round_their_own_contour_only() -> None:
    for end in ("tarn/1", "crag/1"):
        one = coupler(end)
        assert kind(end).mates(one, one)
        assert not kind(end).mates(one, one.model_copy(update={"contour": "B"}))


def test_a_rigid_knuckle_is_opened_apart_and_closes_and_locks_by_the_blow() -> None:
    spec, rigid = coupler("crag/1"), kind("crag/1")
    assert isinstance(spec, RigidKnuckleSpec)
    (opens,) = rigid.acts(NEAR, spec)
    assert set(opens.effects) == {("70/2.coupler.jaw", "open"), ("70/2.coupler.lock", "up")}
    assert (GAP, "apart") in opens.needs
    couple = next(act for act in rigid.joint_acts((NEAR, spec), (FAR, spec)) if act.at == NEAR)
    assert ("70/2.coupler.jaw", "open") in couple.needs
    assert set(couple.effects) == {
        (GAP, "touching"), (COUPLE, "locked"), ("70/2.coupler.jaw", "shut"), ("70/2.coupler.lock", "down"),
    }  # fmt: skip
    assert any(spec.lock_sign in act.brief for act in rigid.joint_acts((NEAR, spec), (FAR, spec)))


def test_a_bar_has_no_acts_and_is_made_where_the_train_says_that_a_workshop_made_it() -> None:
    holm = FLEET.find("holm")
    assert kind("holm/2").acts(NEAR, coupler("holm/2")) == ()
    units = (TrainUnit("70", holm, "1"), TrainUnit("80", holm, "2"))
    ends = (UnitEnd("70", "2"), UnitEnd("80", "2"))
    made, apart = (as_left(Train(units, (Joint(*ends, is_made),))) for is_made in (True, False))
    assert [made[f"{end}.coupler"] for end in ends] == ["made", "made"]
    assert [apart[f"{end}.coupler"] for end in ends] == ["open", "open"]
    assert made["70/2.brake_pipe_hose"] == "joined"
    assert made["70/2.brake_pipe_cock"] == "open"


def test_two_latch_faces_do_not_look_alike() -> None:
    latch, values = KINDS["automatic coupler"], {"cover": "removed", "latch": "ready"}
    low = coupler("wold/2")
    assert isinstance(low, AutomaticCouplerSpec)
    other = low.model_copy(update={"face_of_en_16019": True})
    assert without_colour(latch.marks(low, values)) != without_colour(latch.marks(other, values))


def test_a_lifted_lock_of_a_rigid_knuckle_hides_in_the_head_and_a_lock_that_is_down_hangs_below() -> None:
    spec = coupler("crag/1")
    down, up = (kind("crag/1").marks(spec, {"jaw": "shut", "lock": lock})[-1] for lock in ("down", "up"))
    assert isinstance(down, Disc)
    assert isinstance(up, Disc)
    assert down.y_mm < up.y_mm < spec.height_mm


def test_a_muff_closes_round_a_made_bar() -> None:
    spec, bar = coupler("holm/2"), kind("holm/2")
    opened, made = (bar.marks(spec, {"": state}) for state in ("open", "made"))
    assert set(opened) < set(made)
    assert sum(isinstance(mark, Disc) for mark in made) - sum(isinstance(mark, Disc) for mark in opened) == 4


def test_an_electrical_head_is_drawn_where_its_data_say() -> None:
    head = FLEET.find("beck").ends["1"].devices["electrical_head"]
    (cover, letters) = KINDS["electrical head"].marks(head, {"": "covered"})
    assert isinstance(cover, Trace)
    assert isinstance(letters, Lettering)
    assert max(y for _, y in cover.points_mm) < coupler("beck/1").height_mm - 230
