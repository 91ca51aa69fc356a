"""The forecast as a band: the middle 95 per cent of healthy trains, opened by how gauges err, to whole marks and seconds.

Limits decide whether a reading is good. The band says what to expect; outside it, but within limits, is a doubt and no verdict.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor

import numpy as np

from headstock.brake_test.band_task import BandTask
from headstock.brake_test.forecast import TrainUnderTest
from headstock.brake_test.gauge_error import GaugeTaken, gauge_at, gauges_taken
from headstock.brake_test.signatures import Floats
from headstock.brake_test.stage_readings import ReadingPlace, read_brakes, reading_places
from headstock.devices.gauge import GaugeSpec
from headstock.local_rules.drawn_tests import HowRead
from headstock.local_rules.method_stage import End
from headstock.local_rules.test_limits import Limit

LOW_PERCENT, HIGH_PERCENT = 2.5, 97.5
EVEN = 1e-9
"""A figure so near to a mark is on it."""


@dataclass(frozen=True, slots=True)
class ReadingBand:
    """One reading of healthy trains: ``low`` to ``high`` with true gauges, ``lowest`` to ``highest`` as read off real ones.

    In bar, of a leak bar per minute, of brakes counted a share, of a flow l/min, of a fall of the speed km/h; a change or a leak
    may be less than nothing.
    """

    stage: str
    name: str
    at: End
    limit: Limit
    low: float
    high: float
    lowest: float
    highest: float


@dataclass(frozen=True, slots=True)
class StageBand:
    """How long a stage takes until its gauge stands still, in whole seconds; ``moving``: share of trains that never are.

    None where more than half of the trains are never still before the stage ends.
    """

    stage: str
    from_s: int | None
    to_s: int | None
    moving: float


@dataclass(frozen=True, slots=True)
class GaugeBand:
    """What one gauge may show along the test: marks [bar] between which healthy trains lie at each moment."""

    at: End
    lowest_bar: tuple[float, ...]
    highest_bar: tuple[float, ...]
    low_bar: tuple[float, ...]
    high_bar: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class ForecastBand:
    """The whole band, from how many trains, from which ranges."""

    members: int
    seed: int
    drawn_from: str
    edition: str
    is_invented: bool
    t_s: tuple[float, ...]
    gauges: tuple[GaugeBand, GaugeBand]
    readings: tuple[ReadingBand, ...]
    stages: tuple[StageBand, ...]
    gauges_taken: tuple[GaugeTaken, ...] = ()

    def of_stage(self, stage: str) -> ReadingBand | None:
        """The reading of a stage."""
        return next((reading for reading in self.readings if reading.stage == stage), None)


def band_of(task: BandTask, values: Floats) -> ForecastBand:
    """The band from what ``task`` answered (values, members)."""
    tested, moments = task.air.tested, len(task.moments_s)
    gauges = {at: gauge_at(tested, at) for at in ("front", "rear")}
    places = reading_places(tested)
    read = values[2 * moments : 2 * moments + len(places)]
    still = values[2 * moments + len(places) :]
    set_bar = tested.train.cab_valve(tested.front)[1].set_pressure_bar
    lasts_s = {span.key: span.ends_s - span.begins_s for span in task.air.spans}
    how = task.drawn.reading
    readings = tuple(
        _reading(place, row, _read_on(tested, place), (set_bar, lasts_s[place.stage], how), _counted(task, place))
        for place, row in zip(places, read, strict=True)
    )
    stages = tuple(_stage(span.key, row) for span, row in zip(task.air.spans, still, strict=True))
    front, rear = (
        _gauge("front", values[:moments], gauges["front"]),
        _gauge("rear", values[moments : 2 * moments], gauges["rear"]),
    )
    drawn = task.drawn
    return ForecastBand(
        task.members, task.seed, drawn.name, drawn.edition, drawn.invented, task.moments_s, (front, rear), readings, stages,
        gauges_taken(tested),
    )  # fmt: skip


def _read_on(tested: TrainUnderTest, place: ReadingPlace) -> GaugeSpec:
    return gauge_at(tested, place.at, place.reads if place.is_gauge else "brake pipe")


def opened_to_marks(low_bar: float, high_bar: float, gauge: GaugeSpec) -> tuple[float, float]:
    """From and to [bar] on a gauge of this class, outward to its marks; a pointer goes no further than its scale."""
    error_bar, mark_bar = gauge.range_high_bar * gauge.accuracy_class_percent / 100.0, gauge.graduation_bar
    first = gauge.range_low_bar + mark_bar * floor((low_bar - error_bar - gauge.range_low_bar) / mark_bar + EVEN)
    last = gauge.range_low_bar + mark_bar * ceil((high_bar + error_bar - gauge.range_low_bar) / mark_bar - EVEN)
    return max(gauge.range_low_bar, first), min(gauge.range_high_bar, max(gauge.range_low_bar, last))


def _reading(place: ReadingPlace, row: Floats, gauge: GaugeSpec, known: tuple[float, float, HowRead], brakes: int) -> ReadingBand:
    low, high = (float(value) for value in np.percentile(row, (LOW_PERCENT, HIGH_PERCENT)))
    set_bar, lasts_s, how = known
    if not place.is_gauge:
        lowest, highest = _opened_own(place, low, high, brakes, how)
    elif place.limit == "below_set_at_most_bar":
        first, last = opened_to_marks(set_bar - high, set_bar - low, gauge)
        lowest, highest = set_bar - last, set_bar - first
    elif place.is_change:
        per_change = 60.0 / lasts_s if place.limit == "leak_at_most_bar_per_min" else 1.0
        lowest, highest = _opened_change(low, high, per_change, gauge.graduation_bar, how.eye_share_of_mark)
    else:
        lowest, highest = opened_to_marks(low, high, gauge)
    return ReadingBand(place.stage, place.name, place.at, place.limit, low, high, lowest, highest)


def _opened_own(place: ReadingPlace, low: float, high: float, brakes: int, how: HowRead) -> tuple[float, float]:
    """What is on no pressure gauge: brakes are whole; a flow meter is off by a share; a speed is read twice; to whole marks."""
    if place.is_count:
        return floor(low * brakes + EVEN) / brakes, ceil(high * brakes - EVEN) / brakes
    if place.reads == "flow":
        mark, low, high = how.flow_mark_l_per_min, low * (1.0 - how.flow_off_share), high * (1.0 + how.flow_off_share)
    else:
        mark = how.speed_mark_kmh
        low, high = low - 2.0 * mark * how.eye_share_of_mark, high + 2.0 * mark * how.eye_share_of_mark
    return max(0.0, mark * floor(low / mark + EVEN)), mark * ceil(high / mark - EVEN)


def _opened_change(low: float, high: float, per_change: float, mark_bar: float, eye: float) -> tuple[float, float]:
    """A change is read twice on one gauge: what it is off falls out, the eye errs twice; outward to what the eye can tell."""
    told_bar = mark_bar * eye
    first = floor((low / per_change - 2.0 * told_bar) / told_bar + EVEN)
    last = ceil((high / per_change + 2.0 * told_bar) / told_bar - EVEN)
    return first * told_bar * per_change, last * told_bar * per_change


def _counted(task: BandTask, place: ReadingPlace) -> int:
    """Of how many brakes a count is made."""
    stage = next(stage for stage in task.air.tested.method.stages if stage.key == place.stage)
    if stage.reading is None or not place.is_count:
        return 1
    return max(1, len(read_brakes(task.air.tested, task.air.air, stage.reading)))


def _stage(key: str, row: Floats) -> StageBand:
    known = row[~np.isnan(row)]
    moving = 1.0 - known.size / row.size
    if known.size * 2 < row.size:
        return StageBand(key, None, None, moving)
    low, high = np.percentile(known, (LOW_PERCENT, HIGH_PERCENT))
    return StageBand(key, floor(low + EVEN), ceil(high - EVEN), moving)


def _gauge(at: End, rows: Floats, gauge: GaugeSpec) -> GaugeBand:
    """Outward in time too: the marks of each moment take in those of the moments beside it, about a second away."""
    low, high = np.percentile(rows, (LOW_PERCENT, HIGH_PERCENT), axis=1)
    wide_low, wide_high = _outward(low, np.minimum), _outward(high, np.maximum)
    marks = [opened_to_marks(float(one), float(other), gauge) for one, other in zip(wide_low, wide_high, strict=True)]
    return GaugeBand(
        at, tuple(first for first, _ in marks), tuple(last for _, last in marks), tuple(low.tolist()), tuple(high.tolist())
    )


def _outward(row: Floats, farther: np.ufunc) -> Floats:
    found = row.copy()
    found[1:] = farther(found[1:], row[:-1])
    found[:-1] = farther(found[:-1], row[1:])
    return found
