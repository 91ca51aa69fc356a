"""How the pages are served: where they listen, on which records and fleet."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

LOOPBACK = ("127.0.0.1", "::1", "localhost")


@dataclass(frozen=True, slots=True)
class Serving:
    """``port`` 0: any free one; ``database`` and ``fleet`` None: those of the data folder, and the built-in one."""

    host: str = "127.0.0.1"
    port: int = 8000
    database: str | None = None
    fleet: Path | None = None
    certificate: Path | None = None
    key: Path | None = None
    behind_proxy: bool = False

    @property
    def is_loopback(self) -> bool:
        """Whether only this machine can reach it."""
        return self.host in LOOPBACK

    @property
    def signs_in(self) -> bool:
        """Whether others than the one person of this machine can reach it, who must sign in."""
        return self.behind_proxy or not self.is_loopback
