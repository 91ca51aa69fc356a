"""A supervisor fills in a form: units, road, local rules, and what else a job needs. Made into the text of a job file.

Every fault is kept beside its field, in the words that the reading of a job file has for it. Nothing is assumed in silence:
what the form offers at first is shown in it, and stands in the file.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from headstock.base.errors import Fault, InputError
from headstock.base.nearest import nearest_of
from headstock.equipment.library import Fleet
from headstock.formation.train import Joint, Train, TrainUnit, UnitEnd
from headstock.usecases.left_boxes import valves_of

MOST_UNITS = 12
WORKS = ("attach", "detach", "rescue")
ROLES = ("driver", "shunter", "guard")
NAME = re.compile(r"[A-Za-z0-9 -]{1,12}")
FORM_FIELDS = ("title", "work", "place", "local_rules", "method", "way", "moving", "driven_from", "controls_afterwards",
               "leaves_from", "joint")  # fmt: skip
OF_A_FILE = {
    "title": "title", "work": "work", "place": "place", "local_rules": "local_rules", "method": "method", "way": "way",
    "moving": "moving", "moving.units": "moving", "moving.driven_from": "driven_from",
    "controls_afterwards": "controls_afterwards", "leaves_from": "leaves_from", "joints": "joint", "crew": "crew",
    "boards_placed_by": "crew",
    "as_left": "as_left", "units": "units",
}  # fmt: skip
"""The field of the form that a part of the job file is written in."""


@dataclass(frozen=True, slots=True)
class UnitGiven:
    """A unit as given: its name, its type, whether it stands turned round (its end 2 towards the first direction)."""

    name: str
    type: str
    turned: bool


@dataclass
class JobForm:
    """What was given, by field, and what is wrong with it, by field ("" for what belongs to no field)."""

    values: dict[str, str]
    units: tuple[UnitGiven, ...]
    left: dict[str, str]
    crew: dict[str, str]
    boards: dict[str, str] = field(default_factory=dict)
    faults: dict[str, list[str]] = field(default_factory=dict)

    def fault(self, where: str, fault: Fault) -> None:
        """Keep a fault beside its field."""
        self.faults.setdefault(where, []).append(fault.text())

    def of(self, name: str) -> str:
        """A field's value, "" where nothing was given."""
        return self.values.get(name, "")


def form_from(given: Mapping[str, Sequence[str]]) -> JobForm:
    """A form from its fields as sent: `unit_name` and its like by number, `left:KEY`, `crew:ROLE`, `board:UNIT`."""
    values = {name: given[name][0].strip() for name in FORM_FIELDS if given.get(name)}
    units = []
    for number in range(MOST_UNITS):
        name, kind = (given.get(f"unit_{part}:{number}", [""])[0].strip() for part in ("name", "type"))
        if name:
            units.append(UnitGiven(name, kind, bool(given.get(f"unit_turned:{number}"))))
    left = {key.removeprefix("left:"): said[0] for key, said in given.items() if key.startswith("left:") and said[0]}
    crew = {role: given[f"crew:{role}"][0].strip() for role in ROLES if given.get(f"crew:{role}", [""])[0].strip()}
    boards = {key.removeprefix("board:"): said[0] for key, said in given.items() if key.startswith("board:") and said[0]}
    return JobForm(values, tuple(units), left, crew, boards)


def train_of_form(form: JobForm, fleet: Fleet) -> Train | None:
    """The train that the units make, all of whose joints but the one worked on are made; None with faults beside the units."""
    if form.of("work") not in WORKS:
        form.fault("work", Fault("what is done is not said", found=form.of("work") or "nothing", expected=" or ".join(WORKS)))
    if len(form.units) < 2:
        form.fault(
            "units", Fault("a train of one unit has nothing to join", found=f"{len(form.units)} named", expected="2 or more")
        )
    seen: set[str] = set()
    for number, unit in enumerate(form.units):
        where = f"unit:{number}"
        if not NAME.fullmatch(unit.name):
            form.fault(where, Fault("not a unit's number or name", found=unit.name, expected="letters and figures, at most 12"))
        if unit.name in seen:
            form.fault(where, Fault("unit named twice", found=unit.name, expected="each unit once"))
        seen.add(unit.name)
        if unit.type not in fleet.types:
            form.fault(where, Fault("unknown unit type", found=unit.type or "nothing", expected=", ".join(fleet.types),
                                    nearest=nearest_of(unit.type, fleet.types)))  # fmt: skip
    if form.faults:
        return None
    units = tuple(TrainUnit(one.name, fleet.types[one.type], "2" if one.turned else "1") for one in form.units)
    worked = _joint_number(form, len(units))
    return Train(units, tuple(
        Joint(UnitEnd(one.name, one.first_end).other, UnitEnd(other.name, other.first_end), number != worked)
        for number, (one, other) in enumerate(pairwise(units))
    ))  # fmt: skip


def _joint_number(form: JobForm, units: int) -> int:
    """Which joint is worked on: the first, unless another is asked for."""
    said = form.of("joint")
    return int(said) if said.isdecimal() and int(said) < units - 1 else 0


def with_first_choices(form: JobForm, train: Train) -> None:
    """What the form offers where nothing was chosen yet: the first portion comes, driven from the joint, and leads on."""
    first, second = train.portions()
    joint, outer = train.joint_to_make, train.outer_ends
    form.values.setdefault("joint", "0")
    form.values.setdefault("moving", "first")
    moves_first = form.of("moving") == "first"
    units, near = (first, joint.first) if moves_first else (second, joint.second)
    cabs = [str(end) for end in _cabs(units, train)]
    at_joint, leads = str(near), str(outer[0] if moves_first else outer[1])
    driven = leads if form.of("work") == "detach" else at_joint
    form.values.setdefault("driven_from", driven if driven in cabs else cabs[0] if cabs else "")
    form.values.setdefault("controls_afterwards", leads)
    form.values.setdefault("leaves_from", form.of("controls_afterwards"))
    form.values.setdefault("title", _title(form, first, second))


def _title(form: JobForm, first: Sequence[TrainUnit], second: Sequence[TrainUnit]) -> str:
    moving, standing = (first, second) if form.of("moving") == "first" else (second, first)
    one, other = ("+".join(unit.name for unit in units) for units in (moving, standing))
    word = {"attach": f"Attach {one} to {other}", "detach": f"Detach {one} from {other}", "rescue": f"{one} fetches {other}"}
    return word[form.of("work")][:60]


def _cabs(units: Sequence[TrainUnit], train: Train) -> list[UnitEnd]:
    return [UnitEnd(unit.name, end) for unit in units for end in (unit.first_end, "2" if unit.first_end == "1" else "1")
            if train.unit(unit.name).end_spec(end).has_cab]  # fmt: skip


def cabs_of(train: Train) -> tuple[str, ...]:
    """Every end with a cab, in the train's order."""
    return tuple(str(end) for end in _cabs(train.units, train))


def form_text(form: JobForm, train: Train, left: Mapping[str, str], invented: bool) -> str:
    """The job file. ``left``: how all stands where the form says nothing else; only what differs is written down."""
    joint = train.joint_to_make
    word = "part" if form.of("work") == "detach" else "make"
    first, second = train.portions()
    moves = first if form.of("moving") != "second" else second
    moving, unasked = [unit.name for unit in moves], valves_of(moves, train)
    lines = [
        "headstock: job 1", f"title: {_said(form.of('title'))}", f"invented: {'true' if invented else 'false'}",
        f"work: {form.of('work')}", "units:",
        *(f"  - {{name: {_said(unit.name)}, type: {unit.unit_type.type}}}" for unit in train.units), "joints:",
        *(f"  - {{ends: [{_said(str(one.first))}, {_said(str(one.second))}]{f', {word}: true' if one is joint else ''}}}"
          for one in train.joints),
        *([f"way: {form.of('way')}"] if form.of("way") else []),
        f"moving: {{units: {_said(moving)}, driven_from: {_said(form.of('driven_from'))}}}",
        f"controls_afterwards: {_said(form.of('controls_afterwards'))}", f"leaves_from: {_said(form.of('leaves_from'))}",
        f"crew: {_said(form.crew)}", f"place: {_said(form.of('place'))}", f"local_rules: {_said(form.of('local_rules'))}",
        f"method: {_said(form.of('method'))}",
    ]  # fmt: skip
    stand = {**left, **form.left}
    boards = {unit: role for unit, role in form.boards.items() if stand.get(f"{unit}.board") == "placed"}
    lines += [f"boards_placed_by: {_said(boards)}"] if boards else []
    otherwise = {key: value for key, value in form.left.items() if left.get(key) != value and key not in unasked}
    if otherwise:
        lines += ["as_left:", *(f"  {_said(key)}: {_said(value)}" for key, value in otherwise.items())]
    return "\n".join(lines) + "\n"


def _said(value: Any) -> str:
    """A value as a job file has it: quoted words, lists and groups on one line."""
    return json.dumps(value, ensure_ascii=False)


def keep_faults(form: JobForm, error: InputError) -> None:
    """Put the faults of the file that was made beside the fields they come from."""
    for fault in error.faults:
        said = Fault(fault.what, path="", found=fault.found, expected=fault.expected, nearest=fault.nearest)
        unit = re.match(r"units\[(\d+)\]", fault.path)
        head = fault.path.partition("[")[0]
        known = next((OF_A_FILE[path] for path in (fault.path, head, head.partition(".")[0]) if path in OF_A_FILE), "")
        form.fault(f"unit:{unit[1]}" if unit else known, said)
