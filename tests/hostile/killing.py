"""What the tests of kills share: a process that forks what is to be killed, and a look at what came on record since."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import select

from headstock.records.chain import ChainCheck, Row
from headstock.records.key_chain import is_signed
from headstock.records.store import COLUMNS, StoredRecords
from headstock.records.tables import ENTRY, HEAD
from headstock.usecases.records_port import Filed
from tests.promises.tree import ROOT

FEW, MANY = 20, 1000
LET_GO = (-signal.SIGKILL, 3)
"""Killed, or stopped by itself because its database was killed."""


def how_many() -> int:
    """So many kills where slow tests run; ``HEADSTOCK_KILLS`` says otherwise."""
    return int(os.environ.get("HEADSTOCK_KILLS", MANY))


class Forker:
    """Forks what is asked for, and kills it."""

    def __init__(self, folder: Path, *words: str, **how: Any) -> None:
        self.folder, self.faults = folder, folder / "faults"
        environment = {**os.environ, "PYTHONPATH": f"{ROOT / 'src'}{os.pathsep}{ROOT}", "HEADSTOCK_DATA": str(folder / "first")}
        self._process = subprocess.Popen([sys.executable, "-m", "tests.hostile.forked", *words], env=environment, text=True,
                                         stdin=subprocess.PIPE, stdout=subprocess.PIPE, **how)  # fmt: skip
        assert self._line() == "ready"

    def begin(self, **asked: Any) -> int:
        """A process that does as it is asked, by its number."""
        return int(self._ask({**asked, "faults": str(self.faults)}))

    def kill(self, number: int) -> None:
        """End it as a loss of power would; it must not have ended by itself."""
        os.kill(number, signal.SIGKILL)
        ended = int(self._ask(number))
        assert ended in LET_GO, f"ended by itself with {ended}: {self.said}"

    @property
    def said(self) -> str:
        """What those that were killed said of faults."""
        return self.faults.read_text(encoding="utf-8") if self.faults.exists() else ""

    def close(self) -> None:
        """End it."""
        assert self._process.stdin is not None and self._process.stdout is not None
        self._process.stdin.close()
        self._process.wait(30)
        self._process.stdout.close()

    def _ask(self, what: object) -> str:
        assert self._process.stdin is not None
        print(json.dumps(what), file=self._process.stdin, flush=True)
        return self._line()

    def _line(self) -> str:
        assert self._process.stdout is not None
        return self._process.stdout.readline().strip()


@contextmanager
def forking(folder: Path, *words: str, **how: Any) -> Iterator[Forker]:
    """The same, ended afterwards."""
    forker = Forker(folder, *words, **how)
    try:
        yield forker
    finally:
        forker.close()


class Looked:
    """Records opened anew after each kill; what came since the last look is checked entry by entry, in one chain."""

    def __init__(self, database: str, folder: Path) -> None:
        self.database, self.folder = database, folder
        self.check, self.seqs = ChainCheck(), dict[str, int]()

    def since(self) -> list[Filed]:
        """Entries since the last look. Raises AssertionError for a chain that is broken, a key that is there twice."""
        from headstock.records.chain import filed_of

        records = StoredRecords(self.database, self.folder)
        try:
            with records.engine.connect() as connection:
                end = connection.execute(select(HEAD.c.seq, HEAD.c.hash, HEAD.c.signature)).one()
                wanted = select(*COLUMNS).where(ENTRY.c.seq > self.check.link.seq).order_by(ENTRY.c.seq)
                rows = [Row(*row) for row in connection.execute(wanted)]
            for row in rows:
                assert self.check.take(row), self.check.fault
                assert row.key not in self.seqs, f"twice: {row.key}"
                self.seqs[row.key] = row.seq
            link = self.check.link
            assert tuple(end) == (link.seq, link.hash, link.signature), "the end that is kept is not that of the chain"
            assert not link.seq or is_signed(link.hash, link.signature, records.own_key)
        finally:
            records.close()
        return [filed_of(row) for row in rows]

    def whole(self) -> None:
        """All records verified from the first to the last, as ``records verify`` does it."""
        records = StoredRecords(self.database, self.folder)
        verdict = records.verify()
        records.close()
        assert (verdict.fault, verdict.entries) == ("", len(self.seqs))


class Told:
    """What writers wrote down as acknowledged: whole lines only, each read once."""

    def __init__(self, path: Path) -> None:
        self.path, self._read = path, 0
        path.touch()

    @property
    def has_more(self) -> bool:
        """Whether something was acknowledged since the last look."""
        return self.path.stat().st_size > self._read

    def since(self) -> dict[str, int]:
        """Keys and numbers since the last look."""
        content = self.path.read_bytes()
        some = content[self._read : content.rfind(b"\n") + 1]
        self._read += len(some)
        return {key: int(seq) for key, seq in re.findall(r"^(key-\d+) (\d+)$", some.decode("ascii"), re.MULTILINE)}
