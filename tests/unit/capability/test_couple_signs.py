"""What explains signs of a couple: by hand for the eight states, by trying all answers for the looks."""

from __future__ import annotations

import pytest

from headstock.base.errors import InputError
from headstock.capability.automatic_couple import AUTOMATIC
from headstock.capability.couple_signs import CoupleAnswer, CoupleFamily, explain_couple, signs_from
from headstock.capability.couples_by_hand import FAMILIES

practice = pytest.mark.outside(source="common practice, no source", clause="part-made couples", status="common practice")
WIRED = "wired brake, doors, display"
STANDING = {"mechanical lamp": "lit", "electrical lamp": "lit", WIRED: "work", "rear brake pipe": "follows", "gap": "none",
            "mark": "coupled", "last done": "joining"}  # fmt: skip
ROWS = (
    (STANDING, {"111", "011"}, "pull"),
    ({**STANDING, "pull": "parts"}, {"011"}, None),
    ({**STANDING, "pull": "holds"}, {"111"}, None),
    ({**STANDING, "pull": "holds", "rear brake pipe": "does not move"}, {"101"}, None),
    ({"last done": "joining", "pull": "holds", "electrical lamp": "dark"}, {"110", "100"}, "rear brake pipe"),
    ({"last done": "joining", "pull": "holds", "rear brake pipe": "follows", WIRED: "dead"}, {"110"}, None),
    ({"last done": "joining", "mechanical lamp": "dark"}, {"011", "010", "001", "000"}, None),
    ({"last done": "joining", "gap": "seen"}, {"000"}, None),
    ({"last done": "parting", "mechanical lamp": "lit"}, {"111", "110", "101", "100"}, None),
    ({"last done": "parting", "mechanical lamp": "dark", "rear brake pipe": "does not move", WIRED: "dead"}, {"100", "000"},
     "pull"),
)  # fmt: skip


@practice
@pytest.mark.parametrize(("seen", "so", "look"), ROWS)
def test_the_states_that_explain_what_is_seen(seen: dict[str, str], so: set[str], look: str | None) -> None:
    answer = explain_couple(AUTOMATIC, seen)
    assert {state.key.split()[1] for state in answer.states} == so
    assert (answer.next_look.name if answer.next_look else None) == look
    assert answer.decided == (look is None)


@practice
@pytest.mark.parametrize(
    ("family", "seen", "state"),
    [
        ("knuckle", {"lock": "riding high", "pin": "home", "pull": "holds"}, "lock riding high"),
        ("knuckle", {"pin": "half in"}, "pin half in"),
        ("screw coupling", {"link": "on the nose"}, "on the nose"),
        ("screw coupling", {"handle": "swinging", "buffers": "bear both sides", "link": "in the throat"}, "handle free"),
        ("hose", {"heads": "joined", "cock handles": "one shut"}, "cock shut"),
        ("hose", {"heads": "joined", "cock handles": "both open", "far gauge": "does not move", "hose": "hangs free"},
         "kept shut inside"),
        ("jumper", {"plug": "in the socket", "wires": "work", "latch": "not over"}, "not latched"),
        ("jumper", {"plug": "in the socket", "latch": "over", "tug": "gives"}, "not home"),
    ],
)  # fmt: skip
def test_half_made_couples_of_hands_are_known_by_their_signs(family: str, seen: dict[str, str], state: str) -> None:
    answer = explain_couple(FAMILIES[family], seen)
    assert [found.key for found in answer.states] == [state] and answer.states[0].do


def _looks_to_the_end(family: CoupleFamily, answer: CoupleAnswer, spent_s: float = 0.0) -> list[tuple[float, CoupleAnswer]]:
    """Every end to which the looks asked for lead, with what they cost."""
    look = answer.next_look
    if look is None:
        return [(spent_s, answer)]
    after = [explain_couple(family, {**answer.seen, look.name: value}) for value in look.values]
    return [end for one in after if one.states for end in _looks_to_the_end(family, one, spent_s + look.cost_s)]


@pytest.mark.parametrize("family", FAMILIES.values(), ids=lambda family: family.name)
def test_the_looks_asked_for_end_in_one_thing_to_do_within_the_cost_told(family: CoupleFamily) -> None:
    first = explain_couple(family, {})
    ends = _looks_to_the_end(family, first)
    assert len(ends) > 1 and max(cost_s for cost_s, _ in ends) == pytest.approx(first.worst_cost_s)
    for _, answer in ends:
        assert answer.decided or answer.alike, [state.key for state in answer.states]


@pytest.mark.parametrize("family", FAMILIES.values(), ids=lambda family: family.name)
def test_states_name_signs_and_values_that_there_are(family: CoupleFamily) -> None:
    signs = {sign.name: sign.values for sign in family.signs}
    for state in family.states:
        assert all(set(values) <= set(signs[name]) for name, values in state.shows.items()), state.key
        assert state.do and state.words


@practice
def test_only_the_pull_tells_pressed_faces_from_a_couple_that_is_made() -> None:
    made, pressed = (next(s for s in AUTOMATIC.states if s.key == f"joining {so}") for so in ("111", "011"))
    apart = [sign.name for sign in AUTOMATIC.signs
             if not set(made.shows.get(sign.name, sign.values)) & set(pressed.shows.get(sign.name, sign.values))]  # fmt: skip
    assert apart == ["pull"]
    assert {"mechanical lamp", "mark", "gap", "rear brake pipe"} <= set(pressed.false_signs)


def test_a_sign_that_is_not_one_is_refused_with_the_nearest() -> None:
    with pytest.raises(InputError) as caught:
        signs_from(["pul=holds", "gap=wide", "pull"], AUTOMATIC)
    assert caught.value.faults[0].nearest == "pull" and len(caught.value.faults) == 3
