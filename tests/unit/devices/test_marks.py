"""How devices look to somebody in front of the end: true to their data, every state its own, readable in one ink."""

from __future__ import annotations

from typing import Any

from headstock.devices.kind import At
from headstock.devices.marks import Disc, Lettering, Mark, Trace
from headstock.devices.registry import KINDS, kind_of
from headstock.equipment.library import load_fleet

SPECS = {
    (spec.kind, getattr(spec, "pipe", ""), getattr(spec, "shows", "")): spec  # type: ignore[attr-defined]
    for unit_type in load_fleet().types.values()
    for spec in (*unit_type.ends["1"].devices.values(), *unit_type.devices.values())
}
KNUCKLE = {"head": "raised", "pin": "home", "keeper": "in", "jaw": "shut"}


def drawn(kind: str, values: dict[str, str], pipe: str = "", shows: str = "") -> tuple[Mark, ...]:
    spec = SPECS[kind, pipe, shows]
    return kind_of(spec).marks(spec, values)


def shapes(marks: tuple[Mark, ...]) -> list[Any]:
    """The marks without their colours."""
    return [mark.points_mm if isinstance(mark, Trace) else (mark.x_mm, mark.y_mm, getattr(mark, "fill", "")) for mark in marks]


def middle(mark: Mark) -> tuple[float, float]:
    assert isinstance(mark, Trace)
    xs, ys = [x for x, _ in mark.points_mm], [y for _, y in mark.points_mm]
    return ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)


def test_a_coupler_stands_at_the_height_of_its_data_and_pin_and_keeper_above_its_head() -> None:
    height = SPECS["drop-head knuckle", "", ""].height_mm  # type: ignore[attr-defined]
    raised = drawn("drop-head knuckle", KNUCKLE)
    assert middle(raised[0]) == (0, height)
    pin, keeper = raised[-3], raised[-1]
    assert min(middle(pin)[1], middle(keeper)[1]) > height + 170


def test_buffers_stand_where_their_data_say() -> None:
    spec = SPECS["buffers", "", ""]
    discs = [mark for mark in drawn("buffers", {"": "in"}) if isinstance(mark, Disc)]
    assert [disc.x_mm for disc in discs] == [-875, 875]
    assert {disc.y_mm for disc in discs} == {spec.height_mm}  # type: ignore[attr-defined]


def test_a_dropped_head_hangs_below_a_bare_hook_and_still_shows_its_knuckle() -> None:
    shut, opened = (drawn("drop-head knuckle", {**KNUCKLE, "head": "dropped", "jaw": jaw}) for jaw in ("shut", "open"))
    assert shapes(shut) != shapes(opened)
    assert middle(shut[0])[1] > middle(shut[1])[1]


def test_an_open_cock_lets_the_pipe_through_and_a_shut_one_stops_it_short() -> None:
    for pipe in ("brake pipe", "main reservoir pipe"):
        opened, shut = (drawn("end cock", {"": state}, pipe) for state in ("open", "shut"))
        ring, through = opened[0], opened[1]
        assert isinstance(ring, Disc) and isinstance(through, Trace)
        assert through.points_mm[-1][1] <= ring.y_mm - ring.radius_mm
        stub, block = shut[0], shut[1]
        assert isinstance(stub, Trace) and isinstance(block, Trace)
        assert stub.points_mm[-1][1] > max(y for _, y in block.points_mm)
        assert stub.points_mm[0][1] - stub.points_mm[-1][1] >= 20


def test_a_hose_stays_above_the_rail_and_clear_of_the_buffers() -> None:
    for pipe in ("brake pipe", "main reservoir pipe"):
        for state in ("on its dummy", "hanging", "joined"):
            points = [point for mark in drawn("hose", {"": state}, pipe) if isinstance(mark, Trace) for point in mark.points_mm]
            assert min(y for _, y in points) > 160
            assert all((abs(x) - 875) ** 2 + (y - 1025) ** 2 > 225**2 for x, y in points)


def test_a_cover_hides_the_contacts_of_an_electrical_head() -> None:
    covered, mated, locked = (drawn("electrical head", {"": state}) for state in ("covered", "mated", "locked back"))
    assert not any(isinstance(mark, Disc) for mark in covered)
    assert sum(isinstance(mark, Disc) for mark in mated) > 4
    assert len({repr(shapes(marks)) for marks in (covered, mated, locked)}) == 3


def test_a_latch_that_is_turned_or_locked_does_not_look_ready() -> None:
    latches = ("ready", "turned", "locked")
    looks = {repr(shapes(drawn("automatic coupler", {"cover": "removed", "latch": latch}))) for latch in latches}
    assert len(looks) == 3


def test_a_plug_that_is_entered_stands_proud_and_its_bar_at_a_slant() -> None:
    assert shapes(drawn("jumper", {"": "entered"})) != shapes(drawn("jumper", {"": "latched"}))


def test_a_board_is_seen_when_it_is_placed_and_leaves_nothing_when_off() -> None:
    assert drawn("board", {"": "off"}) == ()
    assert any(isinstance(mark, Lettering) and mark.text == "board" for mark in drawn("board", {"": "placed"}))


def test_states_differ_without_colour() -> None:
    for kind, pipe, shows, states in (
        ("lamp", "", "white", ("lit", "off")), ("lamp", "", "red", ("lit", "off")), ("gangway", "", "", ("shut", "open")),
        ("buffers", "", "", ("in", "out")), ("hose", "brake pipe", "", ("on its dummy", "hanging", "joined")),
        ("jumper", "", "", ("in its dummy", "hanging", "entered", "latched")), ("hook and screw", "", "", ("stowed", "hanging")),
    ):  # fmt: skip
        assert len({repr(shapes(drawn(kind, {"": state}, pipe, shows))) for state in states}) == len(states), kind


def test_what_is_not_at_an_end_draws_nothing() -> None:
    assert KINDS["gauge"].marks(None, {}) == ()
    assert At("70", "gauge", end="1").where == "70/1"
