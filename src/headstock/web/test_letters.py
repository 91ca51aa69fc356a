"""Letters of the two roles that carry out a brake test."""

from __future__ import annotations

from headstock.sheets.letters import letter_of
from headstock.usecases.test_papers import TestPapers
from headstock.usecases.test_stages import role_of


def letters_of(given: TestPapers) -> tuple[str, str]:
    """Of whoever is in the leading cab, and of whoever reads the rear."""
    return letter_of(role_of(given, "front")), letter_of(role_of(given, "rear"))
