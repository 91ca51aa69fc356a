"""A brake test in hand: what people sent from their phones, folded into where the test stands.

Nothing rests on the order in which events arrive, nor on how often: the same events give the same test. A reading is never
written over; a correction names what it replaces, and where readings differ all are kept until somebody corrects them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Annotated, Final, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

What = Literal["begun", "done", "reading", "cannot read", "touched", "between", "out", "asked", "look", "stopped", "ended"]
Key = Annotated[str, Field(pattern=r"^[A-Za-z0-9:._-]{8,80}$")]
Moment = Annotated[str, Field(pattern=r"^\d{4}-\d\d-\d\d \d\d:\d\d:\d\d$")]
Figure = Annotated[str, Field(pattern=r"^-?\d{1,5}(\.\d{1,3})?$")]
Short = Annotated[str, Field(max_length=80)]
OF_A_STAGE: Final = ("done", "reading", "cannot read")
"""Events that belong to a stage."""


class TestEvent(BaseModel):
    """One thing that happened in a test, with a key made where it happened; the same key again is the same event."""

    __test__ = False
    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)

    key: Key = Field(description="made by the phone; sent again it adds nothing")
    test: Key = Field(description="the test that it belongs to")
    what: What = Field(description="what happened")
    at: Moment = Field(description="when, on the clock of the place")
    who: Annotated[str, Field(min_length=1, max_length=60)] = Field(description="who says so")
    phone: Annotated[str, Field(max_length=40)] = Field(default="", description="the phone that it was given on")
    number: Annotated[int, Field(ge=0, lt=10**7)] = Field(default=0, description="the how manieth event of that phone")
    stage: Short = Field(default="", description="the stage of the method")
    shows: Figure | None = Field(default=None, description="the figure read, or counted")
    unit: Annotated[str, Field(max_length=10)] = Field(default="", description="its unit")
    seen: bool | None = Field(default=None, description="of a lamp or bell: as it must be, or not")
    of: Annotated[int, Field(ge=1, le=2000)] | None = Field(default=None, description="of how many brakes a count was made")
    before: Figure | None = Field(default=None, description="the same gauge when the stage began")
    read_at: Moment | None = Field(default=None, description="when it was read, where that is not when it was given")
    replaces: tuple[Key, ...] = Field(default=(), max_length=20, description="readings that this one corrects")
    device: Short = Field(default="", description="what was touched, by its key")
    part_of: Short = Field(default="", description="the touch of the method that it is")
    place: Short = Field(default="", description="the joint that somebody is between")
    protection: Annotated[str, Field(max_length=4)] = Field(default="", description="own protection number of who is between")
    ends: Key | None = Field(default=None, description="of coming out: the going between that it ends")
    asked_at: Literal["departure", "handover"] | None = Field(default=None, description="when it was asked: touched since?")
    touched: bool | None = Field(default=None, description="the answer to it")
    cause: Annotated[str, Field(max_length=160)] = Field(default="", description="what was looked for")
    is_there: bool | None = Field(default=None, description="whether it was found there")

    @model_validator(mode="after")
    def _is_whole(self) -> TestEvent:
        lacks = {
            "reading": self.shows is None and self.seen is None, "touched": not self.device, "out": self.ends is None,
            "asked": self.asked_at is None or self.touched is None, "look": not self.cause or self.is_there is None,
        }  # fmt: skip
        if lacks.get(self.what, False) or (self.what in OF_A_STAGE and not self.stage):
            raise ValueError(f"an event of the kind {self.what} lacks what makes it one")
        return self

    @property
    def when(self) -> str:
        """When it was read."""
        return self.read_at or self.at

    @property
    def order(self) -> tuple[str, str, int, str]:
        """Place among all events, the same wherever it is asked."""
        return (self.at, self.phone, self.number, self.key)

    @property
    def figure(self) -> tuple[float | None, str, bool | None, int | None, float | None]:
        """What was read; equal where two people read the same."""
        return (_number(self.shows), self.unit, self.seen, self.of, _number(self.before))


def _number(text: str | None) -> float | None:
    return None if text is None else float(text)


@dataclass(frozen=True, slots=True)
class StageInHand:
    """A stage: when it was done, readings that stand, those corrected since, and who could not read it."""

    key: str
    done: TestEvent | None = None
    standing: tuple[TestEvent, ...] = ()
    corrected: tuple[TestEvent, ...] = ()
    cannot: tuple[TestEvent, ...] = ()

    @property
    def in_conflict(self) -> bool:
        """Whether readings that stand differ: a person has to say which one holds."""
        return len({event.figure for event in self.standing}) > 1

    @property
    def reading(self) -> TestEvent | None:
        """The reading on which everybody agrees."""
        return self.standing[0] if self.standing and not self.in_conflict else None


@dataclass(frozen=True, slots=True)
class TestInHand:
    """Where a test stands. ``at``: number of the stage in hand from 0; as many as there are stages when all are through."""

    __test__ = False

    test: str
    stages: tuple[StageInHand, ...]
    at: int
    begun: TestEvent | None = None
    ended: TestEvent | None = None
    stopped: TestEvent | None = None
    between: tuple[TestEvent, ...] = ()
    touches: tuple[TestEvent, ...] = ()
    asked: tuple[TestEvent, ...] = ()
    looks: tuple[TestEvent, ...] = ()
    astray: tuple[TestEvent, ...] = ()
    count: int = 0

    @property
    def conflicts(self) -> tuple[StageInHand, ...]:
        """Stages of which different readings stand."""
        return tuple(stage for stage in self.stages if stage.in_conflict)

    @property
    def is_through(self) -> bool:
        """Whether no stage is left."""
        return self.at >= len(self.stages)


def fold(events: Iterable[TestEvent], stages: Sequence[str], test: str) -> TestInHand:
    """Where ``test`` stands by the method's stages after its events, in whatever order and however often they came."""
    own = sorted({event.key: event for event in events if event.test == test}.values(), key=lambda event: event.order)
    of = {what: [event for event in own if event.what == what] for what in {event.what for event in own}}
    found = tuple(_stage(key, own) for key in stages)
    came_out = {event.ends for event in of.get("out", [])}
    return TestInHand(
        test, found, _at(own, stages), _first(of, "begun"), _last(of, "ended"), _last(of, "stopped"),
        tuple(event for event in of.get("between", []) if event.key not in came_out), tuple(of.get("touched", [])),
        tuple(of.get("asked", [])), _newest_looks(of.get("look", [])),
        tuple(event for event in own if event.what in OF_A_STAGE and event.stage not in stages), len(own),
    )  # fmt: skip


def _first(of: dict[What, list[TestEvent]], what: What) -> TestEvent | None:
    return of[what][0] if what in of else None


def _last(of: dict[What, list[TestEvent]], what: What) -> TestEvent | None:
    return of[what][-1] if what in of else None


def _stage(key: str, own: Sequence[TestEvent]) -> StageInHand:
    here = [event for event in own if event.stage == key]
    replaced = {old for event in here for old in event.replaces}
    readings = [event for event in here if event.what == "reading"]
    return StageInHand(
        key, next((event for event in here if event.what == "done"), None),
        tuple(event for event in readings if event.key not in replaced),
        tuple(event for event in readings if event.key in replaced),
        tuple(event for event in here if event.what == "cannot read" and event.key not in replaced),
    )  # fmt: skip


def _at(own: Sequence[TestEvent], stages: Sequence[str]) -> int:
    """The stage in hand is the one after the farthest that somebody was done with."""
    place = {key: number for number, key in enumerate(stages)}
    reached = [place[event.stage] + 1 for event in own if event.what == "done" and event.stage in place]
    left = [len(stages)] if any(event.what == "ended" for event in own) else []
    return max([0, *reached, *left])


def _newest_looks(looks: Sequence[TestEvent]) -> tuple[TestEvent, ...]:
    """Of each cause what was said last."""
    return tuple({event.cause: event for event in looks}.values())


def newest_test(events: Iterable[TestEvent]) -> str | None:
    """The test that was begun last, by its number and not by anybody's clock; None where none was begun."""
    begun = {event.test for event in events if event.what == "begun"}
    return max(begun, key=lambda test: (test_number(test), test), default=None)


def test_number(test: str) -> int:
    """Of which number a test of its job is."""
    number = test.rpartition("-")[2]
    return int(number) if number.isdecimal() else 0
