"""What every kind of study has in common: numbered parts, each worked out by whoever is asked, and what its folder says of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Protocol

from headstock.brake_test.signatures import Runs
from headstock.physics.air_run import AirEngine

FORMAT = 1
"""Version of the results' form."""


@dataclass(frozen=True)
class Means:
    """By what a part is worked out: drawn runs side by side, and what the air does at single steps."""

    runs: Runs
    engine: AirEngine


class StudyHead(Protocol):
    """What the file of a study says of it."""

    @property
    def name(self) -> str:
        """What it is called."""
        ...

    @property
    def edition(self) -> str:
        """Edition."""
        ...

    @property
    def invented(self) -> bool:
        """Whether it is about invented trains."""
        ...

    def model_dump_json(self) -> str:
        """The whole of it."""
        ...


class Study(Protocol):
    """A study whose parts are known by their numbers alone."""

    @property
    def kind(self) -> str:
        """ "drawn tests" or "mistakes"."""
        ...

    @property
    def rests_on(self) -> tuple[str, ...]:
        """Folders of the code that its results hang on."""
        ...

    @property
    def file(self) -> StudyHead:
        """As written."""
        ...

    @property
    def key(self) -> str:
        """Digest of all that the results hang on, but for the code."""
        ...

    @property
    def parts(self) -> int:
        """How many."""
        ...

    def folder_of(self, part: int) -> Path:
        """Where a part lies."""
        ...

    def worked_out(self, part: int, means: Means) -> Sequence[Any]:
        """The rows of a part."""
        ...

    def said(self) -> dict[str, Any]:
        """What its folder says of it, but for name, edition and key."""
        ...
