"""Draws trains and tests from ranges: seeded, one draw by its number alone, whatever is drawn beside it."""

from __future__ import annotations

import numpy as np

from headstock.brake_test.air_under_test import AirUnderTest, Drawn
from headstock.brake_test.running_reading import OnTheLine
from headstock.local_rules.drawn_tests import DrawnTests, Range

KELVIN = 273.15


def draw(air: AirUnderTest, drawn: DrawnTests, seed: int, number: int) -> Drawn:
    """The draw of a number: same seed and number, same draw. Latin hypercube it is not; each draw stands alone."""
    dice = np.random.default_rng((seed, number))
    healthy, vehicles = drawn.healthy, len(air.vehicles)

    def even(over: Range) -> float:
        return float(dice.uniform(over.low, over.high))

    leak = even(healthy.leak_share_of_limit) * healthy.leak_limit_bar_per_min
    shares = dice.dirichlet(np.ones(vehicles))
    temperature_k = even(healthy.temperature_c) + KELVIN
    set_error_bar, pipe_error_bar = even(healthy.set_pressure_error_bar), even(healthy.pipe_before_error_bar)
    longer = healthy.stage_longer_s
    longer_s = dice.uniform(longer.low, longer.high, len(air.spans))
    # Last: what was drawn before it came stays what it was.
    line = OnTheLine(even(healthy.friction_share), even(healthy.running_rise), even(healthy.running_from_error_kmh))
    return Drawn(leak, tuple(shares.tolist()), temperature_k, set_error_bar, pipe_error_bar, tuple(longer_s.tolist()), line)


def middle(air: AirUnderTest, drawn: DrawnTests) -> Drawn:
    """The middle of every range: what is expected of a train of which nothing is known."""
    healthy, vehicles = drawn.healthy, len(air.vehicles)

    def half(over: Range) -> float:
        return (over.low + over.high) / 2

    return Drawn(
        half(healthy.leak_share_of_limit) * healthy.leak_limit_bar_per_min, (1.0 / vehicles,) * vehicles,
        half(healthy.temperature_c) + KELVIN, half(healthy.set_pressure_error_bar), half(healthy.pipe_before_error_bar),
        (half(healthy.stage_longer_s),) * len(air.spans),
        OnTheLine(half(healthy.friction_share), half(healthy.running_rise), half(healthy.running_from_error_kmh)),
    )  # fmt: skip
