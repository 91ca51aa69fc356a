"""An auditor asks: is everything as it was written, what was done in these days, and what deserves a closer look?

It shows and counts; whether something was right it never decides.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from headstock.devices.key_words import device_in_words
from headstock.usecases.record_state import MANY, TestNow, state_of_test, state_words
from headstock.usecases.records_port import ChainVerdict, Filed, Records, Search


@dataclass(frozen=True, slots=True)
class Look:
    """An entry that deserves a closer look, and why."""

    filed: Filed
    why: str


@dataclass(frozen=True, slots=True)
class AuditorView:
    """What is on record of some days. ``looks``: newest first; ``is_cut``: there was more than could be looked at."""

    verdict: ChainVerdict
    kinds: tuple[tuple[str, int], ...]
    tests: tuple[tuple[str, int], ...]
    keys: tuple[Filed, ...]
    refused_sign_ins: int
    looks: tuple[Look, ...]
    is_cut: bool


def auditor_view(records: Records, verdict: ChainVerdict, from_day: str = "", to_day: str = "") -> AuditorView:
    """All of these days; everything where none are given. Raises StorageError."""
    entries = records.search(Search(from_day=from_day, to_day=to_day, top=MANY))
    tests = {entry.seq: state_of_test(entry, records) for entry in entries if entry.draft.kind == "test"}
    refused = ("outcome:refused",)
    return AuditorView(
        verdict,
        tuple(sorted(Counter(entry.draft.kind for entry in entries).items())),
        tuple(sorted(Counter(state_words(_verdict(now), now.state) for now in tests.values()).items())),
        records.search(Search(kind="key", top=MANY)),
        len(records.search(Search(refused, "audit", from_day, to_day, MANY))),
        tuple(look for entry in entries for look in _looks(entry, tests.get(entry.seq))),
        len(entries) == MANY,
    )


def _verdict(now: TestNow) -> str:
    return str(now.filed.draft.body["verdict"])


def _looks(entry: Filed, now: TestNow | None) -> Iterator[Look]:
    if entry.clock_behind_s:
        yield Look(entry, f"the computer's clock stood {entry.clock_behind_s} s before that of the entry before")
    if entry.draft.kind == "correction":
        yield Look(entry, f"corrects {entry.draft.body['about']}")
    if entry.draft.kind == "key" and "replaces" in entry.draft.body:
        yield Look(entry, "the signing key was changed")
    if now is None:
        return
    if _verdict(now) != "within limits":
        yield Look(entry, _verdict(now))
    for touch in now.void_by:
        yield Look(entry, f"void: {device_in_words(touch.device)} touched by {touch.who} at {touch.when}")
    if now.state in ("corrected", "path not known"):
        yield Look(entry, now.state)
    if entry.draft.body["people_list"] is None:
        yield Look(entry, "nobody looked whether the people were in date")
