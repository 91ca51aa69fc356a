"""Letters of the roles on paper."""

from __future__ import annotations

LETTERS = {"driver": "D", "shunter": "S", "guard": "G", "yard control": "Y"}


def letter_of(role: str) -> str:
    """The letter of a role."""
    return LETTERS[role]
