"""The answer of ``reconstruct`` as plain values."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from headstock.brake_test.reconstruct import Candidate
from headstock.usecases.reconstruct_record import NOT_WHAT_HAPPENED, RecordSearched
from headstock.usecases.reconstruct_words import assumptions_in_words, causes_in_words, channel_in_words, summary_in_words


def reconstructed_as_json(found: RecordSearched) -> dict[str, Any]:
    """The answer as plain values; pressures in bar, residuals in bar and in standard errors."""
    result, drawn = found.result, found.drawn
    return {
        "title": found.judged.title, "invented": found.judged.invented, "note": NOT_WHAT_HAPPENED,
        "is_explained": result.is_explained, "summary": summary_in_words(found),
        "moves": [{"says": move.says, "when_s": move.when_s, "values": dict(move.values)} for move in found.moves],
        "channels": [channel_in_words(channel) for channel in found.model.recorded.channels],
        "candidates": [_candidate(one) for one in result.candidates], "tried": result.tried,
        "single_causes_as_they_stand": [
            {"words": causes_in_words(fit.tried.causes), "rms": list(fit.rms), "rms_bar": list(fit.rms_bar)}
            for fit in result.singles
        ],
        "assumed": list(assumptions_in_words(found)), "notes": list(found.notes),
        "drawn": {"name": drawn.name, "edition": drawn.edition, "invented": drawn.invented},
    }  # fmt: skip


def _candidate(one: Candidate) -> dict[str, Any]:
    fit = one.fit
    return {
        "words": causes_in_words(fit.tried.causes), "causes": [asdict(cause) for cause in fit.tried.causes],
        "plausibility": one.prior, "odds": one.odds, "explains": one.explains, "cannot_be_told_from": one.alike or None,
        "rms": list(fit.rms), "rms_bar": list(fit.rms_bar), "farthest_bar": list(fit.farthest_bar),
        "train": list(fit.tried.train),
    }  # fmt: skip
