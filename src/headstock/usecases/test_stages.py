"""The stages of a brake test as people carry them out: who does what where, what is said, what the gauge may show."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil, floor
from typing import Final

from headstock.brake_test.reading_verdict import reading_verdict
from headstock.brake_test.test_record import Entry, GaugeFacts, TestRecord
from headstock.devices.scene import TEST
from headstock.local_rules.limit_figures import PressureUnit, in_unit, is_share, limit_figure, limit_tail
from headstock.local_rules.method_stage import CHANGES, End, Reading, Stage
from headstock.local_rules.test_limits import Limit
from headstock.reasoning.step import Step, Utterance
from headstock.usecases.judge_words import LIMIT_WORDS
from headstock.usecases.moments import moment_s, moment_text
from headstock.usecases.record_units import in_own_unit
from headstock.usecases.test_in_hand import TestInHand
from headstock.usecases.test_papers import TestPapers

WIDEST: Final = 26
"""Most marks that a staff shows at once; a longer one is zoomed."""
DUTY: Final = {"front": "drives", "rear": "reads_rear"}
GOOD: Final = ("within limits", "not applicable")
HALVINGS: Final = 20
"""A mark halved so often is finer than any figure."""
FALLS: Final[tuple[Limit, ...]] = ("step_at_least_bar", "cylinder_fall_at_most_bar")


@dataclass(frozen=True, slots=True)
class Staff:
    """Marks of a gauge: figures by mark in ``unit``; the first and last that are shown; where the first tap stands.

    ``within``: from where to where it is within limits, in marks, None where that is not known before another gauge is read;
    ``edges``: the same in figures, "" where no limit lies; ``expected``: of healthy trains, in marks.
    """

    unit: str
    figures: tuple[str, ...]
    first: int
    last: int
    within: tuple[float, float] | None
    edges: tuple[str, str]
    expected: tuple[float, float] | None
    begins: int


@dataclass(frozen=True, slots=True)
class StageShown:
    """A stage as a page shows it. ``kind``: act, gauge, count, figure or seen; ``waits_s`` from when it is begun."""

    key: str
    does: str
    role: str
    who: str
    where: str
    kind: str
    words: tuple[Utterance, ...] = ()
    limits: tuple[str, ...] = ()
    staff: Staff | None = None
    unit: str = ""
    of: int | None = None
    asks_before: bool = False
    waits_s: float | None = None
    until: str = ""

    @property
    def said(self) -> tuple[tuple[str, str, tuple[str, ...]], ...]:
        """Speaker, words, and who says them back; the same words said to several stand once."""
        found: dict[tuple[str, str], list[str]] = {}
        for one in self.words:
            found.setdefault((one.speaker, one.words), []).extend([one.hearer] if one.said_back else [])
        return tuple((speaker, words, tuple(hearers)) for (speaker, words), hearers in found.items())


def stages_shown(given: TestPapers, steps: Sequence[Step], record: TestRecord | None,
                 expected: Mapping[str, tuple[float, float]]) -> tuple[StageShown, ...]:  # fmt: skip
    """All stages. ``steps``: the order of work, for the words; ``record``: what was read so far."""
    return tuple(_shown(given, stage, steps, record, expected.get(stage.key)) for stage in given.papers.method.stages)


def _shown(given: TestPapers, stage: Stage, steps: Sequence[Step], record: TestRecord | None,
           expected: tuple[float, float] | None) -> StageShown:  # fmt: skip
    role = role_of(given, stage.at)
    reading = stage.reading
    rules = given.papers.rules
    cabs = given.train.cabs
    shown = StageShown(
        stage.key, stage.says[0].upper() + stage.says[1:] + ".", role, given.papers.job.crew.get(role, ""),  # type: ignore[call-overload]
        f"cab {cabs[stage.at]}" if cabs else f"the {stage.at}", "act", _words(stage, steps), until=stage.until or "",
        waits_s=rules.limit(stage.waits) if stage.waits is not None else None,
    )  # fmt: skip
    if reading is None:
        return shown
    limits = tuple(_limit_words(given, limit) for limit in reading.limits)
    if reading.limit is None:
        return replace(shown, kind="seen", limits=limits)
    unit = _unit(reading, rules.pressure_unit)
    of = _counted(given, reading) if unit == "brakes" else None
    staff = _staff(given, stage, reading, record, expected)
    kind = "count" if of else "gauge" if staff else "figure"
    return replace(shown, kind=kind, limits=limits, staff=staff, unit=unit, of=of, asks_before=reading.limit in CHANGES)


def not_before(stages: Sequence[StageShown], hand: TestInHand) -> tuple[str, ...]:
    """For each stage the clock time before which it must not end, "" where nothing is waited for, or that is not known yet."""
    found = [""] * len(stages)
    for number in range(1, len(stages)):
        before = hand.stages[number - 1]
        begun = before.done or before.reading
        waits_s = stages[number].waits_s if stages[number].kind != "act" else None
        waits_s = waits_s or (stages[number - 1].waits_s if stages[number - 1].kind == "act" else None)
        if begun is not None and waits_s is not None:
            found[number] = moment_text(moment_s(begun.when) + waits_s)[11:]
    return tuple(found)


def role_of(given: TestPapers, at: End) -> str:
    """Whoever does it: the first of the rules' list for the duty that the crew has, else whoever drives, else the first named."""
    crew = given.papers.job.crew
    duties = given.papers.rules.duties
    wanted: Sequence[str] = (*getattr(duties, DUTY[at]).value, *duties.drives.value)
    return next((role for role in wanted if role in crew), next(iter(crew)))


def _words(stage: Stage, steps: Sequence[Step]) -> tuple[Utterance, ...]:
    """What is said when a stage is done, by the order of work."""
    done = (TEST, stage.key)
    return tuple(said for step in steps if done in step.tells for said in step.said)


def _limit_words(given: TestPapers, limit: Limit) -> str:
    rules = given.papers.rules
    words, own = LIMIT_WORDS[limit]
    value = rules.limit_read(limit)
    if own.startswith("bar"):
        own = own.replace("bar", rules.pressure_unit, 1)
        return f"{words} {limit_figure(value, limit, rules.pressure_unit)} {own} {limit_tail(limit)}"
    return f"{words} {value:g}{f' {own}' if own else ''} {limit_tail(limit)}"


def _counted(given: TestPapers, reading: Reading) -> int:
    """How many brakes a count is out of."""
    return 1 if reading.counts == "last vehicle" else given.train.tested.brakes


def _unit(reading: Reading, pressure: PressureUnit) -> str:
    return {"flow": "l/min", "speed": "km/h", "brakes applied": "brakes", "brakes released": "brakes"}.get(
        reading.reads, pressure
    )


def _staff(given: TestPapers, stage: Stage, reading: Reading, record: TestRecord | None,
           expected: tuple[float, float] | None) -> Staff | None:  # fmt: skip
    """The gauge's marks; None for what has no gauge here."""
    unit = _unit(reading, given.papers.rules.pressure_unit)
    figures = _figures(given, stage, reading, unit)
    if figures is None:
        return None
    within = _within(given, stage, figures, unit, record)
    low, step = float(figures[0]), float(figures[1]) - float(figures[0])
    band = _band(given, stage, reading, record, expected, unit)
    shown_band = None if band is None else (_clipped((band[0] - low) / step, figures), _clipped((band[1] - low) / step, figures))
    begins = _just_outside(within, len(figures))
    first, last = _window(len(figures), [begins, *(within or ()), *(shown_band or ())])
    edges = ("", "") if within is None else (
        f"{low + within[0] * step:.2f}".rstrip("0").rstrip(".") if within[0] > 0 else "",
        f"{low + within[1] * step:.2f}".rstrip("0").rstrip(".") if within[1] < len(figures) - 1 else "",
    )  # fmt: skip
    return Staff(unit, figures, first, last, within, edges, shown_band, begins)


def _clipped(mark: float, figures: Sequence[str]) -> float:
    return min(max(mark, 0.0), len(figures) - 1.0)


def _figures(given: TestPapers, stage: Stage, reading: Reading, unit: str) -> tuple[str, ...] | None:
    """The figure at each mark of the gauge, or each count that can be."""
    if unit == "brakes":
        of = _counted(given, reading)
        return tuple(str(number) for number in range(of + 1))
    gauge: GaugeFacts | None = given.train.tested.gauges.get((stage.at, reading.reads))
    if gauge is None or unit not in ("bar", "psi"):
        return None
    if unit == "psi":
        step, high = max(1, round(in_unit(gauge.graduation_bar, "psi"))), round(in_unit(gauge.high_bar, "psi"))
        return tuple(str(value) for value in range(0, high + 1, step))
    count = round((gauge.high_bar - gauge.low_bar) / gauge.graduation_bar)
    return tuple(f"{gauge.low_bar + number * gauge.graduation_bar:.10g}" for number in range(count + 1))


def _within(given: TestPapers, stage: Stage, figures: Sequence[str], unit: str,
            record: TestRecord | None) -> tuple[float, float] | None:  # fmt: skip
    """From where to where [marks] a reading keeps its limits, by judging figures as if they were read."""
    before = tuple(entry for entry in record.entries if entry.stage != stage.key) if record is not None else ()
    asked = record or _bare(given)
    when_s = before[-1].when_s + 1.0 if before else 0.0
    low, step = float(figures[0]), float(figures[1]) - float(figures[0])
    assert stage.reading is not None
    reads = stage.reading.reads

    def is_within(mark: float) -> bool | None:
        figure = low + mark * step
        entry = Entry(stage.key, "", stage.at, when_s, reads, in_own_unit(figure, unit), figure, unit)
        limits = reading_verdict(replace(asked, entries=(*before, entry)), stage).limits
        return None if any(one.value is None for one in limits) else all(one.state in GOOD for one in limits)

    found = [is_within(number) for number in range(len(figures))]
    good = [number for number, answer in enumerate(found) if answer]
    if None in found or not good:
        return None
    first = good[0] if good[0] == 0 else _edge(good[0], good[0] - 1, is_within)
    last = good[-1] if good[-1] == len(figures) - 1 else _edge(good[-1], good[-1] + 1, is_within)
    return first, last


def _edge(good: float, bad: float, is_within: Callable[[float], bool | None]) -> float:
    """Where between two marks the limit lies."""
    for _ in range(HALVINGS):
        middle = (good + bad) / 2
        good, bad = (middle, bad) if is_within(middle) else (good, middle)
    return good


def _bare(given: TestPapers) -> TestRecord:
    return TestRecord(given.papers.method, given.papers.rules, given.train.tested, ())


def _just_outside(within: tuple[float, float] | None, count: int) -> int:
    """Where the first tap stands: at a mark outside the limit, so that nobody passes by not looking."""
    if within is None:
        return count // 2
    return ceil(within[0]) - 1 if within[0] > 0 else min(floor(within[1]) + 1, count - 1)


def _window(count: int, marks: Sequence[float]) -> tuple[int, int]:
    """The marks that are shown: all of a short gauge, else those about the limit and what is expected."""
    if count <= WIDEST:
        return 0, count - 1
    edges = [mark for mark in marks if 0 < mark < count - 1] or [count / 2]
    first = max(0, min(round((min(edges) + max(edges)) / 2) - WIDEST // 2, count - WIDEST))
    return first, first + WIDEST - 1


def _band(given: TestPapers, stage: Stage, reading: Reading, record: TestRecord | None,
          expected: tuple[float, float] | None, unit: str) -> tuple[float, float] | None:  # fmt: skip
    """What a healthy train is expected to show, as the gauge shows it; None where that is not known yet."""
    limit = reading.limit
    if expected is None or limit is None or limit == "leak_at_most_bar_per_min":
        return None
    if is_share(limit):
        of = _counted(given, reading)
        return expected[0] * of, expected[1] * of
    low, high = expected
    if limit == "below_set_at_most_bar":
        low, high = given.train.tested.set_bar - high, given.train.tested.set_bar - low
    elif limit in CHANGES:
        base = _base(record, stage)
        if base is None:
            return None
        low, high = (base - high, base - low) if limit in FALLS else (base + low, base + high)
    if unit == "psi":
        low, high = in_unit(low, "psi"), in_unit(high, "psi")
    return low, high


def _base(record: TestRecord | None, stage: Stage) -> float | None:
    """The last reading of the same gauge before a stage [bar]."""
    if record is None or stage.reading is None:
        return None
    entry = record.last_read_before(Entry(stage.key, "", stage.at, 0.0, stage.reading.reads))
    return None if entry is None else entry.value
