"""One reading against its limits: within, not within, not applicable, or not yet; and what there is to remark."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from headstock.brake_test.band_doubt import may_mean
from headstock.brake_test.gas_law import drop_by_cooling_bar, greatest_rebound_bar
from headstock.brake_test.impossible import BAR_OF
from headstock.brake_test.test_record import Entry, TestRecord
from headstock.local_rules.limit_figures import is_at_most, is_share, unit_of
from headstock.local_rules.method_stage import CHANGES, Stage
from headstock.local_rules.test_limits import Limit

State = Literal["within limits", "not within limits", "not applicable", "not yet"]
SAME = 1e-9
"""Figures so near one another differ by nothing but the last bit."""
SETTLED_S = 20.0
"""After a fast exhaust a pipe has warmed again within this, where the rules say nothing (common practice, no source)."""
FARTHEST: tuple[Limit, ...] = ("rise_at_most_bar", "cylinder_fall_at_most_bar")
"""Of several looks in one stage the farthest counts."""
FLOORS: tuple[Limit, ...] = ("charged_at_least_bar",)


@dataclass(frozen=True, slots=True)
class LimitVerdict:
    """One limit: its figure and the value held against it, both in the unit that its name says (None where not read)."""

    limit: Limit
    limit_value: float
    value: float | None
    state: State


@dataclass(frozen=True, slots=True)
class ReadingVerdict:
    """One reading of the method. ``line`` of the record, 0 where there is none."""

    stage: str
    name: str
    state: State
    limits: tuple[LimitVerdict, ...]
    remarks: tuple[str, ...]
    line: int = 0


def reading_verdict(record: TestRecord, stage: Stage) -> ReadingVerdict:
    """The verdict on a stage's reading."""
    reading = stage.reading
    assert reading is not None
    entries = [entry for entry in record.of_stage(stage.key) if entry.is_read]
    if not entries:
        return ReadingVerdict(stage.key, reading.name, "not yet", (), ("not read",))
    entry = entries[-1]
    if reading.limit is None:
        state: State = "within limits" if entry.seen else "not within limits"
        return ReadingVerdict(stage.key, reading.name, state, (), () if entry.seen else ("not as it must be",), entry.line)
    limits = tuple(_against(record, stage, entry, limit) for limit in reading.limits)
    remarks = [*_short(record, stage, entry), *_remarks(record, stage, entry, limits)]
    state = _of_all(limits)
    if state == "within limits" and any(True for _ in _short(record, stage, entry)):
        state = "not yet"
    stayed_s = entry.stayed_s
    if stayed_s is not None and stage.waits == "hold_at_least_s" and stayed_s < record.rules.limit("hold_at_least_s"):
        state = "not within limits"
        remarks.append(f"a brake tried again stayed on for {stayed_s:g} s, "
                       f"at least {record.rules.limit('hold_at_least_s'):g} s are asked for")  # fmt: skip
    return ReadingVerdict(stage.key, reading.name, state, limits, tuple(remarks), entry.line)


def _of_all(limits: tuple[LimitVerdict, ...]) -> State:
    states = [limit.state for limit in limits]
    if "not within limits" in states:
        return "not within limits"
    if "not yet" in states:
        return "not yet"
    return "within limits" if "within limits" in states else "not applicable"


def _against(record: TestRecord, stage: Stage, entry: Entry, limit: Limit) -> LimitVerdict:
    limit_value = record.rules.limit_read(limit)
    if limit in FLOORS and limit_value > record.train.set_bar + SAME:
        return LimitVerdict(limit, limit_value, entry.value, "not applicable")
    value = value_of(record, entry, limit)
    if value is None:
        return LimitVerdict(limit, limit_value, None, "not yet")
    within = value <= limit_value + SAME if is_at_most(limit) else value >= limit_value - SAME
    state: State = "within limits" if within else "not within limits"
    if not within and limit == "rise_at_most_bar" and _may_be_rebound(record, entry, value):
        state = "not yet"
    return LimitVerdict(limit, limit_value, value, state)


def base_of(record: TestRecord, entry: Entry) -> tuple[float, float] | None:
    """From which value, and when [s], a change counts: the first look in the stage, else the last one before it."""
    first = next(other for other in record.of_stage(entry.stage) if other.value is not None)
    if entry.before_bar is not None:
        return entry.before_bar, _acted_before(record, first).when_s
    if first is not entry and first.value is not None:
        return first.value, first.when_s
    other = record.last_read_before(entry)
    if other is not None and other.value is not None:
        return other.value, other.when_s
    return None


def _acted_before(record: TestRecord, entry: Entry) -> Entry:
    """The line before one, or that one where it is the first."""
    return record.entries[max(record.entries.index(entry) - 1, 0)]


def value_of(record: TestRecord, entry: Entry, limit: Limit) -> float | None:
    """What is held against a limit, in the unit that the limit's name says; None where what it counts from was not read."""
    value = entry.value or 0.0
    if limit == "below_set_at_most_bar":
        return record.train.set_bar - value
    if limit in ("applied_share_at_least", "released_share_at_least"):
        of = entry.of or _brakes_of(record, entry)
        return value / of if of else None
    if limit not in CHANGES:
        return value
    base = base_of(record, entry)
    if base is None:
        return None
    if limit in FARTHEST:
        values = [other.value for other in record.of_stage(entry.stage) if other.value is not None]
        value = max(values) if limit == "rise_at_most_bar" else min(values)
    fall_bar = base[0] - value
    if limit == "leak_at_most_bar_per_min":
        lasted_s = entry.when_s - base[1]
        return (fall_bar - _cooling_bar(record, base[0])) * 60.0 / lasted_s if lasted_s > 0 else None
    return -fall_bar if limit == "rise_at_most_bar" else fall_bar


def _brakes_of(record: TestRecord, entry: Entry) -> int:
    """How many brakes a count is made of."""
    stage = next(stage for stage in record.method.stages if stage.key == entry.stage)
    return 1 if stage.reading is not None and stage.reading.counts == "last vehicle" else record.train.brakes


def _cooling_bar(record: TestRecord, gauge_bar: float) -> float:
    """What the gas law alone takes off the gauge between the temperatures given."""
    if record.began_k is None or record.ended_k is None:
        return 0.0
    return drop_by_cooling_bar(gauge_bar, record.began_k, record.ended_k)


def _settled_s(record: TestRecord) -> float:
    named = record.rules.limits.settle_at_least_s
    return float(named.value) if named is not None else SETTLED_S


def _may_be_rebound(record: TestRecord, entry: Entry, rise_bar: float) -> bool:
    """No larger than warming can make it, and counted from before the pipe had settled after its exhaust."""
    base = base_of(record, entry)
    if base is None:
        return False
    exhausted = [other.when_s for other in record.entries
                 if other.when_s <= base[1] and _draws(record, other.stage)]  # fmt: skip
    is_settled = not exhausted or base[1] - max(exhausted) >= _settled_s(record)
    return not is_settled and rise_bar <= greatest_rebound_bar(record.train.set_bar, base[0])


def _draws(record: TestRecord, key: str) -> bool:
    stage = next(stage for stage in record.method.stages if stage.key == key)
    return stage.leaves_pipe == "drawn" and (stage.valve is not None or stage.cock is not None)


def _short(record: TestRecord, stage: Stage, entry: Entry) -> Iterator[str]:
    """A wait of the method that the record's times do not show."""
    keys = [other.key for other in record.method.stages]
    here = keys.index(stage.key)
    before = record.method.stages[here - 1] if here else None
    if stage.waits is not None:
        own = record.of_stage(stage.key)[0]
        begun = own if own is not entry else _entry_before(record, entry)
        if begun is not None and entry.when_s - begun.when_s + entry.within_s < record.rules.limit(stage.waits):
            yield (f"waited {entry.when_s - begun.when_s:.0f} s, at least {record.rules.limit(stage.waits):.0f} s are asked for: "
                   "do it again for long enough")  # fmt: skip
    acted = record.of_stage(before.key) if before is not None and before.waits and before.reading is None else ()
    if before is not None and before.waits is not None and acted:
        had_s = entry.when_s - acted[-1].when_s
        if had_s + entry.within_s < record.rules.limit(before.waits):
            yield f"read {had_s:.0f} s after {before.key}, at least {record.rules.limit(before.waits):.0f} s are asked for"


def _entry_before(record: TestRecord, entry: Entry) -> Entry | None:
    place = record.entries.index(entry)
    return record.entries[place - 1] if place else None


def _remarks(record: TestRecord, stage: Stage, entry: Entry, limits: tuple[LimitVerdict, ...]) -> Iterator[str]:
    for verdict in limits:
        if verdict.state == "not applicable":
            yield (f"{verdict.limit} ({verdict.limit_value:g} bar) is above the train's own set pressure "
                   f"({record.train.set_bar:g} bar): not applicable")  # fmt: skip
        elif verdict.value is None:
            yield "not read before, so how far it has changed is not known: read the gauge when the stage begins too"
        elif verdict.state == "not yet":
            yield (f"rose {verdict.value:.2f} bar: a pipe that warms again after its exhaust can do that; "
                   "read it now and again after the watch, a refill goes on")  # fmt: skip
        if verdict.limit == "leak_at_most_bar_per_min" and record.began_k and record.ended_k and verdict.value is not None:
            base = base_of(record, entry)
            cooled = _cooling_bar(record, base[0]) if base else 0.0
            yield f"the gas law takes {cooled:.2f} bar off by itself from {record.began_k:.0f} K to {record.ended_k:.0f} K"
    yield from _of_gauge(record, entry, limits)
    expected = record.expected_bar.get(stage.key)
    if expected is not None and entry.value is not None:
        value = value_of(record, entry, limits[0].limit)
        if value is not None and not expected[0] - SAME <= value <= expected[1] + SAME:
            limit = limits[0].limit
            unit = "" if is_share(limit) else f" {unit_of(limit, 'bar')}"
            yield (f"outside what a healthy train is forecast to show ({expected[0]:.2f} to {expected[1]:.2f}{unit}); "
                   f"it may mean {may_mean(limit, value > expected[1])}")  # fmt: skip


def _of_gauge(record: TestRecord, entry: Entry, limits: tuple[LimitVerdict, ...]) -> Iterator[str]:
    gauge = record.train.gauges.get((entry.at, entry.reads))
    if gauge is None or entry.unit not in BAR_OF or entry.value is None:
        return
    half_marks = entry.value / (gauge.graduation_bar / 2)
    if entry.unit == "bar" and abs(half_marks - round(half_marks)) > 0.1:
        yield f"read finer than the gauge's marks ({gauge.graduation_bar:g} bar apart) allow"
    for verdict in limits:
        if verdict.value is None or verdict.limit not in ("charged_at_least_bar", "rear_full_at_most_bar",
                                                           "front_full_at_most_bar", "below_set_at_most_bar"):  # fmt: skip
            small = verdict.limit in CHANGES and verdict.limit_value < gauge.graduation_bar / 2
            if small:
                yield f"marks {gauge.graduation_bar:g} bar apart cannot tell {verdict.limit_value:g} bar"
        elif abs(verdict.value - verdict.limit_value) < gauge.error_bar:
            yield f"nearer to the limit than the gauge may be off (class {gauge.class_percent:g}: {gauge.error_bar:.2f} bar)"
