"""The rule for the marker `outside`: a value held against something that is not this project says what, and who saw it.

For instance `@pytest.mark.outside(source="49 CFR 232.205", clause="(c)(1)", status="read")`. A further field `why` says why the
tolerances of that check are what they are; the validation report shows it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import pytest

STATUSES = ("read", "second-hand", "from memory", "common practice", "computed")
NO_SOURCE = "common practice, no source"
FIELDS = ("source", "clause", "status", "why")
# Filled at collection: each marker with the test that carries it.
OUTSIDE_MARKS = pytest.StashKey[list[tuple[pytest.Mark, str]]]()


def faults_of_marker(positional: Sequence[object], named: Mapping[str, object]) -> list[str]:
    """All that is wrong with one marker, in words; empty when it is good."""
    faults = []
    if positional:
        faults.append(f"found {positional[0]!r} without a name, expected source=, clause=, status=")
    faults += [f"found field {name!r}, expected one of {', '.join(FIELDS)}" for name in named if name not in FIELDS]
    status, source = named.get("status"), named.get("source")
    if status not in STATUSES:
        faults.append(f"found status {status!r}, expected one of {', '.join(STATUSES)}")
    needed = ("source",) if status == "common practice" else ("source", "clause")
    for name in needed:
        value = named.get(name)
        if not isinstance(value, str) or not value.strip():
            faults.append(f"found {name} {value!r}, expected a text")
    if "why" in named and not (isinstance(named["why"], str) and named["why"].strip()):
        faults.append(f"found why {named['why']!r}, expected a text")
    if (status == "common practice") != (source == NO_SOURCE):
        faults.append(f"'common practice' and {NO_SOURCE!r} go together, found {status!r} with {source!r}")
    return faults


@dataclass(frozen=True, eq=False)
class Within:
    """A published window: equal to every figure in it, its ends among them. The validation report shows what was compared."""

    low: float | None
    high: float | None

    def __eq__(self, computed: object) -> bool:
        """Whether a figure lies in the window."""
        if not isinstance(computed, int | float):
            return NotImplemented
        return (self.low is None or computed >= self.low) and (self.high is None or computed <= self.high)

    __hash__ = None  # type: ignore[assignment]
