"""Somebody who keeps a fleet asks: which ends join which, how, and what is then lost? Never answered with leave to do it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from itertools import combinations_with_replacement
from typing import Final

from headstock.base.errors import Fault, InputError
from headstock.equipment.library import Fleet
from headstock.equipment.unit_type import UnitType
from headstock.formation.joinability import JoinResult, TypeEnd, can_be_joined
from headstock.local_rules.rules import LocalRules
from headstock.usecases.standing_caution import STANDING_CAUTION, invented_words
from headstock.usecases.track_given import TrackGiven

SHORT_LEVELS: Final[Mapping[str, str]] = {
    "none": "", "rescue": "rescue", "mechanical and automatic brake": "brake", "electro-pneumatic brake": "EP brake",
    "full multiple working": "full",
}  # fmt: skip
"""A level in a word, where a square has no room for more."""
LEVELS_EXPLAINED: Final = (
    ("full", "full multiple working: everything commanded from one cab"),
    ("EP brake", "automatic and electro-pneumatic brake across the joint, no control"),
    ("brake", "coupled, automatic brake across the joint; no electro-pneumatic brake, no control"),
    ("rescue", "coupled to be hauled out of the way, and no more"),
)
WAYS_EXPLAINED: Final = (
    ("direct", "the couplers close on one another"),
    ("screw", "by a screw coupling"),
    ("adapter", "through an adapter"),
)
TABLE_CAUTIONS: Final = (
    STANDING_CAUTION,
    "A square says what the stated data allow, and is no leave to join anything.",
)


@dataclass(frozen=True, slots=True)
class TableRow:
    """An end of the fleet, or both ends of a type where the table says the same of both."""

    name: str
    ends: tuple[str, ...]
    unit_type: UnitType
    coupler: str


@dataclass(frozen=True, slots=True)
class TablePair:
    """Two ends (of two units, where both are the same) and the answer for them."""

    first: str
    second: str
    join: JoinResult


@dataclass(frozen=True, slots=True)
class JoinTable:
    """Every two ends of a fleet once (``every``), and the same by rows with like ends taken together (``pairs``)."""

    rules: LocalRules
    track: TrackGiven
    types: tuple[UnitType, ...]
    rows: tuple[TableRow, ...]
    pairs: tuple[TablePair, ...]
    every: tuple[TablePair, ...]

    @property
    def invented(self) -> str:
        """What of it is made up for demonstration, in words; "" for nothing."""
        places = [self.track.place.invented] if self.track.place is not None else []
        return invented_words([self.rules.invented, *(t.invented for t in self.types), *places])

    @property
    def origin(self) -> str:
        """Rules, unit data and track that it was computed with."""
        issues = ", ".join(f"{t.type} issue {t.issue}" for t in self.types)
        return f"Local rules: {self.rules.name}, edition {self.rules.edition} · unit data: {issues} · {self.track.words}"

    def pair(self, first: int, second: int) -> TablePair:
        """The answer for two rows by number, in either order."""
        one, other = sorted((first, second))
        return self.pairs[one * len(self.rows) - one * (one - 1) // 2 + other - one]


def join_table(fleet: Fleet, rules: LocalRules, track: TrackGiven | None = None, names: Sequence[str] = ()) -> JoinTable:
    """The table of a fleet, or of those of its types that are named, against one another."""
    if len(set(names)) < len(names):
        raise InputError(Fault("a type is named twice", found=", ".join(names), expected="each once"))
    types = tuple(fleet.find(name) for name in names) if names else tuple(fleet.types.values())
    where = track or TrackGiven()
    ends = [TypeEnd(f"{unit_type.type}/{end}", unit_type, end) for unit_type in types for end in ("1", "2")]
    every = tuple(_pair(one, other, rules, where) for one, other in combinations_with_replacement(ends, 2))
    rows = tuple(row for unit_type in types for row in _rows(unit_type, every))
    shown = [TypeEnd(row.name, row.unit_type, row.ends[0][-1]) for row in rows]
    pairs = tuple(_pair(one, other, rules, where) for one, other in combinations_with_replacement(shown, 2))
    return JoinTable(rules, where, types, rows, pairs, every)


def _pair(one: TypeEnd, other: TypeEnd, rules: LocalRules, track: TrackGiven) -> TablePair:
    """Two ends; one and the same name is that of two units, told apart as "another"."""
    fellow = TypeEnd(f"another {other.name}", other.unit_type, other.end) if one.name == other.name else other
    return TablePair(one.name, other.name, can_be_joined(one, fellow, rules, track.curve))


def _rows(unit_type: UnitType, every: Sequence[TablePair]) -> list[TableRow]:
    """One row for both ends of a type if nothing in the table tells them apart, else one for each."""
    ends = (f"{unit_type.type}/1", f"{unit_type.type}/2")
    couplers = [_coupler_words(unit_type, end) for end in ("1", "2")]
    if couplers[0] == couplers[1] and _said_of(ends[0], unit_type, every) == _said_of(ends[1], unit_type, every):
        return [TableRow(unit_type.type, ends, unit_type, couplers[0])]
    return [TableRow(name, (name,), unit_type, words) for name, words in zip(ends, couplers, strict=True)]


def _said_of(end: str, unit_type: UnitType, every: Sequence[TablePair]) -> set[tuple[str, str]]:
    """What the table says of an end, by the other end, as if both ends of its type had one name."""
    found = set()
    for pair in every:
        if end in (pair.first, pair.second):
            other = pair.second if pair.first == end else pair.first
            found.add((_unnumbered(other, unit_type), _unnumbered(str(asdict(pair.join)), unit_type)))
    return found


def _unnumbered(text: str, unit_type: UnitType) -> str:
    """Words about a type without the numbers of its ends."""
    name = unit_type.type
    return text.replace(f"another {name}/", f"{name}/").replace(f"{name}/1", name).replace(f"{name}/2", name)


def _coupler_words(unit_type: UnitType, end: str) -> str:
    coupler = unit_type.ends[end].devices["coupler"]  # type: ignore[index]
    face = getattr(coupler, "face", "") or getattr(coupler, "contour", "")
    return f"{coupler.kind} {face}".strip()  # type: ignore[attr-defined]
