"""The way to walk and look along a real train: against all ways there are, and nothing walked past."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import pairwise

import numpy as np
import pytest

from headstock.base.sources import Entry
from headstock.brake_test.causes import NOTHING, Cause
from headstock.brake_test.look_places import IN_PASSING, SEEN_AT, LookPlace, look_places
from headstock.brake_test.look_walk import walk_of
from headstock.local_rules.drawn_tests import FAULT_KINDS
from headstock.local_rules.looking import UNSAID
from tests.cases.drawn_trains import air_of, task_of

AIR = air_of(8, "rear-application")
SEEN = tuple(dict.fromkeys(
    one.cause.without_degree for one in task_of(8, "rear-application").singles if one.cause.kind in SEEN_AT
))  # fmt: skip
WALKING_M_S = 1.2


def least_min(
    weights: list[float], places: tuple[LookPlace, ...], suspects: list[Cause], start_m: float, walks_past: bool
) -> float:
    """The best of all ways, any look after any other, exact; ``walks_past``: also past places that could show something.

    Written along the line of the train and not by times between places, unlike what it is held against.
    """
    shows = [frozenset(number for number, cause in enumerate(suspects) if cause in place.shows) for place in places]

    @cache
    def least(left: frozenset[int], here_m: float) -> float:
        if len(left) <= 1:
            return 0.0
        open_still = [n for n in range(len(places)) if shows[n] & left and (len(left) > 1)]
        found = []
        for number in open_still:
            place = places[number]
            low, high = sorted((here_m, place.at_m))
            passed = [n for n in open_still if places[n].where in IN_PASSING and low <= places[n].at_m <= high
                      and places[n].at_m != place.at_m]  # fmt: skip
            if passed and not walks_past:
                continue
            spent = abs(place.at_m - here_m) / WALKING_M_S / 60.0 + place.minutes
            rest = left - shows[number]
            # One of the suspects: a look that shows one thing shows which; what is left is looked for further on.
            found.append(sum(weights[n] for n in left) * spent + least(rest, place.at_m))
        return min(found, default=0.0)

    return least(frozenset(range(len(weights))), start_m) / sum(weights)


def drawn_suspects(seed: int) -> tuple[list[Cause], list[float]]:
    """At most 12 faults at no more than 8 places, some much likelier than others, and nothing wrong among them."""
    dice, picked = np.random.default_rng(seed), list[Cause]()
    for number in dice.permutation(len(SEEN)):
        if len(picked) < 11 and len(look_places(AIR, [*picked, SEEN[number]])) <= 8:
            picked.append(SEEN[number])
    return [*picked, NOTHING], [float(weight) for weight in dice.exponential(1.0, len(picked) + 1) ** 2]


def test_the_walk_is_the_best_of_all_that_walk_past_nothing_and_little_above_those_that_do() -> None:
    """Asked for: at most a tenth above the best. Free ways walk past handles; that nobody does so has its price."""
    over, over_free = [], []
    for seed in range(40):
        suspects, weights = drawn_suspects(seed)
        places, start_m = look_places(AIR, suspects), 0.0 if seed % 2 else 170.0
        walk = walk_of(AIR, dict(zip(suspects, weights, strict=True)), start_m, WALKING_M_S)
        assert walk.left_out == ()
        for found, walks_past in ((over, False), (over_free, True)):
            found.append(walk.expected_min / least_min(weights, places, suspects, start_m, walks_past) - 1.0)
    assert max(np.abs(over)) < 1e-5, "asked: 0.10"
    assert min(over_free) > -1e-5 and np.mean(over_free) < 0.04 and max(over_free) < 0.20, "seen: 0.02, worst 0.16"


@pytest.mark.parametrize("seed", range(12))
def test_nobody_walks_past_handles_or_gear_without_looking(seed: int) -> None:
    suspects, weights = drawn_suspects(100 + seed)
    walk = walk_of(AIR, dict(zip(suspects, weights, strict=True)), 170.0, WALKING_M_S)
    every = [place for place in look_places(AIR, suspects) if place.where in IN_PASSING]
    looked: list[LookPlace] = []
    here_m = 170.0
    for place in walk.places:
        low, high = sorted((here_m, place.at_m))
        assert [other.name for other in every if low < other.at_m < high and other not in looked] == []
        looked.append(place)
        here_m = place.at_m


def test_alike_suspects_are_walked_along_one_way() -> None:
    suspects = [cause for cause in SEEN if cause.kind == "brake isolated"]
    walk = walk_of(AIR, dict.fromkeys(suspects, 1.0), 170.0, WALKING_M_S)
    assert all(later.at_m < before.at_m for before, later in pairwise(walk.places))
    assert len(walk.places) == len(suspects)  # the last one too is looked at, not taken for granted


def test_what_is_much_likelier_is_looked_at_first_and_the_other_all_the_same() -> None:
    likely, nearer = Cause("other valve feeds", "217/2.brake_valve"), Cause("other valve feeds", "226/1.brake_valve")
    walk = walk_of(AIR, {likely: 0.95, nearer: 0.05}, 170.0, WALKING_M_S)
    assert [place.name for place in walk.places] == ["217/2", "226/1"]


def test_suspects_beyond_what_is_reckoned_with_are_named_and_looked_for_where_one_comes_by() -> None:
    causes = list(SEEN[:30])
    walk = walk_of(AIR, {cause: 1.0 / (1 + number) for number, cause in enumerate(causes)}, 0.0, WALKING_M_S)
    assert walk.left_out == tuple(causes[11:])
    every = {(place.where, place.name): place for place in look_places(AIR, causes)}
    assert all(place == every[place.where, place.name] for place in walk.places)
    assert any(cause in walk.left_out for place in walk.places for cause in place.shows)


def test_every_kind_has_a_place_or_is_said_to_have_none() -> None:
    without = {kind for kind in FAULT_KINDS if kind not in SEEN_AT}
    assert without == {"nothing", "pipe blocked", "reservoir not fed"}
    blind = [Cause("pipe blocked", "217/2 and 226/1"), Cause("reservoir not fed", "2171")]
    walk = walk_of(AIR, {**dict.fromkeys(blind, 1.0), SEEN[0]: 0.5}, 0.0, WALKING_M_S)
    assert set(walk.not_shown) == set(blind) and len(walk.places) == 1
    assert walk_of(AIR, dict.fromkeys(blind, 1.0), 0.0, WALKING_M_S).places == ()


def test_a_gauge_is_read_again_where_it_is_and_a_device_of_a_unit_stands_in_the_unit() -> None:
    (gauge,) = look_places(AIR, [Cause("gauge stuck", "rear"), Cause("wrong gauge read", "rear")])
    assert (gauge.where, gauge.name, len(gauge.shows)) == ("gauge", "226/2", 2) and gauge.at_m > 160.0
    places = look_places(AIR, [Cause("compressor dead", "226.main_reservoir"), Cause("hand brake on", "2172.hand_brake")])
    assert [(place.where, place.name) for place in places] == [("vehicle", "2172"), ("cab", "226")]
    assert 86.0 < places[1].at_m < 170.0
    assert [place.minutes for place in places] == [0.1, 1.0] and gauge.minutes == 1.0


def test_how_long_a_look_takes_is_said_by_the_local_rules() -> None:
    rules, asked = AIR.tested.rules, [Cause("compressor dead", "226.main_reservoir"), Cause("hand brake on", "2172.hand_brake")]
    slow = UNSAID.model_copy(update={"vehicle_s": Entry[float](value=90.0, source="none")})
    minutes = []
    for looking in (slow, None):
        air = replace(AIR, tested=replace(AIR.tested, rules=rules.model_copy(update={"looking": looking})))
        minutes.append([place.minutes for place in look_places(air, asked)])
    assert minutes == [[1.5, 1.0], [0.1, 1.0]]
