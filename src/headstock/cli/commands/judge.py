"""``judge``: are the readings of a brake test within limits?"""

from __future__ import annotations

from pathlib import Path

from headstock.brake_test.judge import ASK_AGAIN
from headstock.brake_test.reading_verdict import ReadingVerdict
from headstock.cli.reply import BAD_INPUT, NO, NOT_YET, YES, print_json
from headstock.local_rules.limit_figures import PressureUnit
from headstock.usecases.answers_as_data.judge import judged_as_json
from headstock.usecases.judge_readings import JudgedReadings, judge_readings
from headstock.usecases.judge_words import NO_PERMISSION, VERDICT_WORDS, WHAT_IS_WRONG, limit_words
from headstock.usecases.standing_caution import STANDING_CAUTION
from headstock.wiring import expected_readings, fleet_from, read_recorder

STATUS = {"within limits": YES, "not within limits": NO, "not yet": NOT_YET, "refused": BAD_INPUT}


def run_judge(readings: Path, at: str | None, forecast: bool, as_json: bool, fleet: Path | None) -> int:
    """Judge and print; 0 within limits, 1 not, 2 refused, 3 not yet."""
    types = fleet_from(fleet)
    expected = expected_readings(readings, types) if forecast else None
    answer = judge_readings(readings, types, read_recorder, at or "", expected)
    if as_json:
        print_json(judged_as_json(answer))
    else:
        _print(answer)
        if answer.judgement.verdict == "not within limits":
            print(WHAT_IS_WRONG.format(readings))
    return STATUS[answer.judgement.verdict]


def _print(answer: JudgedReadings) -> None:
    record, judgement = answer.record, answer.judgement
    invented = " (invented)" if answer.invented else ""
    print(f"{answer.title}{invented} · method: {record.method.name}, edition {record.method.edition}")
    print(f"Local rules: {record.rules.name}, edition {record.rules.edition}{' (invented)' if record.rules.invented else ''}")
    print(f"Caution: {STANDING_CAUTION}")
    print(VERDICT_WORDS[judgement.verdict])
    for refusal in judgement.refusals:
        print(f"  {f'line {refusal.line}: ' if refusal.line else ''}{refusal.what}. {refusal.cure}")
    if not judgement.refusals:
        for reason in judgement.reasons:
            print(f"  - {reason}")
    for reading in judgement.readings:
        _print_reading(reading, record.rules.pressure_unit)
    if answer.spikes:
        print(f"Remark: {answer.spikes} lone spikes of the recorder were left out.")
    for remark in judgement.remarks:
        print(f"Remark: {remark}")
    if judgement.verdict == "within limits":
        print(NO_PERMISSION)
        print(ASK_AGAIN)


def _print_reading(reading: ReadingVerdict, unit: PressureUnit) -> None:
    figures = "; ".join(limit_words(limit, unit) for limit in reading.limits)
    print(f"  {reading.name}: {reading.state}{f' ({figures})' if figures else ''}")
    for remark in reading.remarks:
        print(f"    {remark}")
