"""What somebody did in an exercise, as xAPI 1.0.3 statements (from memory): who, attempted, which exercise, with which result."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from uuid import NAMESPACE_URL, uuid5

from headstock.practice.marking import Mark

VERB = "http://adlnet.gov/expapi/verbs/attempted"
ACTIVITY = "http://adlnet.gov/expapi/activities/simulation"


def sitting_statements(
    home: str, code: str, title: str, began: str, people: Mapping[str, str], mark: Mark, lasted_s: float
) -> list[dict[str, Any]]:  # fmt: skip
    """A statement a person; ``home``: the address under which names and sittings are known; ``began``: ISO 8601 with its zone.

    Sent again they are the same statements: their ids come from sitting, role and person.
    """
    place = f"{home.rstrip('/')}/sittings/{code}"
    result = {
        "success": mark.is_safe, "completion": mark.is_finished, "duration": f"PT{lasted_s:.0f}S",
        "extensions": {f"{place}#as-instructed": mark.is_as_instructed, f"{place}#unsafe": [note.text for note in mark.unsafe]},
    }  # fmt: skip
    return [
        {
            "id": str(uuid5(NAMESPACE_URL, f"{place}/{role}/{person}")),
            "actor": {"objectType": "Agent", "account": {"homePage": home, "name": person}},
            "verb": {"id": VERB, "display": {"en": "attempted"}},
            "object": {"objectType": "Activity", "id": place,
                       "definition": {"type": ACTIVITY, "name": {"en": f"{title}, {role}"}}},
            "result": result,
            "timestamp": began,
        }
        for role, person in people.items() if person
    ]  # fmt: skip
