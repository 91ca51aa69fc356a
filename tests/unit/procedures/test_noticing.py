"""What people have before them, what rests on what, what is heard."""

from __future__ import annotations

from headstock.procedures.noticing import EscapingAir, surroundings_of
from headstock.reasoning.surroundings import Surroundings
from tests.cases.jobs import DEMO, order_of, planned


def _around() -> Surroundings:
    task = planned(DEMO).assembled.task
    assert task is not None
    return surroundings_of(task, order_of(DEMO)[1])


def _hand(role: str, key: str) -> frozenset[str]:
    return _around().at_hand[role, key]


def test_a_driver_who_moves_feels_his_own_brakes_and_sees_the_gap() -> None:
    found = _hand("driver", "draw up, stop 2 m off")
    assert {"217.parking_brake", "gap", "authority", "217/2.brake_valve"} <= found
    assert "226.parking_brake" not in found


def test_a_driver_in_his_cab_sees_nothing_of_the_heads() -> None:
    key = next(key for role, key in _around().at_hand if key.startswith("couple "))
    assert not [name for name in _hand("driver", key) if "coupler" in name]


def test_a_cock_is_in_hand_and_the_one_across_is_not() -> None:
    found = _hand("shunter", "open the brake pipe cock of 217/2 slowly")
    assert "217/2.brake_pipe_cock" in found
    assert "226/1.brake_pipe_cock" not in found


def test_what_is_only_a_record_is_in_nobody_s_hand() -> None:
    held = {name for found in _around().at_hand.values() for name in found}
    assert not held & {"brake_test", "couple", "couple.pulled", "226.hold", "air_through"}


def test_each_stage_with_a_reading_shows_the_pipe_at_its_end() -> None:
    looks = {key.partition(":")[0].removeprefix("test, "): facts for (_, key), facts in _around().looks.items()}
    assert looks == {
        "rear charged": (("226.brake_pipe", "charged"),), "rear applied": (("226.brake_pipe", "drawn"),),
        "front fallen": (("217.brake_pipe", "drawn"),), "no rise": (("217.brake_pipe", "drawn"),),
        "rear restored": (("226.brake_pipe", "charged"),),
    }  # fmt: skip


def test_a_valve_works_the_far_pipe_only_through_the_joint() -> None:
    rests = {key: found for (_, key), found in _around().rests.items() if key.startswith("test, charged")}
    ((rest,),) = rests.values()
    assert (rest.fact, rest.on, rest.seen) == (("226.brake_pipe", "charged"), ((("air_through", "yes"),),), False)


def test_two_shut_knuckles_do_not_couple() -> None:
    found = [rests for (_, key), rests in _around().rests.items() if key.startswith("couple ")]
    assert found
    for (rest,) in found:
        assert rest.on == ((("217/2.coupler.jaw", "open"), ("226/1.coupler.jaw", "open")),)


def test_air_is_heard_from_an_open_cock_on_a_loose_hose_where_there_is_air() -> None:
    task = planned(DEMO).assembled.task
    assert task is not None
    hiss, start = EscapingAir(task), dict(order_of(DEMO)[1].start)
    assert hiss(start) is None
    loose = start | {"226/1.brake_pipe_cock": "open"}
    assert hiss(loose | {"226.brake_pipe": "empty"}) is None
    assert hiss(loose | {"226.brake_pipe": "drawn"}) == "air escapes from the brake pipe hose of 226/1"
    assert hiss(loose | {"226.brake_pipe": "drawn", "226/1.brake_pipe_hose": "joined"}) is None
    assert hiss(start | {"226/1.main_reservoir_pipe_cock": "open"}) is not None
