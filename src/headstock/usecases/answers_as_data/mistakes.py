"""The answer of ``mistakes`` as plain values."""

from __future__ import annotations

from typing import Any

from headstock.reasoning.going_on import GoingOn
from headstock.reasoning.mistake_study import Outcome
from headstock.usecases.job_mistakes import MISTAKE_CAUTION, JobMistakes, JobPairs, rank_of
from headstock.usecases.mistake_sections import counts_of
from headstock.usecases.mistake_words import added_in_words, end_in_words, mistake_in_words


def mistakes_as_json(answer: JobMistakes, top: int) -> dict[str, Any]:
    """The answer as plain values: all single mistakes, the worst first; rankings; ``top`` pairs."""
    rules, going, ranks = answer.plan.papers.rules, answer.going, answer.plausibility
    value: dict[str, Any] = {
        "answer": answer.answer, "job": answer.plan.papers.job.title, "reasons": list(answer.reasons),
        "local_rules": {"name": rules.name, "edition": rules.edition},
        "plausibility": {"name": ranks.name, "edition": ranks.edition, "invented": ranks.invented, "note": ranks.note},
        "note": MISTAKE_CAUTION,
    }  # fmt: skip
    if going is None:
        return value
    value["lines"] = len(going.order)
    value["counts"] = counts_of(answer.outcomes)
    value["mistakes"] = [_outcome(answer, going, outcome) for outcome in answer.outcomes]
    value["omissions"] = [outcome.mistake.line + 1 for outcome in answer.omissions]
    value["looks"] = [
        {"line": w.line, "does": going.order[w.line - 1].key, "reveals": w.reveals, "latent_without": w.latent,
         "unseen_without": w.unseen, "lines_longer": w.lines_longer}
        for w in answer.looks
    ]  # fmt: skip
    value["added_looks"] = [
        {"at": look.key, "before_line": look.before_line, "reveals": len(look.reveals), "words": added_in_words(going, look)}
        for look in answer.added
    ]
    value["no_look_shows"] = len(answer.blind)
    if answer.pairs is not None:
        value["pairs"] = _pairs(answer, going, answer.pairs, top)
    return value


def _outcome(answer: JobMistakes, going: GoingOn, outcome: Outcome) -> dict[str, Any]:
    noticing = outcome.noticing
    return {
        "mistakes": [
            {"kind": m.kind, "lines": [line + 1 for line in m.lines], "past_line": None if m.past is None else m.past + 1,
             "how": m.how, "plausibility": rank_of(m, answer.plausibility), "words": mistake_in_words(going, m)}
            for m in outcome.mistakes
        ],
        "verdict": outcome.verdict,
        "broken": [{"line": b.line, "constraint": b.key, "text": b.text, "hurts": b.hurts} for b in outcome.broken],
        "noticed": None if noticing is None else
        {"line": noticing.line, "who": noticing.who, "by": noticing.means, "text": noticing.text},
        "left_wrong": [f"{key}={value}" for key, value in outcome.left],
        "words": end_in_words(going, outcome),
    }  # fmt: skip


def _pairs(answer: JobMistakes, going: GoingOn, pairs: JobPairs, top: int) -> dict[str, Any]:
    count = pairs.count
    return {
        "least_plausibility": pairs.least_plausibility, "mistakes": pairs.mistakes, "run": count.run,
        "settled_without_running": count.settled, "of_one_line": count.not_two,
        "verdicts": {verdict: count.verdicts[verdict] for verdict in ("noticed", "latent", "unseen", "harmless")},
        "worse_than_apart": count.worse, "worst": [_outcome(answer, going, outcome) for outcome in pairs.worst[:top]],
    }  # fmt: skip
