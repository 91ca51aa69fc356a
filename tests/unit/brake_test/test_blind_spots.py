"""What a test can see: shares of drawn tests outside a limit, counted anew; a limit moved; a floor that decides nothing."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from headstock.brake_test.blind_spots import BlindSpots, CauseSeen, blind_spots, limits_moved
from headstock.brake_test.causes import Cause
from headstock.local_rules.extra_looks import DEMONSTRATION, load_extra_looks
from headstock.usecases.blind_spots_of_job import looks_to_add
from tests.cases.drawn_trains import errors_of
from tests.cases.stored_readings import signatures_of

METHOD = "rear-application"
SIGNATURES, ERRORS = signatures_of(8, METHOD), errors_of(8, METHOD)


def of(spots: BlindSpots, cause: Cause) -> CauseSeen:
    return next(one for one in spots.causes if one.cause == cause)


def test_a_share_is_that_of_tests_with_a_reading_outside_a_limit() -> None:
    spots = blind_spots(SIGNATURES, ERRORS)
    number = next(n for n, one in enumerate(SIGNATURES.task.singles) if one.cause == Cause("gauge off", "front", 0.3))
    read = SIGNATURES.of_cause(number)[:, None, :] + ERRORS.drawn(np.random.default_rng(9), 4000)
    outside = (read[..., 0] < 4.8) | (read[..., 1] > 3.6) | (read[..., 2] > 3.7) | (read[..., 3] > 0.1) | (read[..., 4] < 4.8)
    degree = of(spots, Cause("gauge off", "front")).degrees[0]
    assert degree.at_all == pytest.approx(outside.mean(), abs=0.06)
    assert 0.05 < degree.at_all < 0.6 and of(spots, Cause("gauge off", "front")).answer == "by chance"


def test_healthy_trains_are_hardly_ever_outside_and_counts_are_taken_to_be_right() -> None:
    """Asked for: at most 1 %. A count is a whole number: the eye does not miss brakes by a thousandth."""
    for method in ("rear-application", "front-both-ways", "full-count", "leak-by-drop", "one-person-both-ways"):
        assert blind_spots(signatures_of(8, method), errors_of(8, method)).healthy.at_all <= 0.01, method
    errors = errors_of(8, "full-count")
    counted = [place.is_count for place in errors.places]
    assert np.all(errors.drawn(np.random.default_rng(1), 100)[:, counted] == 0.0) and any(counted)


def test_from_how_bad_on_means_that_everything_worse_is_seen_too() -> None:
    for method in ("rear-application", "full-count", "tail-vent", "leak-by-drop"):
        for one in blind_spots(signatures_of(8, method), errors_of(8, method)).causes:
            if one.from_severity is not None:
                shares = [degree.at_all for degree in one.degrees]
                first = [degree.severity for degree in one.degrees].index(one.from_severity)
                assert all(share >= 0.99 for share in shares[first:]) and shares[first - 1] < 0.99
            if one.answer == "seen":
                assert all(degree.at_all >= 0.99 for degree in one.degrees)


def test_a_stricter_limit_misses_fewer_faults_and_fails_more_healthy_trains() -> None:
    steps = (-0.3, -0.1, 0.0, 0.1, 0.3)
    for reading, place in enumerate(ERRORS.places):
        moved = limits_moved(SIGNATURES, ERRORS, [reading], steps)[0]
        turn = -1 if "at_least" in place.limit else 1
        ordered = moved[::turn]
        assert all(one.missed_share <= two.missed_share + 1e-12 for one, two in pairwise(ordered))
        assert all(one.false_alarm_share >= two.false_alarm_share for one, two in pairwise(ordered))
    as_it_is = {one[0].missed_share for one in limits_moved(SIGNATURES, ERRORS, range(len(ERRORS.places)), (0.0,))}
    assert len(as_it_is) == 1


def test_a_floor_above_what_the_train_is_charged_to_decides_nothing() -> None:
    first = replace(ERRORS.places[0], limit_bar=5.4, applies=False)
    errors = replace(ERRORS, places=(first, *ERRORS.places[1:]))
    spots = blind_spots(SIGNATURES, errors)
    assert spots.healthy.at_all < 0.01 and spots.healthy.at_reading[0] == 0.0
    applied = replace(errors, places=(replace(first, applies=True), *ERRORS.places[1:]))
    assert blind_spots(SIGNATURES, applied).healthy.at_all > 0.9


def test_the_cheapest_looks_show_all_that_the_test_does_not_and_the_rest_is_named() -> None:
    spots, extra = blind_spots(SIGNATURES, ERRORS), load_extra_looks(DEMONSTRATION)
    to_add = looks_to_add(spots, extra)
    unseen = {one.cause.kind for one in spots.causes if one.answer != "seen"}
    shown = {kind for look in to_add.looks for kind in look.shows}
    assert {one.cause.kind for one in to_add.never_shown} == unseen - {kind for look in extra.looks for kind in look.shows}
    assert unseen - shown == {one.cause.kind for one in to_add.never_shown}
    assert to_add.minutes == pytest.approx(sum(look.minutes for look in to_add.looks))
    every = extra.model_copy(update={"looks": tuple(look for look in extra.looks if look not in to_add.looks)})
    assert looks_to_add(spots, every).never_shown != () or looks_to_add(spots, every).minutes >= to_add.minutes
