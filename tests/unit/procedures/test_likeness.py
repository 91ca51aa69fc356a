"""Which steps may be taken for which."""

from __future__ import annotations

import pytest

from headstock.procedures.likeness import fellow_steps
from headstock.reasoning.step import Step
from headstock.reasoning.surroundings import Fellow
from tests.cases.jobs import DEMO, SECOND, order_of

DOMAIN = order_of(DEMO)[1]
FELLOWS = fellow_steps(DOMAIN, ("217/2", "226/1"))


def _fellows(role: str, key: str) -> dict[str, Step]:
    return {fellow.kind: fellow.step for fellow in FELLOWS.get((role, key), ())}


def test_a_cock_has_the_other_pipe_s_and_the_facing_end_s_beside_it() -> None:
    found = _fellows("shunter", "open the brake pipe cock of 226/1")
    assert found["wrong object"].key == "open the main reservoir pipe cock of 226/1"
    assert found["wrong end"].key == "open the brake pipe cock of 217/2"
    assert ("217/2.brake_pipe_cock", "open") in found["wrong end"].effects
    assert ("226/1.main_reservoir_pipe_cock", "open") in found["wrong object"].effects


def test_what_only_the_right_cock_does_does_not_come_with_another() -> None:
    key = "open the brake pipe cock of 217/2 slowly"
    step = next(step for step in DOMAIN.steps if step.key == key)
    assert ("air_through", "yes") in step.effects
    assert _fellows("shunter", key)["wrong object"].effects == (("217/2.main_reservoir_pipe_cock", "open"),)


def test_a_lamp_at_an_outer_end_has_the_other_lamp_and_no_other_end() -> None:
    assert set(_fellows("guard", "light the red lamp of 226/2")) == {"wrong object"}
    assert _fellows("guard", "light the red lamp of 226/2")["wrong object"].effects == (("226/2.white_lamp", "lit"),)


def test_a_valve_has_the_other_cab_s_of_its_unit_in_that_cab() -> None:
    other = _fellows("guard", "unlock the brake valve, cab 226/2")["wrong end"]
    assert (other.place, other.effects) == ("cab 226/1", (("226/1.brake_valve", "full"),))


def test_a_hand_brake_has_those_of_other_vehicles_of_its_unit() -> None:
    fellows = fellow_steps(order_of(SECOND)[1], ("231/1", "508/2"))
    found = fellows["guard", "take off the hand brake of 2312"]
    assert {fellow.step.key for fellow in found} == {"take off the hand brake of 2313"}
    assert all(fellow.step.place == "beside 2313" for fellow in found)


@pytest.mark.parametrize("ident", sorted(FELLOWS), ids=lambda ident: ident[1])
def test_a_fellow_is_another_act_on_things_and_places_that_are_there(ident: tuple[str, str]) -> None:
    step = next(step for step in DOMAIN.steps if step.ident == ident)
    fellow: Fellow
    for fellow in FELLOWS[ident]:
        assert (fellow.step.effects, fellow.step.shows) != (step.effects, step.shows)
        assert fellow.step.role == step.role
        assert fellow.step.key != step.key
        assert fellow.step.place is None or fellow.step.place in DOMAIN.places
        for key, value in (*fellow.step.effects, *fellow.step.shows):
            assert value in DOMAIN.variables[key].domain


def test_a_stage_of_the_test_and_a_word_have_none() -> None:
    assert not [key for _, key in FELLOWS if key.startswith(("test, ", "tell ", "call "))]
