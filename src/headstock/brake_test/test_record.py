"""What a brake test left on paper: the train, who read what where and when, what was touched; all figures in SI or bar."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from headstock.brake_test.touches import TestPath, Touch
from headstock.local_rules.method_stage import End, Reads
from headstock.local_rules.rules import LocalRules
from headstock.local_rules.test_method import BrakeTestMethod, Release, Stock


@dataclass(frozen=True, slots=True)
class GaugeFacts:
    """What a gauge can show [bar, gauge], its marks [bar], its class [per cent of the highest mark]."""

    low_bar: float
    high_bar: float
    graduation_bar: float
    class_percent: float

    @property
    def error_bar(self) -> float:
        """How far it may be off [bar]."""
        return self.high_bar * self.class_percent / 100.0


@dataclass(frozen=True, slots=True)
class TrainTested:
    """The train as far as a test's figures need it: set pressure [bar, gauge], length [m], brakes, gauges by end and kind."""

    stock: Stock
    releases: frozenset[Release]
    set_bar: float
    length_m: float
    brakes: int
    gauges: Mapping[tuple[End, Reads], GaugeFacts] = field(default_factory=dict)
    has_electric_brake: bool = False
    electric_in_use: bool | None = None


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the record. ``value``: bar (gauge), l/min, brakes or km/h as the method's stage reads; None: only done.

    ``given`` and ``unit`` as written; ``before_bar`` the same gauge when the stage began; ``of`` brakes that there are;
    ``stayed_s`` the shortest time that a brake tried again stayed on. The moment lies within ``within_s`` after ``when_s``.
    """

    stage: str
    who: str
    at: End
    when_s: float
    reads: Reads = "brake pipe"
    value: float | None = None
    given: float | None = None
    unit: str = ""
    seen: bool | None = None
    of: int | None = None
    before_bar: float | None = None
    stayed_s: float | None = None
    within_s: float = 1.0
    line: int = 0

    @property
    def is_read(self) -> bool:
        """Whether something was read, and not only done."""
        return self.value is not None or self.seen is not None


@dataclass(frozen=True, slots=True)
class Asked:
    """The answer to "touched since?": when, at departure or handover, by whom, and what was said."""

    when_s: float
    at: str
    who: str
    touched: bool
    line: int = 0


@dataclass(frozen=True, slots=True)
class TestRecord:
    """A whole record, entries in order of time. Temperatures of the air in the pipe [K] where they were taken.

    ``earlier_ended_s``: when an earlier application was released, where the test was begun anew. ``expected_bar``: what a
    forecast says of a healthy train, by stage. ``path``: None where the train's devices are not known.
    """

    __test__ = False

    method: BrakeTestMethod
    rules: LocalRules
    train: TrainTested
    entries: tuple[Entry, ...]
    began_k: float | None = None
    ended_k: float | None = None
    earlier_ended_s: float | None = None
    expected_bar: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    touches: tuple[Touch, ...] = ()
    path: TestPath | None = None
    asked: tuple[Asked, ...] = ()
    asked_for: str = ""

    def of_stage(self, key: str) -> tuple[Entry, ...]:
        """Entries of a stage."""
        return tuple(entry for entry in self.entries if entry.stage == key)

    def last_read_before(self, entry: Entry) -> Entry | None:
        """The last reading of the same thing at the same end before an entry's stage."""
        found = None
        for other in self.entries:
            if other.stage == entry.stage:
                break
            if other.value is not None and (other.at, other.reads) == (entry.at, entry.reads):
                found = other
        return found
