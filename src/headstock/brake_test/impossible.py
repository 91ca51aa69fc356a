"""What no test can have been: a walk too fast, read before charging could end, a gauge that cannot show it, a unit in doubt.

Only the impossible is refused. A person beside a train is not taken to be faster than 3 m/s (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from headstock.brake_test.test_record import Entry, GaugeFacts, TestRecord
from headstock.local_rules.method_stage import Stage

FASTEST_M_S = 3.0
HIGHEST_BAR = 16.0
"""Where the gauge's range is not known, no brake pipe or cylinder gauge of the trade goes further [bar]."""
NEAR = 0.3
"""A figure so near its limit (share of it) in another unit is taken for that unit."""
BAR_OF = {"bar": 1.0, "psi": 4.4482216152605 / 0.0254**2 / 1e5, "kPa": 0.01, "kg/cm2": 0.980665}
"""Pressure units in bar; kg/cm2 is 98.0665 kPa, a pound-force 4.4482216152605 N and an inch 0.0254 m by definition."""


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why nothing is judged: in words, the record's line, how it is cured."""

    what: str
    line: int
    cure: str


def refusals(record: TestRecord) -> tuple[Refusal, ...]:
    """Everything that cannot have been, or that belongs to another train or method."""
    return (*_other_family(record), *_walks(record), *_gauges(record), *_units(record), *_too_early(record))


def _other_family(record: TestRecord) -> Iterator[Refusal]:
    method, train = record.method, record.train
    cure = "Judge it by a method that belongs to this train: headstock methods list."
    if train.stock not in method.for_stock:
        yield Refusal(f"{method.name} and its limits belong to {', '.join(method.for_stock)}, not to {train.stock}", 0, cure)
    others = sorted(train.releases - set(method.for_release))
    if others and method.brake == "automatic":
        said = " and ".join(method.for_release)
        yield Refusal(f"{method.name} belongs to brakes with {said} release, the train has {' and '.join(others)}", 0, cure)
    if method.brake == "electro-pneumatic" and not train.has_electric_brake:
        yield Refusal("the train has no electro-pneumatic brake in every unit", 0, cure)


def _walks(record: TestRecord) -> Iterator[Refusal]:
    for who in dict.fromkeys(entry.who for entry in record.entries):
        own = [entry for entry in record.entries if entry.who == who]
        for here, there in pairwise(own):
            if here.at == there.at:
                continue
            had_s = there.when_s - here.when_s + there.within_s
            needs_s = record.train.length_m / FASTEST_M_S
            if had_s < needs_s:
                yield Refusal(
                    f"{who} cannot have gone {record.train.length_m:.0f} m from the {here.at} to the {there.at} in "
                    f"{had_s:.0f} s: at least {needs_s:.0f} s",
                    there.line, "Say who read it, and the time on the clock that all use.",
                )  # fmt: skip


def _gauge_of(record: TestRecord, entry: Entry) -> GaugeFacts | None:
    return record.train.gauges.get((entry.at, entry.reads))


def _gauges(record: TestRecord) -> Iterator[Refusal]:
    stages = {stage.key: stage for stage in record.method.stages}
    for entry in record.entries:
        reading = stages[entry.stage].reading
        if reading is None or not entry.is_read:
            continue
        if entry.at != reading.at:
            yield Refusal(f"{entry.stage} is read at the {reading.at}, not at the {entry.at}", entry.line,
                          "Read the right gauge.")  # fmt: skip
        elif entry.reads != reading.reads:
            yield Refusal(f"{entry.stage} is read on the {reading.reads}, not on the {entry.reads}", entry.line,
                          "Read the right gauge.")  # fmt: skip
        elif entry.unit in BAR_OF and entry.value is not None:
            yield from _out_of_range(entry, _gauge_of(record, entry))


def _out_of_range(entry: Entry, gauge: GaugeFacts | None) -> Iterator[Refusal]:
    low, high = (gauge.low_bar, gauge.high_bar) if gauge is not None else (0.0, HIGHEST_BAR)
    value = entry.value or 0.0
    if low - 1e-9 <= value <= high + 1e-9:
        return
    others = [unit for unit, bar in BAR_OF.items() if unit != entry.unit and entry.given is not None
              and max(low, high / 40) <= entry.given * bar <= high]  # fmt: skip
    asked = f"; in {' or '.join(others)} it could" if others else ""
    yield Refusal(f"{entry.given:g} {entry.unit} cannot be read on a gauge from {low:g} to {high:g} bar{asked}", entry.line,
                  "Ask whoever read it which unit is on the gauge." if others else "Ask which gauge was read.")  # fmt: skip


def _units(record: TestRecord) -> Iterator[Refusal]:
    """A figure that is far from its limit as written, and near it in another unit; two units on one gauge."""
    stages = {stage.key: stage for stage in record.method.stages}
    seen: dict[tuple[str, str], Entry] = {}
    for entry in record.entries:
        if entry.unit not in BAR_OF or entry.given is None or entry.value is None:
            continue
        first = seen.setdefault((entry.at, entry.reads), entry)
        if first.unit != entry.unit:
            yield Refusal(f"the {entry.at} gauge is read in {first.unit} and in {entry.unit}", entry.line,
                          "Ask which unit is on the gauge, and write that one.")  # fmt: skip
        yield from _doubtful(record, entry, stages[entry.stage])


def _doubtful(record: TestRecord, entry: Entry, stage: Stage) -> Iterator[Refusal]:
    if stage.reading is None or stage.reading.limit != "charged_at_least_bar" or entry.given is None or entry.value is None:
        return
    limit_bar = min(record.rules.limit_bar(stage.reading.limit), record.train.set_bar)
    if entry.value >= limit_bar / 2:
        return
    for unit, bar in BAR_OF.items():
        if unit != entry.unit and abs(entry.given * bar - limit_bar) <= NEAR * limit_bar:
            yield Refusal(f"{entry.given:g} {entry.unit} is hardly any pressure, {entry.given:g} {unit} would be near the limit",
                          entry.line, "Ask which unit is on the gauge.")  # fmt: skip
            return


def _too_early(record: TestRecord) -> Iterator[Refusal]:
    """Gone on before reservoirs could be charged; in a second try on direct release stock most of all."""
    first = next((stage for stage in record.method.stages if stage.waits == "charge_at_least_s"), None)
    after = next((entry for entry in record.entries if first is not None and entry.stage != first.key), None)
    if first is None or after is None:
        return
    begun = record.of_stage(first.key)
    least_s = record.rules.limit("charge_at_least_s")
    cure = f"Charge for {least_s:.0f} s, then begin the test anew."
    if begun and after.when_s - begun[0].when_s + after.within_s < least_s:
        had_s = after.when_s - begun[0].when_s
        yield Refusal(f"{after.stage} {had_s:.0f} s after charging began: a pipe at pressure does not mean reservoirs charged",
                      after.line, cure)  # fmt: skip
    ended_s = record.earlier_ended_s
    if ended_s is None or not record.method.retest_charge or "direct" not in record.train.releases:
        return
    had_s = after.when_s - ended_s
    if had_s + after.within_s < least_s:
        yield Refusal(f"begun anew {had_s:.0f} s after an application on brakes with direct release: "
                      "they do not apply until their reservoirs are charged again", after.line, cure)  # fmt: skip
