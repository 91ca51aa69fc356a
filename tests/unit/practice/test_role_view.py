"""What a role sees from where it stands."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from headstock.devices.distributor import LET_OFF_BAR
from headstock.devices.scene import AUTHORITY
from headstock.practice.events import Did, Walked
from headstock.practice.exercise import Exercise
from headstock.practice.playing import after
from headstock.practice.role_view import view_of
from headstock.practice.sitting import begun

Make = Callable[..., Exercise]


def test_only_a_cab_has_its_gauge(exercise: Make) -> None:
    sitting = begun(exercise())
    assert [gauge.name for gauge in view_of(sitting, "driver").gauges] == ["brake pipe, cab 217/2"]
    assert view_of(sitting, "shunter").gauges == ()


def test_a_gauge_is_read_to_half_a_mark(exercise: Make) -> None:
    gauge = view_of(begun(exercise()), "driver").gauges[0]
    assert abs(gauge.shows_bar / (gauge.mark_bar / 2) - round(gauge.shows_bar / (gauge.mark_bar / 2))) < 1e-6


def test_hands_reach_what_is_near(exercise: Make) -> None:
    sitting = begun(exercise())
    assert not any(device.key.startswith("226/1.brake_pipe") for device in view_of(sitting, "shunter").devices)
    between = after(sitting, Did(1.0, "shunter", "go between, ends apart"))
    keys = {device.key for device in view_of(between, "shunter").devices}
    assert {"226/1.brake_pipe_cock", "217/2.brake_pipe_cock", "226/1.coupler.head"} <= keys
    assert not any("brake_valve" in key for key in keys)


def test_moving_without_a_call_is_there_to_be_done_and_looks_like_moving_with_one(exercise: Make) -> None:
    sitting = begun(exercise())
    assert sitting.place_of("driver") == "cab 217/2" and sitting.state[AUTHORITY] == "none"
    uncalled = [act.step for act in view_of(sitting, "driver").acts]
    assert "draw up, stop 2 m off" in uncalled
    called = replace(sitting, run=sitting.run.copy())
    called.run.state[AUTHORITY] = "stop 1"
    assert [act.step for act in view_of(called, "driver").acts] == uncalled


def test_what_the_thing_in_hand_speaks_against_is_not_offered(exercise: Make) -> None:
    sitting = begun(exercise())
    assert "couple 217/2 and 226/1 with the knuckle of 217/2 open" not in [act.step for act in view_of(sitting, "driver").acts]


def test_blocks_count_as_off_where_a_release_is_measured(exercise: Make) -> None:
    sitting = after(begun(exercise()), Walked(1.0, "shunter", "beside 226"))
    assert sitting.air is not None
    for over_bar, is_on in ((LET_OFF_BAR - 0.05, False), (LET_OFF_BAR + 0.05, True)):
        outside = sitting.air.model.outside_pa
        stands = replace(sitting, air=replace(sitting.air, shows_pa=np.full_like(sitting.air.shows_pa, outside + over_bar * 1e5)))
        shown = dict(view_of(stands, "shunter").brakes)
        assert shown and set(shown.values()) == {is_on}


def test_phrases_and_the_next_line_are_shown_in_learning_mode_alone(exercise: Make) -> None:
    plain, learning = begun(exercise()), begun(replace(exercise(), learning=True))
    assert view_of(plain, "shunter").next_line == ""
    assert view_of(learning, "shunter").next_line == "agree the job: who does what, all repeat"
    assert not any(act.words for act in view_of(plain, "shunter").acts)
    assert any(act.words for act in view_of(learning, "shunter").acts)


def test_whoever_stands_together_sees_one_another(exercise: Make) -> None:
    sitting = begun(exercise())
    assert view_of(sitting, "shunter").here_too == ("guard",)
    gone = after(sitting, Walked(1.0, "guard", "beside 226"))
    assert view_of(gone, "shunter").here_too == ()
