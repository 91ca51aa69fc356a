"""How gauges and their readers err: one error a gauge, shared by all its readings, and the eye's share of a mark."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import sqrt

import numpy as np

from headstock.brake_test.forecast import TrainUnderTest
from headstock.brake_test.signatures import Floats
from headstock.brake_test.stage_readings import ReadingPlace, reading_places
from headstock.devices.gauge import GaugeSpec
from headstock.formation.train import UnitEnd
from headstock.local_rules.drawn_tests import DrawnTests
from headstock.local_rules.method_stage import End, Reads
from headstock.reasoning.hypotheses import Instrument, covariance_of

WITHIN_CLASS = 3.0
"""A gauge of its class is off by no more than its class says: so many standard deviations (our choice; no source)."""
EVEN = sqrt(3.0)
"""Half the width of an even spread in standard deviations: the eye is off by no more than its share of a mark."""
COUNTED_RIGHT = 1e-3
"""A count of brakes is right but for a hair [share]."""


@dataclass(frozen=True)
class GaugeErrors:
    """The instruments of a test: front gauge, rear gauge, the count of brakes; and which of them each reading is read on.

    ``own``: of readings on no pressure gauge the standard deviation of what they are off, in their own units.
    """

    places: tuple[ReadingPlace, ...]
    front: Instrument
    rear: Instrument
    marks_bar: dict[End, float]
    times: tuple[float, ...] = ()
    """By what each reading is multiplied after it was read: of a fall in a minute, a minute over the time watched."""
    own: tuple[float, ...] = ()

    @cached_property
    def read_by(self) -> tuple[int, ...]:
        """Number of the instrument of each reading; each count is a look of its own, and so is a flow or a speed."""
        return tuple(
            (0 if place.at == "front" else 1) if place.is_gauge else 2 + number for number, place in enumerate(self.places)
        )

    @cached_property
    def covariance(self) -> Floats:
        """Of the readings' errors (readings, readings). What a gauge is off falls out of a change read on it."""
        instruments = [self.front, self.rear, *(Instrument(0.0, max(off, COUNTED_RIGHT)) for off in self._own)]
        matrix = covariance_of(instruments, self.read_by)
        change = np.array([place.is_change for place in self.places])
        noise = np.array([instruments[number].noise for number in self.read_by])
        matrix[change, :] = 0.0
        matrix[:, change] = 0.0
        times = np.array(self.times or (1.0,) * len(self.places))
        matrix[change, change] = 2.0 * (times * noise)[change] ** 2  # read twice
        return matrix

    def drawn(self, dice: np.random.Generator, count: int) -> Floats:
        """Errors of so many tests (tests, readings): what the gauge is off, and the eye, evenly; a count is taken to be right."""
        change = np.array([place.is_change for place in self.places])
        is_gauge = np.array([place.is_gauge for place in self.places])
        own = [self.front if place.at == "front" else self.rear for place in self.places]
        off = {"front": dice.normal(0.0, self.front.bias, count), "rear": dice.normal(0.0, self.rear.bias, count)}
        widest = EVEN * np.array([instrument.noise for instrument in own])
        eye, eye_before = dice.uniform(-1.0, 1.0, (2, count, len(self.places))) * widest
        times = np.array(self.times or (1.0,) * len(self.places))
        biases = np.stack([off[place.at] for place in self.places], axis=1)
        found = np.where(change, (eye - eye_before) * times, biases + eye)
        if not any(self._own):
            return np.asarray(np.where(is_gauge, found, 0.0))
        return np.asarray(np.where(is_gauge, found, dice.normal(0.0, 1.0, found.shape) * np.array(self._own)))

    @property
    def _own(self) -> tuple[float, ...]:
        return self.own or (0.0,) * len(self.places)

    @cached_property
    def apart(self) -> Floats:
        """Readings that differ by less than this are not told apart by a look at the gauge (readings,)."""
        return np.asarray(WITHIN_CLASS * np.sqrt(np.diag(self.covariance)))


def gauge_errors(tested: TrainUnderTest, drawn: DrawnTests) -> GaugeErrors:
    """The errors of the two cabs' brake pipe gauges, from the unit data."""
    eye = drawn.reading.eye_share_of_mark
    specs = {"front": gauge_at(tested, "front"), "rear": gauge_at(tested, "rear")}
    found = {
        end: Instrument(
            spec.range_high_bar * spec.accuracy_class_percent / 100.0 / WITHIN_CLASS, spec.graduation_bar * eye / EVEN
        )
        for end, spec in specs.items()
    }
    marks: dict[End, float] = {"front": specs["front"].graduation_bar, "rear": specs["rear"].graduation_bar}
    places = reading_places(tested)
    lasts_s = {stage.key: tested.rules.stage_s(stage) for stage in tested.method.stages}
    times = tuple(60.0 / lasts_s[place.stage] if place.limit == "leak_at_most_bar_per_min" else 1.0 for place in places)
    return GaugeErrors(places, found["front"], found["rear"], marks, times, tuple(_own_error(place, drawn) for place in places))


def _own_error(place: ReadingPlace, drawn: DrawnTests) -> float:
    """Of a flow, about its limit: what the meter is off, and the eye; of a fall of the speed the eye, twice."""
    reading = drawn.reading
    if place.reads == "flow":
        off = place.limit_bar * reading.flow_off_share / WITHIN_CLASS
        return sqrt(off**2 + (reading.flow_mark_l_per_min * reading.eye_share_of_mark / EVEN) ** 2)
    return sqrt(2.0) * reading.speed_mark_kmh * reading.eye_share_of_mark / EVEN if place.reads == "speed" else 0.0


@dataclass(frozen=True, slots=True)
class GaugeTaken:
    """An end of the test where the unit data name no brake pipe gauge, and the class and mark of the one that is taken."""

    at: End
    end: str
    class_percent: float
    mark_bar: float


def gauges_taken(tested: TrainUnderTest) -> tuple[GaugeTaken, ...]:
    """The ends without a gauge of their own; nothing where both have one."""
    ends: tuple[tuple[End, UnitEnd], ...] = (("front", tested.front), ("rear", tested.rear))
    without = ((at, end, gauge_at(tested, at)) for at, end in ends if _gauge_on(tested, end, "brake pipe") is None)
    return tuple(GaugeTaken(at, str(end), spec.accuracy_class_percent, spec.graduation_bar) for at, end, spec in without)


def gauge_at(tested: TrainUnderTest, at: End, reads: Reads = "brake pipe") -> GaugeSpec:
    """The gauge at one end of the test; a cab without one is read on a gauge like the other end's."""
    for end in (tested.front, tested.rear) if at == "front" else (tested.rear, tested.front):
        if (found := _gauge_on(tested, end, reads)) is not None:
            return found
    return PLAIN_GAUGE


def _gauge_on(tested: TrainUnderTest, end: UnitEnd, reads: Reads) -> GaugeSpec | None:
    found = (spec for _, spec in tested.train.end_devices(end) if isinstance(spec, GaugeSpec) and spec.reads == reads)
    return next(found, None)


PLAIN_GAUGE = GaugeSpec(
    kind="gauge", reads="brake pipe", range_low_bar=0, range_high_bar=10, graduation_bar=0.2, accuracy_class_percent=1.6,
    source="common practice",
)  # fmt: skip
"""Where the unit data name no gauge at either end; the answers say so."""
