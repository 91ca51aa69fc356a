"""``reconstruct``: which states of a train explain a recorder's trace and which do not; a page and plots for the investigator."""

from __future__ import annotations

from pathlib import Path

from headstock.cli.reply import NOT_YET, YES, print_json
from headstock.usecases.answers_as_data.reconstruct import reconstructed_as_json
from headstock.usecases.reconstruct_record import NOT_WHAT_HAPPENED, RecordAsked, RecordSearched, reconstruct_record
from headstock.usecases.reconstruct_words import (
    assumptions_in_words,
    causes_in_words,
    off_in_words,
    summary_in_words,
    train_in_words,
)
from headstock.usecases.standing_caution import STANDING_CAUTION
from headstock.wiring import air_engine, check_writable, fleet_from, many_runs, read_recorder, write_reconstruction

MOST = 8
WORST = 3


def run_reconstruct(
    asked: RecordAsked, as_json: bool, fleet: Path | None, page: Path | None = None, plots: Path | None = None,
    sheets: Path | None = None,
) -> int:  # fmt: skip
    """Search, write what was asked for and print; 0 where something explains the record, 3 where nothing does."""
    if page is not None:
        check_writable({"--page": page})
    found = reconstruct_record(asked, fleet_from(fleet), air_engine(), many_runs, read_recorder)
    written = write_reconstruction(found, page, plots, sheets)
    if as_json:
        print_json({**reconstructed_as_json(found), "written": [str(path) for path in written]})
    else:
        _print(found)
        for path in written:
            print(path)
    return YES if found.result.is_explained else NOT_YET


def _print(found: RecordSearched) -> None:
    record, result = found.judged.record, found.result
    unit, channels = record.rules.pressure_unit, found.model.recorded.channels
    print(f"{found.judged.title}{' (invented)' if found.judged.invented else ''} · reconstruction for the investigator")
    print(f"Caution: {STANDING_CAUTION}")
    print(f"Caution: {NOT_WHAT_HAPPENED}")
    print(summary_in_words(found))
    for note in found.notes:
        print(f"Note: {note}")
    good = [one for one in result.candidates if one.explains]
    bad = [one for one in result.candidates if not one.explains]
    for heading, some in (("Explains the record:", good[:MOST]), ("Nearest that does not:", bad[:WORST])):
        if some:
            print(heading)
        for one in some:
            number = result.candidates.index(one) + 1
            alike = f"; not told from {one.alike}" if one.alike else ""
            print(f"  {number} {causes_in_words(one.fit.tried.causes)}: odds {one.odds:.3f}, plausibility {one.prior:.2g}{alike}")
            print(f"    off by {off_in_words(one, channels, unit)}")
            print(f"    {train_in_words(one)}")
    print(f"Tried as they stand: {result.tried}; plausibility against nothing wrong = 1.")
    for assumed in assumptions_in_words(found):
        print(f"Assumed: {assumed}")
