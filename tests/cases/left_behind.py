# ruff: noqa: E501 (a table: one row, one line)
"""What a step leaves behind, by hand: after it another step of the job cannot be taken, or a look is worth nothing any more.

A row: the line after which, the step tried there, what it then lacks, why. And for each rule one thing that breaks it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from headstock.devices.scene import AUTHORITY
from headstock.reasoning.domain import Domain
from headstock.reasoning.step import Step
from headstock.reasoning.variable import Fact
from tests.cases.bad_orders import Edit, leave_out, move, move_after, slip_in
from tests.cases.deletions import Case

Left = tuple[str, str, str, str]


def _test_rows(off: str, units: tuple[str, ...], watches: dict[str, str]) -> Iterator[Left]:
    for unit in units:
        yield "^test, charged", off, f"{unit}.brake_pipe=drawn", "a charged pipe holds nothing"
        yield "^test, restored", off, f"{unit}.brake_pipe=drawn", "a charged pipe holds nothing"
        if unit in watches:
            yield "^test, rear applied", watches[unit], f"{unit}.brake_pipe=charged", "with the air brake on one watches nothing"


_PIPES: tuple[Left, ...] = (
    ("^open the brake pipe cock of 217/2", "^open the brake pipe cock of 226/1", "226.brake_pipe=empty", "air has come over"),
)
ATTACH_LEFT: tuple[Left, ...] = (
    *_test_rows("^take off the parking brake of 226, cab 226/2", ("217", "226"), {"217": "^watch 217", "226": "^watch 226"}),
    *_PIPES,
    ("^couple ", "^couple .* knuckle of 226/1 open", "226/1.coupler.jaw=open", "the blow has shut the knuckle"),
)
SCREW_LEFT: tuple[Left, ...] = (
    *_test_rows("^take off the hand brake of 2262", ("217", "226"), {"217": "^watch 217", "226": "^watch 226"}),
    *_PIPES,
)
ALONE_LEFT: tuple[Left, ...] = (
    *_test_rows("^take off the parking brake of 604, cab 611/1", ("611", "604"), {"611": "^watch 611", "604": "^watch 604"}),
    ("^couple 611", "^couple 611", "604.brake_pipe=empty", "the blow has joined the pipes"),
)
PART_LEFT: tuple[Left, ...] = (
    *_test_rows("^take off the parking brake of 217, cab 217/1$", ("217",), {}),
    ("^make a full application on the whole", "^watch the whole train", "217.brake_pipe=charged", "with the air brake on one watches nothing"),
    ("^make a full application on the whole", "^watch the whole train", "226.brake_pipe=charged", "with the air brake on one watches nothing"),
)  # fmt: skip


def left_behind(rows: Sequence[Left], order: Sequence[Step], domain: Domain) -> Iterator[Case]:
    """Each row as a case. Raises LookupError for a row that fits no line or no step."""
    for after, tried, fact, _ in rows:
        line = max((n for n, step in enumerate(order) if re.search(after, step.key)), default=-1) + 1
        probe = next((step for step in domain.steps if re.search(tried, step.key)), None)
        if not line or probe is None:
            raise LookupError(f"{after}, {tried}")
        wanted = (probe.key, "need", fact)
        made = (*order[:line], probe, *order[line:])
        yield Case(f"{probe.key} after {after}: {fact}", made, lambda c, wanted=wanted: (c.step, c.kind, c.about) == wanted)  # type: ignore[misc]


def _now(key: str, *effects: Fact) -> Step:
    return Step(key, "visitor", None, effects=effects)


def rule_edits(standing: str, hold: str, alone: bool) -> Iterator[tuple[str, Edit, str]]:
    """For each rule: what breaks it, the edit, why. ``hold``: a brake that holds the standing unit."""
    role, rear, inside = "driver" if alone else "shunter", f"{standing}/2.brake_valve", "^go between, coupled"
    yield "between-protected", leave_out("^take protection.*coupled|^assure.*coupled"), "nobody has promised not to move"
    yield "between-still", slip_in(_now("unlock the rear valve", (rear, "full")), inside), "it can be let off over the person"
    yield "between-held", slip_in(_now("let the hold off", (hold, "off")), inside), "the standing portion rolls over the person"
    yield "movement-clear", slip_in(_now("call too early", (AUTHORITY, "couple")), inside), "the driver moves over the person"
    yield "portion-held", slip_in(_now("let the hold off", (hold, "off")), "^look at both sides.*ends dressed"), "it rolls away"
    yield "hold-proved", leave_out(f"^watch {standing}"), "a brake that only looks on holds nothing"
    yield "one-feed", slip_in(_now("feed from the rear", (rear, "running")), "^test, charged"), "two valves feed one pipe"
    yield "road-kept", slip_in(_now("give the road away", ("road", "not given")), inside), "another movement comes"
    yield "road-and-plan", leave_out("^ask for the road"), "another movement comes"
    if not alone:
        charged = (f"{standing}.brake_pipe", "charged")
        yield (
            "cocks-with-someone-between",
            slip_in(_now("charge the far pipe", charged), r"^open the brake pipe cock of 226/1"),
            "it eases the other brake",
        )
        yield "live-hose", move("^open the brake pipe cock of 226/1", "^join the brake"), "a hose whips"
        yield (
            "couple-proved",
            move("^join the brake pipe hoses|^take the brake pipe hose", "^lift the screw"),
            "hoses over nothing",
        )
        late = move_after(f"^tell the driver: brake pipe cock of {standing}/1", "^give the protection back")
        yield "knowledge", late, f"what the {role} saw between is old once he is out"
    yield "knowledge", leave_out("^look at both sides of the joint, [12] m off"), "he moved on an old look"


def rule_cases(edits: Iterator[tuple[str, Edit, str]], order: Sequence[Step]) -> Iterator[Case]:
    """Each as a case: the rule by name, or the kind of complaint."""
    for rule, edit, reason in edits:
        made = tuple(edit(list(order)))
        yield Case(f"{rule}: {reason}", made, lambda c, rule=rule: rule == (c.about if c.kind == "constraint" else c.kind))  # type: ignore[misc]
