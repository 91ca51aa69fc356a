"""What stands on a job sheet, in words and figures ready to set. No rule of the trade is decided here."""

from __future__ import annotations

from dataclasses import dataclass

from headstock.devices.marks import Mark
from headstock.sheets.forecast_content import ForecastChart


@dataclass(frozen=True, slots=True)
class Person:
    """A role with its letter (D, S, G, Y), name and whether in charge."""

    letter: str
    role: str
    name: str
    in_charge: bool


@dataclass(frozen=True, slots=True)
class Words:
    """Words said (or said back) by the role with this letter."""

    letter: str
    text: str
    said_back: bool = False


@dataclass(frozen=True, slots=True)
class Block:
    """One of about ten blocks of the front: who acts, who hears, words from letter to letter."""

    number: int
    title: str
    text: str
    acts: tuple[str, ...]
    hears: tuple[str, ...]
    arrows: tuple[tuple[str, str], ...]
    words: tuple[Words, ...] = ()
    caution: str = ""


@dataclass(frozen=True, slots=True)
class DetailLine:
    """One line of the back; ``last_number`` closes a run of messages that stand on one line (0: a single step).

    ``stop`` says on the last line of a block whether the work may be left there.
    """

    number: int
    block: int
    letter: str
    text: str
    because: str
    words: tuple[Words, ...]
    allowance_s: float
    caution: str = ""
    last_number: int = 0
    stop: str = ""


@dataclass(frozen=True, slots=True)
class VehicleDrawing:
    """A vehicle from the side, in order along the road, as found.

    ``hold`` is H (hand brake), P (parking brake) or empty for a brake that the job holds by, ``hold_on`` whether it is on;
    ``brake_on`` is the air brake.
    """

    number: str
    cab_left: bool
    cab_right: bool
    length_m: float
    hold: str
    hold_on: bool
    brake_on: bool


@dataclass(frozen=True, slots=True)
class TrainDrawing:
    """The train from the side as found: portions of vehicles, with a gap between portions.

    ``has_main_reservoir_pipe`` per portion; ``high_end`` is "left" or "right", "" when the road is level;
    ``holds_note`` says what the letters of the holds mean.
    """

    portions: tuple[tuple[VehicleDrawing, ...], ...]
    has_main_reservoir_pipe: tuple[bool, ...]
    high_end: str
    left_label: str
    middle_label: str
    right_label: str
    holds_note: str = ""


@dataclass(frozen=True, slots=True)
class EndPicture:
    """An end as one stands in front of it."""

    title: str
    caption: str
    marks: tuple[Mark, ...]


@dataclass(frozen=True, slots=True)
class Reading:
    """A blank for a reading with its limit: ``limit`` is the figure, ``limit_tail`` the words after it."""

    number: int
    name: str
    limit: str
    limit_tail: str
    where: str


@dataclass(frozen=True, slots=True)
class HoldLine:
    """One line of the holding table."""

    portion: str
    brakes: str
    needed_kn: str
    held_kn: str
    held_gradient: str


@dataclass(frozen=True, slots=True)
class JobSheetContent:
    """A whole job sheet: front (blocks, pictures, readings, signatures) and back (forecast where there is one, detail).

    ``opening`` says on what both portions stand while the joint's cocks are opened.
    """

    title: str
    place_line: str
    rules_line: str
    invented: bool
    cautions: tuple[str, ...]
    people: tuple[Person, ...]
    train: TrainDrawing
    ends: tuple[EndPicture, ...]
    blocks: tuple[Block, ...]
    readings: tuple[Reading, ...]
    readings_note: str
    signatures: tuple[str, ...]
    detail: tuple[DetailLine, ...]
    joined_heading: str
    restrictions: tuple[str, ...]
    tell_afterwards: tuple[str, ...]
    holds: tuple[HoldLine, ...]
    holds_note: str
    opening: str
    plan_note: str
    sources: tuple[str, ...]
    footer: str
    cannot_show: tuple[str, ...] = ()
    forecast: ForecastChart | None = None
    signals: tuple[str, ...] = ()
    tests_due: tuple[str, ...] = ()
    stop_note: str = ""
