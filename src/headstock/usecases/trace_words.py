"""What a change of an account changed, from what to what: told from the entry about it and the one before it on record."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from headstock.usecases.record_state import MANY
from headstock.usecases.records_port import Filed, Records, Search

FIELDS: Final = ("person", "role", "is_locked")
Change = dict[str, dict[str, Any]]


def changes_of(entries: tuple[Filed, ...], records: Records) -> dict[int, Change]:
    """By number of the entry: what was changed, `from` (None: was not there) and `to`; empty: a change that changed nothing.

    Entries that tell of no account's state are not in it: a password is kept nowhere. Raises StorageError.
    """
    names = {entry.draft.body["account"] for entry in entries if "account" in entry.draft.body}
    told = {name: records.search(Search((f"changed:{name}",), kind="audit", top=MANY)) for name in sorted(names)}
    found: dict[int, Change] = {}
    for entry in entries:
        about = told.get(entry.draft.body.get("account", ""), ())
        before = max((one for one in about if one.seq < entry.seq), key=lambda one: one.seq, default=None)
        if "account" in entry.draft.body:
            found[entry.seq] = _between(before.draft.body if before is not None else {}, entry.draft.body)
    return found


def change_words(change: Change) -> str:
    """In words."""
    return "; ".join(_field_words(field, one["from"], one["to"]) for field, one in change.items()) or "nothing was changed"


def _between(before: Mapping[str, Any], after: Mapping[str, Any]) -> Change:
    return {field: {"from": before.get(field), "to": after[field]} for field in FIELDS if before.get(field) != after[field]}


def _field_words(field: str, before: Any, after: Any) -> str:
    if field == "is_locked":
        now = "locked" if after else "may sign in"
        return now if before is None else f"from {'locked' if before else 'may sign in'} to {now}"
    return f"{field} {after}" if before is None else f"{field} from {before} to {after}"
