"""``records search``, ``show``, ``print``: what is on record, and what stands of it now."""

from __future__ import annotations

from pathlib import Path

from headstock.cli.reply import NO, YES, print_json
from headstock.usecases.answers_as_data.entry import entry_as_json
from headstock.usecases.answers_as_data.receipt import body_lines, void_words
from headstock.usecases.certificate import no_certificate
from headstock.usecases.moments import day_s
from headstock.usecases.record_notes import entry_named
from headstock.usecases.record_state import TestNow, state_of_test, state_words
from headstock.usecases.records_port import Filed, Records, Search
from headstock.usecases.standing_caution import STANDING_CAUTION
from headstock.wiring import open_records, print_certificate

PRACTISED = ("sitting", "paper", "competence")
"""Entries whose line in a list leaves out who took part, or what was watched."""


def run_search(wanted: Search, database: str | None, as_json: bool) -> int:
    """Print what is found; 0 found, 1 nothing."""
    for option, day in (("--from", wanted.from_day), ("--to", wanted.to_day)):
        if day:
            day_s(day, option)
    records = open_records(database)
    found = records.search(wanted)
    if as_json:
        print_json([entry_as_json(filed, records, whole=False) for filed in found])
        return YES if found else NO
    for filed in found:
        print(_line(filed, records))
    print(f"{len(found)} found" + (", there may be more: --top" if len(found) == wanted.top else ""))
    return YES if found else NO


def _line(filed: Filed, records: Records) -> str:
    draft = filed.draft
    head = f"{filed.code}  {draft.at}  {draft.kind} {filed.seq}"
    if draft.kind == "test":
        now = state_of_test(filed, records)
        who = ", ".join(dict.fromkeys(one["who"] for one in draft.body["readings"]))
        touched = ", ".join(dict.fromkeys(one.who for one in now.void_by))
        since = f"; touched since by {touched}" if touched else ""
        return f"{head}: {draft.body['title']}, by {who}: {state_words(draft.body['verdict'], now.state)}{since}"
    if draft.kind == "key":
        return f"{head}: signs from here on: {draft.body['public_key'][:16]}"
    if draft.kind == "touch":
        return f"{head}: {draft.body['device']} by {draft.body['who']}"
    return f"{head}: {draft.body.get('text', '')} ({draft.body.get('who', 'the records')})"


def run_show(name: str, database: str | None, as_json: bool) -> int:
    """Print one entry whole."""
    records = open_records(database)
    filed = entry_named(name, records)
    if as_json:
        print_json(entry_as_json(filed, records, whole=True))
        return YES
    print(f"Caution: {STANDING_CAUTION}")
    print(f"Entry {filed.seq}, code {filed.code}, recorded {filed.recorded_at}")
    print(_line(filed, records))
    if filed.draft.kind == "test":
        _print_test(state_of_test(filed, records))
    elif filed.draft.kind in PRACTISED:
        print("\n".join(body_lines(filed.draft)))
    for entry in records.search(Search((f"about:{filed.draft.key}",))):
        print(f"  about it: {_line(entry, records)}")
    return YES


def _print_test(now: TestNow) -> None:
    body = now.filed.draft.body
    print(f"  method: {body['method']['name']}, edition {body['method']['edition']}; local rules: {body['local_rules']['name']}, "
          f"edition {body['local_rules']['edition']}; units: {', '.join(body['units']) or 'not named'}")  # fmt: skip
    for one in body["readings"]:
        shows = f": {one['shows']} {one.get('unit', '')}" if "shows" in one else f": {one['seen']}" if "seen" in one else ""
        print(f"  {one['when']}  {one['stage']}, {one['who']}, {one['at']}{shows}")
    for reason in body["reasons"]:
        print(f"  - {reason}")
    for touch in now.touches:
        print(f"  touched: {touch.when} {touch.device} by {touch.who}{f' ({touch.part_of})' if touch.part_of else ''}")
    for words in void_words(now):
        print(f"  void: {words}")


def run_print(name: str, sheets: Path, database: str | None, as_json: bool) -> int:
    """Print a test's certificate; its path is the last line."""
    records = open_records(database)
    now = state_of_test_named(name, records)
    path, line = print_certificate(now, records, sheets)
    if as_json:
        print_json({"code": now.filed.code, "state": now.state, "certificate": line, "sheet": str(path)})
    else:
        print(f"{now.filed.code}: {state_words(now.filed.draft.body['verdict'], now.state)}")
        print(line)
        print(path)
    return YES


def state_of_test_named(name: str, records: Records) -> TestNow:
    """A test by its code, number or key. Raises InputError."""
    filed = entry_named(name, records)
    if filed.draft.kind != "test":
        raise no_certificate(filed.draft.kind)
    return state_of_test(filed, records)
