"""One look through all records at a time, in a thread of its own, with how far it is."""

from __future__ import annotations

import threading
from dataclasses import dataclass, replace
from datetime import datetime

from headstock.base.errors import HeadstockError
from headstock.usecases.records_port import ChainVerdict, Records, Search
from headstock.web.replies import as_seen


@dataclass(frozen=True, slots=True)
class HowFar:
    """Entries looked at, of how many; the verdict or the error when it is done, and when that was."""

    is_running: bool = False
    done: int = 0
    of: int = 0
    when: str = ""
    verdict: ChainVerdict | None = None
    error: HeadstockError | None = None
    last_code: str = ""


class Verifying:
    """Begins a look where none is under way, and says how far it is."""

    def __init__(self, records: Records) -> None:
        self.records = records
        self._lock = threading.Lock()
        self._far = HowFar()

    @property
    def how_far(self) -> HowFar:
        """As it stands now."""
        with self._lock:
            return self._far

    def begin(self) -> None:
        """Start a look; nothing where one is under way."""
        with self._lock:
            if self._far.is_running:
                return
            self._far = HowFar(is_running=True)
        threading.Thread(target=self._look, name="verifying", daemon=True).start()

    def _look(self) -> None:
        try:
            last = self.records.search(Search(top=1))
            self._say(of=last[0].seq if last else 0)
            verdict = self.records.verify(tell=lambda done: self._say(done=done))
            end = self.records.named(str(verdict.entries)) if verdict.entries and not verdict.fault else None
            self._say(verdict=verdict, done=verdict.entries, last_code=end.code if end else "")
        except HeadstockError as error:
            self._say(error=as_seen(error))
        finally:
            self._say(is_running=False, when=datetime.now().isoformat(" ", "seconds"))

    def _say(self, **changes: object) -> None:
        with self._lock:
            self._far = replace(self._far, **changes)  # type: ignore[arg-type]
