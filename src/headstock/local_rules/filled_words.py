"""Words with names in curly brackets that are filled in when they are spoken."""

from __future__ import annotations

from collections.abc import Set
from string import Formatter


def only_filled(text: str, allowed: Set[str]) -> None:
    """Raises ValueError where words ask for something that is not filled in here, or a bracket stands alone."""
    said = ", ".join(f"{{{word}}}" for word in sorted(allowed)) or "nothing"
    try:
        parts = list(Formatter().parse(text))
    except ValueError:
        raise ValueError(f"a curly bracket stands alone; filled in are {said}, {{{{ or }}}} is a bracket") from None
    wrong = [name for _, name, form, how in parts if name is not None and (name not in allowed or form or how)]
    if wrong:
        raise ValueError(f"{{{wrong[0]}}} is not filled in here; filled in are {said}")
