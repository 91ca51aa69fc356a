"""Everything on record about one person as plain values, to be handed over; and what is kept elsewhere."""

from __future__ import annotations

from datetime import date
from typing import Any, Final

from headstock.usecases.people_on_record import on_record_about
from headstock.usecases.records_port import Records

ELSEWHERE: Final = (
    "accounts: name, person and role (headstock accounts list)",
    "the courses of sittings in the data folder: names that were typed to take a role, until the person is taken off the lists",
    "backups, and whatever was exported or printed",
)
"""Where a name may stand beside the records."""


def person_export(person: str, records: Records, day: date) -> dict[str, Any]:
    """Entries that have the name in them, whole, in their order. Raises StorageError."""
    entries = [{"entry": one.seq, "code": one.code, "kind": one.draft.kind, "at": one.draft.at, "recorded_at": one.recorded_at,
                "hash": one.hash, "key": one.draft.key, "body": dict(one.draft.body)}
               for one in on_record_about(person, records)]  # fmt: skip
    return {"person": person, "made_on": day.isoformat(), "entries": entries, "kept_elsewhere": list(ELSEWHERE)}
