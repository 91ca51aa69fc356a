"""``records file``, ``touch``, ``note``: what happened is put on record."""

from __future__ import annotations

from pathlib import Path

from headstock.cli.commands.judge import STATUS
from headstock.cli.reply import BAD_INPUT, NOT_YET, YES, print_json
from headstock.usecases.answers_as_data.receipt import receipt, receipt_line, void_words
from headstock.usecases.file_test import NOBODY_LOOKED, Filing, TestFiling, filing_of
from headstock.usecases.judge_words import NO_PERMISSION, VERDICT_WORDS, WHAT_IS_WRONG
from headstock.usecases.record_notes import NoteGiven, TouchGiven, entry_named, note_to_file, touch_to_file, voided_by
from headstock.usecases.record_state import TestNow, state_of_test
from headstock.usecases.records_port import Filed
from headstock.usecases.standing_caution import STANDING_CAUTION
from headstock.wiring import fleet_from, open_records, read_recorder

VOID = {"void": "Void: something in its path was touched since. Test again.", "corrected": "Corrected by a later entry."}


def run_file(readings: Path, day: str | None, people: Path | None, corrects: str | None, key: str | None,
             database: str | None, as_json: bool, fleet: Path | None) -> int:  # fmt: skip
    """File a test; the exit status is that of ``judge``: 2 only where nothing was filed."""
    records = open_records(database)
    corrected = entry_named(corrects, records).draft.key if corrects is not None else None
    filing = filing_of(readings, fleet_from(fleet), read_recorder, Filing(day, people, key, corrected))
    if filing.draft is None:
        if as_json:
            print_json({"filed": False, "refused": list(filing.refused)})
        else:
            print("Refused: nothing was filed.")
            print("\n".join(f"  {reason}" for reason in filing.refused))
        return BAD_INPUT
    (filed,) = records.append([filing.draft])
    now = state_of_test(filed, records)
    if as_json:
        print_json(receipt(filed) | {"verdict": filed.draft.body["verdict"], "state": now.state, "void_by": void_words(now)})
    else:
        _print(filing, filed, now)
        if filing.judged.judgement.verdict == "not within limits":
            print(WHAT_IS_WRONG.format(readings))
    status = STATUS[filing.judged.judgement.verdict]
    return NOT_YET if status == YES and now.state in VOID else status


def _print(filing: TestFiling, filed: Filed, now: TestNow) -> None:
    print(f"Caution: {STANDING_CAUTION}")
    print(receipt_line(filed))
    print(VERDICT_WORDS[filing.judged.judgement.verdict])
    if now.state in VOID:
        print(VOID[now.state])
    for reason in filed.draft.body["reasons"]:
        print(f"  - {reason}")
    for words in void_words(now):
        print(f"  void: {words}")
    for remark in filed.draft.body["remarks"]:
        print(f"Remark: {remark}{' (--people FILE)' if remark == NOBODY_LOOKED else ''}")
    print(NO_PERMISSION)


def run_touch(given: TouchGiven, database: str | None, as_json: bool) -> int:
    """Log a touch; prints the tests that it makes void."""
    records = open_records(database)
    (filed,) = records.append([touch_to_file(given, records)])
    voided = voided_by(filed, records)
    if as_json:
        print_json(receipt(filed) | {"voids": [now.filed.code for now in voided]})
        return YES
    print(receipt_line(filed))
    for now in voided:
        print(f"  void: {now.filed.code} {now.filed.draft.body['title']}, ended {now.filed.draft.body['ended']}")
    if not voided:
        print("  No test on record rests on this device since: look whether its key is right.")
    return YES


def run_note(given: NoteGiven, database: str | None, as_json: bool) -> int:
    """Record a note."""
    records = open_records(database)
    (filed,) = records.append([note_to_file(given, records)])
    if as_json:
        print_json(receipt(filed))
    else:
        print(receipt_line(filed))
    return YES
