"""A sitting in hand: its clock, what is kept, coming back to the same second."""

import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from headstock.base.errors import InputError
from headstock.practice.exercise import Exercise
from headstock.practice.playing import folded
from headstock.practice.sitting import at_time
from headstock.records.sitting_files import SittingFiles
from headstock.usecases.live_sitting import LiveSitting, again
from tests.unit.practice.conftest import exercise_of


class Wall:
    """A clock on the wall that stands until it is moved."""

    def __init__(self) -> None:
        self.s = 100.0

    def __call__(self) -> float:
        return self.s


@pytest.fixture
def wall() -> Wall:
    return Wall()


@pytest.fixture
def live(tmp_path: Path, wall: Wall) -> Callable[..., LiveSitting]:
    def made(exercise: Exercise | None = None) -> LiveSitting:
        made_of = exercise or exercise_of("demo-attach")
        log = SittingFiles(tmp_path)
        log.begin("ABCDE", "demo", "2026-01-01 00:00:00")
        return LiveSitting("ABCDE", "demo", made_of, log, folded(made_of, ()), wall=wall)

    return made


def test_a_held_clock_stands_and_one_let_go_runs_at_its_rate(live: Callable[..., LiveSitting], wall: Wall) -> None:
    sitting = live()
    wall.s += 50
    assert sitting.tick().t_s == 0.0
    sitting.hold(False)
    wall.s += 4
    sitting.tick()
    assert sitting.t_s == pytest.approx(4.0)
    sitting.run_at(60)
    wall.s += 2
    sitting.tick()
    assert sitting.t_s == pytest.approx(124.0)
    sitting.hold(True)
    wall.s += 60
    assert sitting.tick() is sitting.shown and sitting.t_s == pytest.approx(124.0)


@pytest.mark.parametrize("rate", [0.5, 61.0, float("nan")])
def test_a_rate_that_nobody_can_follow_is_refused(live: Callable[..., LiveSitting], rate: float) -> None:
    with pytest.raises(InputError):
        live().run_at(rate)


def test_it_comes_back_to_the_same_second_with_nothing_lost(live: Callable[..., LiveSitting], wall: Wall) -> None:
    sitting = live()
    for role in ("driver", "shunter", "guard"):
        sitting.act({"kind": "took", "role": role, "person": role})
    sitting.hold(False)
    wall.s += 30
    sitting.act({"kind": "walked", "role": "guard", "place": "beside 226"})
    wall.s += 7
    sitting.tick()
    back = again("ABCDE", "demo", sitting.exercise, sitting.log)
    assert back.is_held, "nobody's clock runs before somebody lets it"
    assert back.t_s == pytest.approx(37.0, abs=1.0)
    assert back.sitting.place_of("guard") == "beside 226" and back.sitting.people == sitting.sitting.people
    assert back.sitting.notes == sitting.sitting.notes


def test_colleagues_play_what_nobody_took(live: Callable[..., LiveSitting], wall: Wall) -> None:
    sitting = live()
    sitting.hold(False)
    for _ in range(60):
        wall.s += 5
        sitting.tick()
    assert len(sitting.sitting.done) > 10 and not sitting.sitting.unsafe
    kept = sitting.log.kept("ABCDE")
    assert kept is not None and len(kept.events) == sitting.sitting.events


def test_an_unsafe_act_holds_the_clock_where_the_exercise_says_so(
    live: Callable[..., LiveSitting], wall: Wall
) -> None:  # fmt: skip
    from dataclasses import replace

    sitting = live(replace(exercise_of("demo-attach"), holds_at_unsafe=True))
    for role in ("driver", "shunter", "guard"):
        sitting.act({"kind": "took", "role": role, "person": role})
    sitting.hold(False)
    wall.s += 5
    sitting.act({"kind": "did", "role": "shunter", "step": "go between, ends apart"})
    assert sitting.sitting.unsafe and sitting.is_held


def test_what_is_refused_is_not_kept(live: Callable[..., LiveSitting]) -> None:
    sitting = live()
    with pytest.raises(InputError):
        sitting.act({"kind": "did", "role": "cook", "step": "x"})
    kept = sitting.log.kept("ABCDE")
    assert kept is not None and kept.events == ()


def _braking(live: Callable[..., LiveSitting], wall: Wall) -> LiveSitting:
    """A sitting with the clock going, the driver's valve in full application since just now."""
    sitting = live()
    for role in ("driver", "shunter", "guard"):
        sitting.act({"kind": "took", "role": role, "person": role})
    sitting.hold(False)
    device = next(key for key in sitting.sitting.state if key.endswith("2.brake_valve") and key.startswith("217"))
    sitting.act({"kind": "turned", "role": "driver", "key": device, "value": "running"})
    wall.s += 40
    sitting.act({"kind": "turned", "role": "driver", "key": device, "value": "full"})
    return sitting


def test_what_is_shown_at_a_glance_is_what_the_air_does(live: Callable[..., LiveSitting], wall: Wall) -> None:
    sitting = _braking(live, wall)
    seen = []
    for _ in range(70):
        wall.s += 0.05
        seen.append(sitting.glance())
    first, last = seen[0].air, seen[-1].air
    assert first is not None and last is not None and (first.shows_pa - last.shows_pa).max() > 1e4, "the pipe falls meanwhile"
    for one in seen[::7]:
        really = at_time(sitting.sitting, one.t_s).air
        assert one.air is not None and really is not None
        assert abs(one.air.shows_pa - really.shows_pa).max() < 1000, (
            "no gauge shows 10 mbar otherwise (contract of the air engine)"
        )
    exact = sitting.tick()
    assert exact.air is not None and exact.air.t_s == exact.t_s == seen[-1].t_s


def test_a_glance_shows_at_once_what_somebody_has_done(live: Callable[..., LiveSitting], wall: Wall) -> None:
    sitting = _braking(live, wall)
    wall.s += 0.05
    sitting.glance()
    wall.s += 0.05
    then = sitting.act({"kind": "walked", "role": "guard", "place": "beside 226"})
    assert sitting.glance() is then
    wall.s += 0.05
    assert sitting.glance().place_of("guard") == "beside 226" and sitting.glance().t_s == pytest.approx(then.t_s + 0.05)


def test_a_glance_waits_for_nobody(live: Callable[..., LiveSitting], wall: Wall) -> None:
    sitting = _braking(live, wall)
    wall.s += 0.3
    before = sitting.glance()
    wall.s += 0.3
    found: list[float] = []
    with sitting.lock:
        looking = threading.Thread(target=lambda: found.append(sitting.glance().t_s), daemon=True)
        looking.start()
        looking.join(10.0)
    assert found == [before.t_s], "what was shown last, while somebody's act is put on the disk"


def test_whoever_only_looks_lets_nobody_act_but_knows_when_somebody_would(live: Callable[..., LiveSitting], wall: Wall) -> None:
    sitting = live()
    sitting.hold(False)
    for _ in range(40):
        wall.s += 0.5
        sitting.glance()
    assert not sitting.sitting.done and sitting.colleagues_look and sitting.glance().t_s == pytest.approx(20.0)
    sitting.tick()
    assert sitting.sitting.done and not sitting.colleagues_look
    assert sitting.glance().t_s == pytest.approx(20.0), "what they did was in its time; the clock does not go back"
