"""Questions about a train and its couples: what can it do, can two ends be joined, what joins what, which test is due."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from headstock.notebook.given import Fleet, Job, fleet_of, job_of
from headstock.notebook.shown import Answer, Lines, Part, Picture, Table
from headstock.sheets.joint_square import square_svg
from headstock.sheets.pair_words import pair_words, square_words
from headstock.sheets.svg import PRINT
from headstock.usecases.answers_as_data.can import can_as_json, invented_of
from headstock.usecases.answers_as_data.due import due_as_json
from headstock.usecases.answers_as_data.join import join_as_json
from headstock.usecases.answers_as_data.table import table_as_json
from headstock.usecases.can_job import JobCan, can_job
from headstock.usecases.can_question import can_question
from headstock.usecases.can_sections import can_sections
from headstock.usecases.can_words import CAN_CAUTIONS
from headstock.usecases.due_words import due_lines, trigger_set_words
from headstock.usecases.job_file import load_rules_named
from headstock.usecases.join_ends import PairAnswer, join_ends
from headstock.usecases.join_table import SHORT_LEVELS, TABLE_CAUTIONS, join_table
from headstock.usecases.join_table import JoinTable as FleetTable
from headstock.usecases.track_given import track_from
from headstock.usecases.which_tests import WhichTests, which_tests
from headstock.wiring import air_engine

RULES = "wending-vale"


@dataclass(frozen=True, repr=False)
class Can(Answer):
    """What the train of a job can do."""

    job: Job
    result: JobCan

    @property
    def title(self) -> str:
        """The job's title."""
        return f"{self.job.title}, what the train can do"

    @property
    def answer(self) -> str:
        """``yes``; ``no`` where a portion is not held or hauled; ``outside the model`` where something is not answered."""
        return self.result.answer

    @property
    def reasons(self) -> tuple[str, ...]:
        """Every reason of a no."""
        return self.result.refused

    @property
    def cautions(self) -> tuple[str, ...]:
        """Also what the figures rest on."""
        return (*super().cautions, *CAN_CAUTIONS)

    @property
    def data(self) -> dict[str, Any]:
        """As ``headstock can --json``: SI units by their names, speeds in km/h."""
        return can_as_json(self.result)

    def parts(self) -> Iterator[Part]:
        """The train, then section by section."""
        if self.job.drawing is not None:
            yield self.job.drawing
        yield Lines("", (invented_of(self.result),))
        for section in can_sections(self.result):
            lines = tuple(part for part in section.parts if isinstance(part, str))
            yield Lines(section.title, lines)
            yield from (Table(part.caption, part.headings, part.rows) for part in section.parts if not isinstance(part, str))


def can(
    job: Job | Path | str, *, speed_kmh: float | None = None, keep_m: float | None = None, profile: str | None = None,
    platform_m: float | None = None, signal_m: float | None = None, curve_radius_m: float | None = None,
    load: str = "working order",
) -> Can:  # fmt: skip
    """What the train of a job can do: stop, stand, prove the joint by a pull, haul, take the meeting, fit.

    Speeds in km/h, distances in m, ``profile`` in m and per mille (``"0:-4,350:-12.5"``), ``load`` as working order, laden,
    exceptional, or by unit. What the unit types do not state is not answered, with the reason. Raises InputError.
    Source: the sources of the unit types and of the local rules that the job names; the laws say theirs in the explanation.
    """
    asked = job_of(job)
    question = can_question(speed_kmh, keep_m, profile, platform_m, signal_m, curve_radius_m, None, load)
    return Can(asked, can_job(asked.path, asked.fleet.unit_types, air_engine(), question))


@dataclass(frozen=True, repr=False)
class Join(Answer):
    """Can two ends be joined, how, and what is then lost."""

    result: PairAnswer

    @property
    def title(self) -> str:
        """The two ends."""
        return f"{self.result.join.first} with {self.result.join.second}"

    @property
    def answer(self) -> str:
        """``yes``, ``only if`` or ``no``."""
        return self.result.join.answer

    @property
    def reasons(self) -> tuple[str, ...]:
        """Every reason of a no, by every way."""
        return tuple(reason for way in self.result.join.ways for reason in way.reasons) if self.answer == "no" else ()

    @property
    def data(self) -> dict[str, Any]:
        """As ``headstock join --json``: heights and throw in mm."""
        return join_as_json(self.result)

    @property
    def drawing(self) -> Picture:
        """What crosses the joint, as a square."""
        drawn = square_svg(pair_words(self.result.join, "", "").crossing, PRINT).replace("<svg ", '<svg width="150" ', 1)
        return Picture(square_words(self.result.join), drawn)

    def parts(self) -> Iterator[Part]:
        """The square, then what is asked, brought, changed, lost; wires pin by pin."""
        yield self.drawing
        words = pair_words(self.result.join, self.result.join.first, self.result.join.second)
        yield Lines("", (f"{words.headline}.", self.result.invented))
        yield from (Lines(block.title, block.lines) for block in words.blocks)
        for pins in words.pins:
            yield Lines(pins.verdict, pins.functions)
            if pins.rows:
                yield Table("", ("pin", *pins.heads, "makes"), pins.rows)


def join(
    first: str, second: str, *, job: Job | Path | str | None = None, fleet: Fleet | Path | str | None = None,
    local_rules: str = RULES, place: str | None = None, curve_radius_m: float | None = None, curve: str | None = None,
) -> Join:  # fmt: skip
    """Can two ends be joined: ``TYPE/1`` and ``TYPE/2``, or ``UNIT/1`` and ``UNIT/2`` of a job.

    Radius in m; ``curve`` says how the ends lie on it, as the option of the same name. Raises InputError.
    Source: the sources of the two unit types and of the local rules.
    """
    papers = None if job is None else job_of(job)
    types = fleet_of(fleet) if fleet is not None or papers is None else papers.fleet.unit_types
    track = track_from(place, curve_radius_m, curve)
    return Join(join_ends(first, second, types, local_rules, None if papers is None else papers.path, track))


@dataclass(frozen=True, repr=False)
class JoinTable(Answer):
    """What in a fleet joins what."""

    result: FleetTable

    @property
    def title(self) -> str:
        """How many types."""
        return f"What joins what, {len(self.result.types)} types"

    @property
    def answer(self) -> str:
        """How many of the pairs of ends can be joined."""
        joined = sum(pair.join.answer != "no" for pair in self.result.every)
        return f"{joined} of {len(self.result.every)} pairs of ends can be joined"

    @property
    def cautions(self) -> tuple[str, ...]:
        """Also what a square means."""
        return TABLE_CAUTIONS

    @property
    def data(self) -> dict[str, Any]:
        """As ``headstock table --json``."""
        return table_as_json(self.result)

    def parts(self) -> Iterator[Part]:
        """A square a pair, each pair once."""
        yield Lines("", tuple(line for line in (self.result.invented, self.result.origin) if line))
        names = [row.name for row in self.result.rows]
        rows = tuple(
            (name, *(self._square(row, column) for column in range(row + 1)), *("" for _ in names[row + 1 :]))
            for row, name in enumerate(names)
        )
        yield Table("Answer and level, each pair once", ("", *names), rows)

    def _square(self, row: int, column: int) -> str:
        join = self.result.pair(column, row).join
        return "no" if join.answer == "no" else f"{join.answer}, {SHORT_LEVELS[join.best.level]}"


def table(
    fleet: Fleet | Path | str | None = None, types: Sequence[str] = (), *, local_rules: str = RULES, place: str | None = None,
    curve_radius_m: float | None = None, curve: str | None = None,
) -> JoinTable:  # fmt: skip
    """Every pair of ends of a fleet, or of those of its types that are named.

    Radius in m. Raises InputError. Source: the sources of the unit types and of the local rules.
    """
    track = track_from(place, curve_radius_m, curve)
    return JoinTable(join_table(fleet_of(fleet), load_rules_named(local_rules), track, tuple(types)))


@dataclass(frozen=True, repr=False)
class Due(Answer):
    """Which brake test is due after what happened, and why."""

    result: WhichTests

    @property
    def title(self) -> str:
        """What happened."""
        return f"After {', '.join(self.result.events) or 'nothing named'}"

    @property
    def answer(self) -> str:
        """``yes``, ``no`` or ``not decided``."""
        return self.result.result.answer

    @property
    def data(self) -> dict[str, Any]:
        """As ``headstock due --json``."""
        return due_as_json(self.result)

    def parts(self) -> Iterator[Part]:
        """Every entry that fired, and what must still be known."""
        yield Lines(trigger_set_words(self.result), tuple(line.strip() for line in due_lines(self.result)))


def due(
    events: Sequence[str] = (), facts: Sequence[str] = (), *, job: Job | Path | str | None = None, triggers: str | None = None
) -> Due:
    """Which brake test is due after events by name (``"cock touched"``), with facts as ``"NAME=VALUE"``; or after a job.

    Raises InputError for an event, fact or trigger set that there is not. Source: the entry of the trigger set that fired.
    """
    papers = None if job is None else job_of(job)
    types = fleet_of(None) if papers is None else papers.fleet.unit_types
    return Due(which_tests(list(events), list(facts), triggers, None if papers is None else papers.path, types))
