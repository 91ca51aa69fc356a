"""Plain values from JSON that was kept or carried about, however it was spoilt since."""

from __future__ import annotations

import json
from typing import Any


def kept_json(text: str | bytes) -> Any:
    """The values of a text. Raises ValueError for what is no JSON, and for what is nested deeper than any reader follows."""
    try:
        return json.loads(text)
    except RecursionError:
        raise ValueError("nested too deep") from None
