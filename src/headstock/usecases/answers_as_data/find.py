"""The answer of ``find`` as plain values."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from headstock.brake_test.find import FindResult
from headstock.brake_test.gauge_error import gauges_taken
from headstock.usecases.cause_words import cause_in_words
from headstock.usecases.find_cause import HOLD_FIRST, NO_BLEEDING, CauseSearch
from headstock.usecases.forecast_words import gauge_taken_words
from headstock.usecases.unseen_words import next_when_unseen


def found_as_json(search: CauseSearch, result: FindResult) -> dict[str, Any]:
    """The answer as plain values; readings in bar, a count as a share."""
    drawn, walk = search.test.drawn, result.walk
    return {
        "verdict": search.judged.judgement.verdict, "hold_first": HOLD_FIRST, "no_bleeding": NO_BLEEDING,
        "is_explained": result.is_explained, "observed": dict(search.observed),
        "explanations": [
            {"odds": one.odds, "fit": one.fit,
             "cannot_be_told_apart": [{**asdict(suspect), "words": cause_in_words(suspect.cause)} for suspect in one.suspects]}
            for one in result.explanations
        ],
        "two_at_once": [
            {"odds": pair.odds, "fit": pair.fit, "causes": [asdict(cause) for cause in pair.causes],
             "words": [cause_in_words(cause) for cause in pair.causes]} for pair in result.pairs
        ],
        "look_here_next": [
            {"place": place.name, "where": place.where, "at_m": place.at_m,
             "shows": sorted(cause_in_words(cause) for cause in place.shows)} for place in walk.places
        ],
        "expected_min": walk.expected_min,
        "not_shown_by_looking": [cause_in_words(cause) for cause in walk.not_shown],
        "next_when_not_seen": list(next_when_unseen(search, walk)),
        "not_reckoned_with": [cause_in_words(cause) for cause in walk.left_out],
        "gauges_taken": [gauge_taken_words(taken) for taken in gauges_taken(search.test.tested)],
        "drawn": {"name": drawn.name, "edition": drawn.edition, "invented": drawn.invented, "note": drawn.note},
    }  # fmt: skip
