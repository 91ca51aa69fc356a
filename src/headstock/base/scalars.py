"""What a plain, unquoted word in a file means: YAML 1.2 core schema, less the spellings that surprise people."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

_CONSTANTS: Final[Mapping[str, bool | None]] = {
    **dict.fromkeys(("", "~", "null", "Null", "NULL")),
    **dict.fromkeys(("true", "True", "TRUE"), True),
    **dict.fromkeys(("false", "False", "FALSE"), False),
}
_INT = re.compile(r"[-+]?[0-9]+")
_FLOAT = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?")
_OTHER_BASE = re.compile(r"0o[0-7]+|0x[0-9a-fA-F]+")
_LEADING_ZERO = re.compile(r"[-+]?0[0-9]")
_NOT_FINITE = re.compile(r"[-+]?\.(inf|Inf|INF)|\.(nan|NaN|NAN)")
LARGEST_WHOLE_NUMBER = 2**63 - 1


@dataclass(frozen=True, slots=True)
class RefusedScalar:
    """A plain word that looks like a number and must not be guessed at."""

    what: str
    expected: str


def plain_scalar(text: str) -> str | int | float | bool | RefusedScalar | None:
    """Value of the unquoted word `text`; only true and false are yes and no, nothing is a date or an octal number."""
    if text in _CONSTANTS:
        return _CONSTANTS[text]
    if text[0] not in "+-.0123456789":
        return text
    if _NOT_FINITE.fullmatch(text):
        return RefusedScalar("not a finite number", "a finite number")
    if _OTHER_BASE.fullmatch(text):
        return RefusedScalar("number not in ordinary digits", "ordinary digits, or quotes if it is a name")
    return _number(text) if _INT.fullmatch(text) or _FLOAT.fullmatch(text) else text


def _number(text: str) -> int | float | RefusedScalar:
    if _LEADING_ZERO.match(text):
        return RefusedScalar("number with a leading zero", "no leading zero, or quotes if it is a name")
    if _INT.fullmatch(text):
        # Twenty digits already pass the limit; longer text is not handed to int(), which refuses very long ones.
        if len(text) > 20 or abs(int(text)) > LARGEST_WHOLE_NUMBER:
            return RefusedScalar("number too large", f"at most {LARGEST_WHOLE_NUMBER}, or quotes if it is a name")
        return int(text)
    value = float(text)
    return value if math.isfinite(value) else RefusedScalar("number too large", "a finite number")
