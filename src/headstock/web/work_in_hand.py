"""Work that takes longer than somebody waits: one piece for each question, on a thread, saying how far it is, to be stopped.

A piece that is stopped ends where it next says how far it is; what it had found by then is not kept.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field

Tell = Callable[[int, int], None]
"""Told how many parts are done and how many there are."""
PATIENCE_S = 0.9
"""Under a second nothing is shown of it."""
MOST_AT_ONCE = 4


class Stopped(Exception):
    """Somebody has stopped the piece."""


@dataclass
class Piece:
    """One piece of work: what it does in words, how far it is, and how it ended."""

    words: str
    began_s: float = field(default_factory=time.monotonic)
    done: int = 0
    of: int = 0
    error: Exception | None = None
    is_stopping: bool = False
    ended: threading.Event = field(default_factory=threading.Event)

    def tell(self, done: int, of: int) -> None:
        """How far it is. Raises Stopped where somebody has stopped it."""
        if self.is_stopping:
            raise Stopped
        self.done, self.of = done, of

    @property
    def seconds(self) -> int:
        """Since it began."""
        return int(time.monotonic() - self.began_s)


class LongWorks:
    """Every piece in hand, by its key."""

    def __init__(self) -> None:
        self._pieces: dict[tuple[str, ...], Piece] = {}
        self._lock = threading.Lock()
        self._room = threading.Semaphore(MOST_AT_ONCE)

    def begin(self, key: tuple[str, ...], words: str, work: Callable[[Tell], object]) -> Piece:
        """The piece under a key, begun unless it is in hand and goes on; waits a moment for it to end."""
        with self._lock:
            piece = self._pieces.get(key)
            if piece is None or piece.is_stopping:
                piece = self._pieces[key] = Piece(words)
                threading.Thread(target=self._run, args=(key, piece, work), daemon=True, name=f"long work {key[0]}").start()
        piece.ended.wait(PATIENCE_S)
        return piece

    def stop(self, key: tuple[str, ...]) -> None:
        """Ask a piece to stop; nothing where there is none."""
        with self._lock:
            piece = self._pieces.get(key)
        if piece is not None:
            piece.is_stopping = True

    def _run(self, key: tuple[str, ...], piece: Piece, work: Callable[[Tell], object]) -> None:
        try:
            with self._room:
                piece.tell(0, 0)
                work(piece.tell)
        except Exception as error:  # whoever asks for the piece is told; a thread has nobody to tell
            piece.error = error
        finally:
            with self._lock:
                if self._pieces.get(key) is piece:
                    del self._pieces[key]
            piece.ended.set()
