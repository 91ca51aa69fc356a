"""A judged brake test as plain values for a record: figures as text, moments with their day."""

from __future__ import annotations

from typing import Any

from headstock.brake_test.test_record import Entry, TestRecord
from headstock.usecases.judge_readings import JudgedReadings
from headstock.usecases.moments import moment_text


def filed_body(judged: JudgedReadings, shift_s: float) -> dict[str, Any]:
    """Everything that was judged, by what, and what came of it; ``shift_s``: from its times to moments [s]."""
    record, judgement = judged.record, judged.judgement
    first, last = record.entries[0], record.entries[-1]
    return {
        "title": judged.title, "invented": judged.invented, "units": list(judged.units), "job": judged.job,
        "method": {"name": record.method.name, "edition": record.method.edition, "for_use": record.method.for_use},
        "local_rules": {"name": record.rules.name, "edition": record.rules.edition}, "verdict": judgement.verdict,
        "reasons": list(judgement.reasons), "remarks": list(judgement.remarks), "began": moment_text(first.when_s + shift_s),
        "ended": moment_text(last.when_s + last.within_s + shift_s),
        "readings": [_entry(entry, shift_s) for entry in record.entries], "path": _path(record),
        "touches": [{"when": moment_text(touch.when_s + shift_s), "device": touch.device, "who": touch.who,
                     "part_of": touch.part_of} for touch in record.touches],
        "touched_since": [{"when": moment_text(asked.when_s + shift_s), "at": asked.at, "who": asked.who,
                           "touched": asked.touched} for asked in record.asked],
    }  # fmt: skip


def _entry(entry: Entry, shift_s: float) -> dict[str, Any]:
    said = {
        "stage": entry.stage, "who": entry.who, "at": entry.at, "when": moment_text(entry.when_s + shift_s),
        "reads": entry.reads, "shows": _figure(entry.given), "unit": entry.unit, "seen": entry.seen, "of": entry.of,
        "before_bar": _figure(entry.before_bar), "stayed_s": _figure(entry.stayed_s),
    }  # fmt: skip
    return {key: value for key, value in said.items() if value not in (None, "")}


def _figure(value: float | None) -> str | None:
    return None if value is None else f"{value:.10g}"


def _path(record: TestRecord) -> dict[str, Any] | None:
    if record.path is None:
        return None
    exempt = [{"name": one.name, "device": one.device, "stage": one.stage} for one in record.path.exempt]
    return {"devices": sorted(record.path.devices), "named": dict(record.path.named), "exempt": exempt}
