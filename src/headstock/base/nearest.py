"""The valid word nearest to a wrong one, for messages."""

from __future__ import annotations

import difflib
from collections.abc import Iterable


def nearest_of(word: object, valid: Iterable[str]) -> str | None:
    """The valid word that `word` was most likely meant to be, or None when nothing is near."""
    # Very long input is cut: it is no typing slip, and comparing would take long.
    tried = str(word)[:80].strip().lower().replace(" ", "-")
    by_form = {name.lower().replace("_", "-").replace(" ", "-"): name for name in valid}
    close = difflib.get_close_matches(tried.replace("_", "-"), by_form, n=1, cutoff=0.6)
    return by_form[close[0]] if close else None
