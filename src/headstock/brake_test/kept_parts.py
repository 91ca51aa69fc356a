"""What drawn tests of one train have in common, made once and kept for as long as it may come again."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from typing import Generic, TypeVar

V = TypeVar("V")


@dataclass(frozen=True)
class KeptParts(Generic[V]):
    """By key; when there are ``most``, all are let go, so that memory does not grow with the number of tests."""

    most: int
    _parts: dict[Hashable, V] = field(default_factory=dict)

    def get(self, key: Hashable, make: Callable[[], V]) -> V:
        """The part of a key, made if it is not there."""
        if key not in self._parts:
            if len(self._parts) >= self.most:
                self.clear()
            self._parts[key] = make()
        return self._parts[key]

    def clear(self) -> None:
        """Let all go."""
        self._parts.clear()
