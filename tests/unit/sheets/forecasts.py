"""Made-up forecasts for trying the chart: pressures are plausible, invented and not computed."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp

from headstock.brake_test.forecast import Forecast, ForecastCase, ForecastReading, StageSpan
from headstock.local_rules.test_method import End, Limit

STAGES: tuple[tuple[str, End, float], ...] = (
    ("charged", "front", 246), ("rear charged", "rear", 8), ("lapped", "front", 6), ("rear applied", "rear", 25),
    ("front fallen", "front", 8), ("rear shut", "rear", 6), ("no rise", "front", 38), ("restored", "front", 246),
    ("rear restored", "rear", 8),
)  # fmt: skip
READINGS: tuple[tuple[str, str, End, Limit, float], ...] = (
    ("rear charged", "Charged, rear", "rear", "charged_at_least_bar", 4.8),
    ("rear applied", "Applied, rear", "rear", "rear_full_at_most_bar", 3.6),
    ("front fallen", "Applied, front", "front", "front_full_at_most_bar", 3.7),
    ("no rise", "Rise, front", "front", "rise_at_most_bar", 0.1),
    ("rear restored", "Restored, rear", "rear", "charged_at_least_bar", 4.8),
)
Course = Sequence[tuple[float, float]]
"""What a gauge comes to in each stage [bar] and how fast [s]."""
UP, DOWN, STILL = 35.0, 6.0, 1.0
HEALTHY_FRONT: Course = ((5.0, UP), (5, 1), (5, 1), (3.42, 8), (3.4, 4), (3.4, 1), (3.43, 20), (5.0, UP), (5, 1))
HEALTHY_REAR: Course = ((4.98, 45), (4.98, 1), (4.98, 1), (3.38, DOWN), (3.39, 4), (3.4, 1), (3.43, 20), (4.98, 45), (4.98, 1))


def spans() -> tuple[StageSpan, ...]:
    """The stages one after another."""
    now, made = 0.0, []
    for key, at, seconds in STAGES:
        made.append(StageSpan(key, f"does {key}", at, now, now + seconds))
        now += seconds
    return tuple(made)


def forecast_case(name: str, front: Course = HEALTHY_FRONT, rear: Course = HEALTHY_REAR, start: float = 2.9) -> ForecastCase:
    """A case from its two courses; readings are taken from them as the limits say."""
    stages = spans()
    t_s = tuple(number / 2 for number in range(int(stages[-1].ends_s * 2) + 1))
    shows: dict[End, tuple[float, ...]] = {"front": _course(front, start, t_s), "rear": _course(rear, start - 0.2, t_s)}
    by_key = {stage.key: stage for stage in stages}
    readings = []
    for key, title, at, limit, limit_bar in READINGS:
        stage = by_key[key]
        value = shows[at][round(stage.ends_s * 2)]
        value -= shows[at][round(stage.begins_s * 2)] if limit.startswith("rise") else 0.0
        within = value >= limit_bar if "at_least" in limit else value <= limit_bar
        readings.append(ForecastReading(key, title, at, limit, limit_bar, value, within))
    return ForecastCase(name, t_s, shows["front"], shows["rear"], tuple(readings), 1e-9)


def _course(course: Course, start: float, t_s: Sequence[float]) -> tuple[float, ...]:
    made, here = [], start
    for stage, (target, pace_s) in zip(spans(), course, strict=True):
        inside = [t for t in t_s if stage.begins_s <= t < stage.ends_s]
        made += [target + (here - target) * exp(-(t - stage.begins_s) / pace_s) for t in inside]
        here = target + (here - target) * exp(-(stage.ends_s - stage.begins_s) / pace_s)
    return (*made, here)


def shut(name: str, front_bar: float = 5.0, rear_bar: float = 2.7, pace_s: float = 4.0) -> ForecastCase:
    """A cock shut: the front stays charged, the rear is never fed and falls by itself."""
    front = [(front_bar if bar < 4 else bar, pace) for bar, pace in HEALTHY_FRONT]
    down = max(rear_bar - 1.2, 0.0)
    rear = [(rear_bar, 20), (rear_bar, 1), (rear_bar, 1), *[(down, pace_s)] * 6]
    return forecast_case(name, front, rear)


def two_faults() -> Forecast:
    """The joint's cock shut, and a second valve that feeds."""
    feeding = [*HEALTHY_FRONT[:6], (3.95, 18), *HEALTHY_FRONT[7:]]
    feeding_rear = [*HEALTHY_REAR[:6], (3.93, 18), *HEALTHY_REAR[7:]]
    cases = (forecast_case("healthy"), shut("brake pipe cock of 217/2 shut"),
             forecast_case("driver's brake valve of 217/1 running", feeding, feeding_rear))  # fmt: skip
    return Forecast(spans(), cases)


def close_faults() -> Forecast:
    """Readings just outside their limits, where the words of the limits would stand."""
    front = [*HEALTHY_FRONT[:3], (4.1, 8), (4.05, 4), (4.05, 1), (4.3, 15), *HEALTHY_FRONT[7:]]
    rear = [(4.55, 40), (4.55, 1), (4.55, 1), (3.85, 6), (3.85, 4), (3.85, 1), (4.0, 20), (4.5, 40), (4.5, 1)]
    stiff = [*HEALTHY_FRONT[:3], (3.8, 8), (3.75, 4), (3.7, 1), (3.62, 15), *HEALTHY_FRONT[7:]]
    cases = (forecast_case("healthy"), forecast_case("brake pipe choked in 2262", front, rear),
             forecast_case("brake pipe choked in 2263", stiff, rear))  # fmt: skip
    return Forecast(spans(), cases)


def six_faults() -> Forecast:
    """Five cocks and a small leak, two of them alike, one not seen."""
    slow = [*HEALTHY_REAR[:3], (3.64, 7), (3.62, 4), (3.6, 1), *HEALTHY_REAR[6:]]
    leak = [(4.97, 36), *HEALTHY_FRONT[1:3], (3.4, 8), (3.38, 4), (3.38, 1), (3.36, 20), (4.97, UP), (4.97, 1)]
    cases = (
        forecast_case("healthy"), shut("brake pipe cock of 217/2 shut"), shut("brake pipe cock of 226/1 shut"),
        shut("brake pipe cock of 226/2 shut", rear_bar=4.2, pace_s=2.0), forecast_case("brake pipe choked in 2262", rear=slow),
        forecast_case("leak of 0.1 bar a minute in 2173", leak), shut("brake pipe cock of 231/1 shut", 4.95, 3.6, 9.0),
    )  # fmt: skip
    return Forecast(spans(), cases)
