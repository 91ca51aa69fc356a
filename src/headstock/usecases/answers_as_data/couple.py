"""The answer of ``couple`` as plain values."""

from __future__ import annotations

from typing import Any

from headstock.capability.couple_signs import CoupleAnswer, CoupleState, Sign


def couple_as_json(answer: CoupleAnswer) -> dict[str, Any]:
    """What explains the signs, what to look at next, what to do and what never."""
    return {
        "answer": couple_word(answer), "family": answer.family.name, "seen": dict(answer.seen),
        "states": [_state(state) for state in answer.states], "alike": [list(group) for group in answer.alike],
        "next_look": _look(answer.next_look) if answer.next_look is not None else None, "worst_cost_s": answer.worst_cost_s,
        "never": list(answer.never),
    }  # fmt: skip


def _state(state: CoupleState) -> dict[str, Any]:
    return {"key": state.key, "words": state.words, "arises": state.arises, "false_signs": list(state.false_signs),
            "act": state.act, "do": list(state.do), "never": list(state.never)}  # fmt: skip


def _look(sign: Sign) -> dict[str, Any]:
    return {"sign": sign.name, "values": list(sign.values), "how": sign.how, "only_if": sign.only_if, "cost_s": sign.cost_s}


def couple_word(answer: CoupleAnswer) -> str:
    """The answer in a word or two."""
    return ("decided" if answer.decided else "not decided") if answer.states else "nothing explains this"
