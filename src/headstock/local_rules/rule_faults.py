"""What in local rules contradicts itself though each entry is well formed; every fault with its line and the cure."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from headstock.base.errors import Fault, InputError
from headstock.base.located import Document, DocumentPath, path_text
from headstock.base.nearest import nearest_of
from headstock.base.quantities import spoken_length
from headstock.local_rules.signals import ALIKE, alike
from headstock.local_rules.triggers import built_in_names, load_trigger_set, trigger_path

if TYPE_CHECKING:
    from headstock.local_rules.rules import LocalRules


def rule_faults(rules: LocalRules, document: Document, beside: Path) -> Iterator[Fault]:
    """Faults between entries; ``beside`` is the folder of the rules."""
    yield from _between(rules, document)
    yield from _distances(rules, document)
    yield from _afterwards(rules, document)
    yield from _signals(rules, document)
    yield from _triggers(rules, document, beside)


def _fault(document: Document, path: DocumentPath, what: str, found: str, cure: str) -> Fault:
    return Fault(what, document.name, document.line_of(path), path_text(path), found, cure)


def _between(rules: LocalRules, document: Document) -> Iterator[Fault]:
    """A duty between given to a role that may not go between."""
    may = rules.may_go_between.value
    jumpers = rules.duties.handles_jumpers
    duties = [("goes_between", rules.duties.goes_between.value), ("handles_jumpers", jumpers.value if jumpers else ())]
    for duty, number, role in ((duty, number, role) for duty, roles in duties for number, role in enumerate(roles)):
        if role not in may:
            path: DocumentPath = ("duties", duty, "value", number)
            yield _fault(document, path, f"the {role} goes between and may not", role,
                         f"one of may_go_between ({', '.join(may)}), or {role} among them")  # fmt: skip


def _distances(rules: LocalRules, document: Document) -> Iterator[Fault]:
    """Distances that are said must come closer, lie within the way, and not sound alike in the spoken unit."""
    approach, unit = rules.approach, rules.length_unit
    waits_m = approach.waits_m.value
    lists: list[tuple[DocumentPath, tuple[float, ...]]] = [
        (("approach", "counted_down_m", "value"), approach.counted_down_m.value)
    ]
    lists += [(("approach", "stops_m", "value", family), stops) for family, stops in approach.stops_m.value.items()]
    for path, distances_m in lists:
        if distances_m and max(distances_m) > waits_m:
            yield _fault(document, path, "farther off than where the moving portion waits", f"{max(distances_m):g} m",
                         f"at most {waits_m:g} m, as approach.waits_m says")  # fmt: skip
        said = [spoken_length(distance_m, unit) for distance_m in distances_m]
        twice = next((word for word in said if said.count(word) > 1), None)
        if twice is not None:
            yield _fault(document, path, f"two distances are both said as {twice}", f"{list(distances_m)} m",
                         f"distances that differ when said in {unit}")  # fmt: skip


def _afterwards(rules: LocalRules, document: Document) -> Iterator[Fault]:
    seen: dict[tuple[str, str], int] = {}
    for number, line in enumerate(rules.tell_afterwards.value):
        path: DocumentPath = ("tell_afterwards", "value", number)
        first = seen.setdefault((line.what, line.to), document.line_of(path))
        if line.what != "other" and first != document.line_of(path):
            yield _fault(document, path, f"{line.what} to {line.to} twice, also on line {first}", line.words, "one line of it")


def _signals(rules: LocalRules, document: Document) -> Iterator[Fault]:
    for first, second, way in alike(rules.signals.value):
        at, before = (("signals", "value", meaning.replace(" ", "_"), way) for meaning in (second, first))
        found = f"{second}, by {way}, as {first} on line {document.line_of(before)}"
        yield _fault(document, at, ALIKE, found, "signals that differ")


def _triggers(rules: LocalRules, document: Document, beside: Path) -> Iterator[Fault]:
    """The trigger set must be there, be readable and be for use."""
    path = trigger_path(rules.triggers, beside)
    if path is None:
        known = built_in_names()
        yield Fault("trigger set not found", document.name, document.line_of(("triggers",)), "triggers", rules.triggers,
                    f"a file beside the rules, or one of {', '.join(known)}", nearest_of(rules.triggers, known))  # fmt: skip
        return
    try:
        found = load_trigger_set(path)
    except InputError as error:
        yield from error.faults
        return
    if not found.for_use:
        yield _fault(document, ("triggers",), "this trigger set is an example and not for use", rules.triggers,
                     "a trigger set with for_use: true")  # fmt: skip
