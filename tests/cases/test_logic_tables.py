"""Tables of the trade held against drawn tests: what a test sees of each fault, and what readings speak for which faults.

Each row is common practice. Where the drawn tests say otherwise, the row says why.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from headstock.brake_test.blind_spots import BlindSpots, blind_spots
from headstock.brake_test.causes import NOTHING, Cause
from headstock.brake_test.find import FindResult, Searched, find_causes
from headstock.local_rules.extra_looks import DEMONSTRATION, load_extra_looks
from tests.cases.drawn_trains import errors_of
from tests.cases.stored_readings import signatures_of

COMMON = pytest.mark.outside(source="common practice, no source", status="common practice")
BOTH_WAYS, FULL, REAR, TIGHT = "front-both-ways", "full-count", "rear-application", "leak-by-drop"


@cache
def spots(method: str) -> BlindSpots:
    return blind_spots(signatures_of(8, method), errors_of(8, method))


def seen(method: str, kind: str) -> set[str]:
    return {one.answer for one in spots(method).causes if one.cause.kind == kind}


@COMMON
@pytest.mark.parametrize(
    ("method", "kind", "expected"),
    [
        # A cock at the joint: any test that reads the far end; with cocks that vent, both sides of the joint are seen at once.
        (BOTH_WAYS, "cock shut", {"seen"}), (REAR, "cock shut", {"seen"}), (FULL, "cock shut", {"seen"}),
        # The leading gauge alone is blind to it where the near cock is the shut one: a short pipe and a tight one. With the far
        # one shut the near pipe blows out through that cock's vent, so here it is seen; by plain cocks it would not be.
        (TIGHT, "cock shut", {"never", "seen"}),
        # Main reservoir cock, brake cut out, parking and hand brakes: no test of the brake pipe sees them.
        *((method, kind, {"never"}) for method in (BOTH_WAYS, REAR) for kind in (
            "main reservoir cock shut", "brake isolated", "hand brake on", "reservoir not fed", "compressor dead")),
        # A count of brakes sees one that is cut out or has no air, and still nothing of the main reservoir pipe.
        (FULL, "brake isolated", {"seen"}), (FULL, "reservoir not fed", {"seen"}), (FULL, "main reservoir cock shut", {"never"}),
        # A hand brake: found by whoever walks the train, as the table of checks says; but a count reads cylinders, and the
        # cylinder of such a vehicle fills and empties as ever.
        (FULL, "hand brake on", {"never"}),
        # A second valve that feeds: the drop fills up again. From the rear alone it is seen in every cab but the one from which
        # the test is made, where the valve is worked and locked in the course of it; from the front that one is seen too.
        (BOTH_WAYS, "other valve feeds", {"seen"}), (REAR, "other valve feeds", {"seen", "never"}),
        # A part-open cock is said to show in a timed reading. These methods wait minutes, and a train of two units is charged
        # through a hundredth of the bore by then: only a fall watched by the clock would see it.
        (BOTH_WAYS, "cock part open", {"never"}), (REAR, "cock part open", {"never"}),
        # A hose plugged altogether reads like a cock shut; anything short of that like a part-open one.
        (REAR, "pipe blocked", {"seen from"}),
        # Leaks: seen where the feed is cut off and the gauge watched. A test of the pipe's being through sees none: what falls
        # must fall, and a leak makes it fall.
        (TIGHT, "pipe leaks", {"seen from"}), (FULL, "pipe leaks", {"seen from"}), (REAR, "pipe leaks", {"never"}),
        # A gauge that is stuck shows no change when one is made; only the gauge that must fall is found out by its test.
        (BOTH_WAYS, "gauge stuck", {"seen"}), (REAR, "gauge stuck", {"seen"}), (TIGHT, "gauge stuck", {"never"}),
    ],
)  # fmt: skip
def test_checks_see_the_faults_that_the_trade_says_they_see(method: str, kind: str, expected: set[str]) -> None:
    assert seen(method, kind) == expected


@COMMON
def test_the_one_cab_whose_valve_may_feed_unseen_is_the_one_the_test_is_made_from() -> None:
    unseen = [one.cause.place for one in spots(REAR).causes if one.cause.kind == "other valve feeds" and one.answer == "never"]
    assert unseen == ["226/2.brake_valve"]


@COMMON
def test_a_feed_that_was_not_cut_off_is_seen_but_for_one_that_has_filled_the_pipe_before_the_watch() -> None:
    (leading,) = [one for one in spots(REAR).causes if one.cause.kind == "lapped valve feeds"]
    shares = {degree.severity: degree.at_all for degree in leading.degrees}
    assert shares[90.0] > 0.99 and shares[0.5] > 0.99 and shares[8.0] < 0.9
    assert leading.answer == "seen from" and leading.from_severity == 90.0


def explained(*readings: float | None) -> FindResult:
    """Charged, rear; applied, rear; applied, front; rise, front; restored, rear [bar]."""
    row = np.array([np.nan if value is None else value for value in readings])
    return find_causes(Searched(signatures_of(8, REAR), errors_of(8, REAR), 1.2, 170.0), row)


def kinds_first(result: FindResult) -> set[str]:
    return {suspect.cause.kind for suspect in result.explanations[0].suspects}


@COMMON
@pytest.mark.parametrize(
    ("what", "readings", "suspects", "not_suspects"),
    [
        ("front charges, rear at nothing: a cock before the rear, or the hose plugged", (0.0, 0.0, 4.95, -0.05, 0.0),
         {"cock shut", "pipe blocked"}, {"nothing", "pipe leaks"}),
        ("rear as it was, no change: a gauge that is stuck", (5.0, 5.0, 3.4, -0.05, 5.0), {"gauge stuck"}, {"nothing"}),
        ("rear over the set pressure: the wrong gauge", (8.5, 8.5, 3.4, -0.05, 8.5), {"wrong gauge read"}, {"nothing"}),
        ("drops, then fills up again: a second valve", (5.0, 4.1, 4.95, 0.0, 5.0), {"other valve feeds"},
         {"nothing", "cock shut"}),
        ("vented at the rear, no change in front: the feed is not cut off", (5.0, 3.6, 5.0, 0.0, 5.0), {"lapped valve feeds"},
         {"nothing"}),
        ("falls too far and goes on falling: leaks", (5.0, 2.9, 2.7, -0.55, 5.0), {"pipe leaks"}, {"nothing", "cock shut"}),
        ("all as it should be: nothing wrong, or what no gauge of the pipe shows", (5.0, 3.4, 3.35, -0.05, 5.0),
         {"nothing", "brake isolated", "main reservoir cock shut", "hand brake on"}, {"cock shut", "pipe leaks"}),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)  # fmt: skip
def test_readings_speak_for_the_faults_that_the_trade_suspects(
    what: str, readings: tuple[float, ...], suspects: set[str], not_suspects: set[str]
) -> None:
    found = kinds_first(explained(*readings))
    assert suspects <= found and not found & not_suspects, what


@COMMON
def test_forward_alone_does_not_part_a_stuck_gauge_from_a_pipe_that_is_not_through() -> None:
    """Why both ends are read: the rear gauge alone, unmoved, may be stuck or cut off; the front one parts the two."""
    rear_alone = explained(5.0, 5.0, None, None, None)
    both = explained(5.0, 5.0, 3.4, -0.05, 5.0)
    assert kinds_first(both) == {"gauge stuck"}
    assert len(rear_alone.explanations[0].suspects) >= len(both.explanations[0].suspects)


@COMMON
def test_a_count_one_short_is_one_brake_cut_out_or_without_air() -> None:
    row = signatures_of(8, FULL).of_cause(0).mean(axis=0)
    assert signatures_of(8, FULL).task.singles[0].cause == NOTHING
    row[[place.name for place in errors_of(8, FULL).places].index("Applied, counted")] = 7 / 8
    result = find_causes(Searched(signatures_of(8, FULL), errors_of(8, FULL), 1.2, 170.0), row)
    assert kinds_first(result) == {"brake isolated", "reservoir not fed"}
    assert {place.where for place in result.walk.places} == {"vehicle"}
    assert Cause("reservoir not fed", "2171") in result.walk.not_shown  # nobody sees from outside that a reservoir is empty


@COMMON
@pytest.mark.parametrize(
    ("look", "kind", "finds"),
    [
        ("walk along the train", "hand brake on", True), ("walk along the train", "brake isolated", True),
        ("walk along the train", "main reservoir cock shut", False), ("main reservoir gauge", "main reservoir cock shut", True),
        ("main reservoir gauge", "cock shut", False), ("brakes counted", "brake isolated", True),
        ("brakes counted", "other valve feeds", False), ("every cab", "other valve feeds", True),
    ],
)  # fmt: skip
def test_extra_looks_show_what_the_table_of_checks_says(look: str, kind: str, finds: bool) -> None:
    (entry,) = [one for one in load_extra_looks(DEMONSTRATION).looks if one.name.startswith(look)]
    assert (kind in entry.shows) == finds
