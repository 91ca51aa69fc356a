"""Plain words for what a field takes."""

from __future__ import annotations

import re
from typing import Any, Final

WRONG_KIND: Final = "wrong kind of value"

_KINDS: Final = {
    "string": "text",
    "int": "a whole number",
    "float": "a number",
    "decimal": "a number",
    "bool": "true or false",
    "list": "a list",
    "tuple": "a list",
    "set": "a list",
    "frozen_set": "a list",
    "iterable": "a list",
    "dict": "a group of names and values",
    "mapping": "a group of names and values",
    "model": "a group of names and values",
    "model_attributes": "a group of names and values",
    "dataclass": "a group of names and values",
    "date": "a date such as 2024-05-17",
    "datetime": "a date with time such as 2024-05-17T06:30:00",
    "time": "a time such as 06:30",
    "path": "the path of a file",
}
_ENDINGS: Final = ("_type", "_parsing", "_exact_type", "_from_float")
_BOUNDS: Final = {
    "greater_than": ("gt", "more than {}"),
    "greater_than_equal": ("ge", "at least {}"),
    "less_than": ("lt", "less than {}"),
    "less_than_equal": ("le", "at most {}"),
    "multiple_of": ("multiple_of", "a multiple of {}"),
    "too_short": ("min_length", "at least {} in the list"),
    "too_long": ("max_length", "at most {} in the list"),
    "string_too_short": ("min_length", "at least {} characters"),
    "string_too_long": ("max_length", "at most {} characters"),
    "string_pattern_mismatch": ("pattern", "text of the form {}"),
}
_YES: Final = frozenset({"yes", "on", "y", "1", "true"})
_NO: Final = frozenset({"no", "off", "n", "0", "false"})


def kind_text(error_type: str, given: object) -> str | None:
    """What a field with this kind of error takes, in plain words; None when there are no words for it."""
    if error_type in ("none_required", "missing_keyword_only_argument"):
        return "nothing"
    if error_type == "finite_number":
        return "a finite number"
    stems = (error_type.removesuffix(ending) for ending in _ENDINGS if error_type.endswith(ending))
    words = next((_KINDS[stem] for stem in stems if stem in _KINDS), None)
    if words == "text" and isinstance(given, (int, float)):
        return "text; put it in quotes"
    return words


def likely_value(error_type: str, given: object) -> str | None:
    """The value that was most likely meant: `true` for `yes`, 3.5 for `3,5`, 42 for `'42'`."""
    if error_type.startswith("bool"):
        word = str(given).lower()
        return "true" if word in _YES else "false" if word in _NO else None
    if not error_type.startswith(("int", "float", "decimal")):
        return None
    text = str(given) if isinstance(given, (str, float)) else ""
    if error_type.startswith("int"):
        match = re.fullmatch(r"\s*([-+]?[0-9]{1,18})(?:\.0)?\s*", text)
        return match[1] if match else None
    match = re.fullmatch(r"\s*([-+]?[0-9]{1,18})(?:[.,]([0-9]{1,18}))?\s*", text)
    return None if match is None else match[1] if match[2] is None else f"{match[1]}.{match[2]}"


def bounds_text(error_type: str, context: dict[str, Any]) -> str | None:
    """`more than 0`, `at most 40 characters`; None when the error is not about bounds."""
    if error_type not in _BOUNDS:
        return None
    key, form = _BOUNDS[error_type]
    bound = context.get(key)
    text = repr(bound).removesuffix(".0") if isinstance(bound, float) else str(bound)
    words = form.format(text)
    return words.removesuffix("s") if text == "1" and words.endswith("characters") else words
