"""Canonical JSON: one value has one text, so that its digest means something.

The form is that of RFC 8785 (keys sorted, no white space, UTF-8), kept to what every reader writes alike: plain keys, texts,
whole numbers below 2^53, true, false and null. Figures with a decimal point are texts, as they were written.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

WIDEST = 2**53 - 1


def canonical(value: Any) -> str:
    """The text of a value. Raises ValueError for a fraction, a key that is not plain ASCII, half a sign, too deep nesting."""
    try:
        _check(value)
        text = json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)
    except RecursionError:
        raise ValueError("nested too deep") from None
    text.encode("utf-8")
    return text


def _check(value: Any) -> None:
    if value is None or isinstance(value, str | bool):
        return
    if isinstance(value, int):
        if abs(value) > WIDEST:
            raise ValueError(f"{value} is too large for a canonical number")
    elif isinstance(value, dict):
        for key in value:
            if not (isinstance(key, str) and key.isascii()):
                raise ValueError(f"{key!r} is not a plain key")
        _check_parts(value.values())
    elif isinstance(value, list | tuple):
        _check_parts(value)
    else:
        raise ValueError(f"{value!r} has no canonical form: write figures as text")


def _check_parts(parts: Iterable[Any]) -> None:
    for part in parts:
        if type(part) is not str:  # most are, and a call for each costs more than all else here
            _check(part)
