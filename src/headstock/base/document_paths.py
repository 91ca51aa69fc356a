"""Finding the place in a document that the validation speaks of."""

from __future__ import annotations

from typing import Any

from headstock.base.located import DocumentPath

_NOTHING = object()


def path_in(value: Any, location: DocumentPath, given: object, is_missing: bool) -> DocumentPath:
    """`location` without what validation added to it (tags, names of types), so that it leads through the document.

    Where a tag is also the name of a field, the reading that ends at `given` wins, then the one that drops least.
    """
    steps = location[:-1] if is_missing else location
    readings = sorted(_readings(value, steps), key=lambda path: -len(path))
    best = next((path for path in readings if _is_same(value_at(value, path), given)), readings[0])
    return (*best, location[-1]) if is_missing else best


def _readings(value: Any, location: DocumentPath) -> list[DocumentPath]:
    if not location:
        return [()]
    part, rest = location[0], location[1:]
    readings = list(_readings(value, rest)) if isinstance(part, str) else []
    inner = value_at(value, (part,))
    if inner is not _NOTHING:
        readings += [(part, *path) for path in _readings(inner, rest)]
    return readings or [()]


def value_at(value: Any, path: DocumentPath) -> Any:
    """What `value` holds at `path`; an object equal to nothing else when there is nothing."""
    for part in path:
        is_there = part in value if isinstance(value, dict) else _is_index(value, part)
        if not is_there:
            return _NOTHING
        value = value[part]
    return value


def _is_index(value: object, part: str | int) -> bool:
    return isinstance(value, list) and isinstance(part, int) and part < len(value)


def _is_same(one: object, other: object) -> bool:
    return type(one) is type(other) and one == other
