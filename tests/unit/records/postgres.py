"""A PostgreSQL server for tests: a folder of its own, a socket and no port, gone afterwards."""

from __future__ import annotations

import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import time
from contextlib import suppress
from itertools import count
from pathlib import Path
from typing import Any

QUICK = ("fsync=off", "full_page_writes=off")
DURABLE = ("fsync=on", "full_page_writes=on", "synchronous_commit=on")
OPTIONS = ("listen_addresses=", "shared_buffers=32MB", "max_connections=60")


def binaries() -> Path | None:
    """Where initdb and postgres are."""
    named, on_path = os.environ.get("HEADSTOCK_PG_BIN"), shutil.which("initdb")
    found = [Path(named)] if named else [Path(on_path).resolve().parent] if on_path else []
    found += sorted(Path("/usr/lib/postgresql").glob("*/bin"), key=lambda path: float(path.parent.name), reverse=True)
    found += sorted(Path("/opt/homebrew/opt").glob("postgresql@*/bin"), reverse=True)
    return next((path for path in found if (path / "initdb").exists() and (path / "postgres").exists()), None)


class PostgresServer:
    """A running server; the administrator's account may not run one, so then another account does."""

    def __init__(self, folder: Path, more: tuple[str, ...] = QUICK, before: tuple[str, ...] = ()) -> None:
        self.folder = folder
        self.root = Path(tempfile.mkdtemp(prefix="hs-pg-", dir="/tmp"))
        self._numbers = count(1)
        self._how: dict[str, Any] = {"cwd": self.root, "stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
        if os.geteuid() == 0:
            names = {entry.pw_name for entry in pwd.getpwall()}
            account = pwd.getpwnam("postgres" if "postgres" in names else "nobody")
            os.chown(self.root, account.pw_uid, account.pw_gid)
            self._how |= {"user": account.pw_uid, "group": account.pw_gid, "extra_groups": []}
        make = [folder / "initdb", "-D", self.root / "d", "-U", "hs", "-A", "trust", "-N", "--encoding=UTF8", "--locale=C.UTF-8"]
        subprocess.run(make, check=True, **self._how)
        options = [word for option in (*OPTIONS, *more) for word in ("-c", option)]
        traced = [word.replace("ROOT", str(self.root)) for word in before]
        self._words = [*traced, folder / "postgres", "-D", self.root / "d", "-k", self.root, *options]
        self.start()

    def start(self) -> None:
        """Start, or start again after ``kill``."""
        self._running = subprocess.Popen(self._words, **self._how)
        self._wait()

    def kill(self) -> None:
        """End every process of this server at once, as a cut of power does, but for what the system itself still holds."""
        postmaster = self.pid
        own = [postmaster, *_children_of(postmaster)]
        for pid in own:
            with suppress(ProcessLookupError):
                os.kill(pid, signal.SIGKILL)
        self._running.wait(30)
        end = time.monotonic() + 30
        while any(Path(f"/proc/{pid}").exists() for pid in own) and time.monotonic() < end:
            time.sleep(0.02)

    @property
    def pid(self) -> int:
        """Of the first of its processes."""
        return int((self.root / "d" / "postmaster.pid").read_text(encoding="utf-8").split()[0])

    def _connect(self) -> Any:
        import psycopg

        return psycopg.connect(host=str(self.root), user="hs", dbname="postgres", autocommit=True)

    def _wait(self) -> None:
        import psycopg

        end = time.monotonic() + 60
        while True:
            try:
                self._connect().close()
                return
            except psycopg.OperationalError:
                if time.monotonic() > end:
                    raise
                time.sleep(0.05)

    def run(self, line: str) -> Any:
        """One statement; the first value of its answer."""
        with self._connect() as connection:
            done = connection.execute(line)
            return done.fetchone()[0] if done.description else None

    def new_database(self, more: str = "") -> str:
        """The address of an empty database."""
        name = f"t{next(self._numbers)}"
        self.run(f"CREATE DATABASE {name} {more}")
        return f"postgresql://hs@/{name}?host={self.root}"

    def stop(self) -> None:
        """End the server and remove its folder."""
        with suppress(OSError):
            os.kill(self.pid, signal.SIGINT)
        try:
            self._running.wait(10)
        except subprocess.TimeoutExpired:
            self._running.kill()
            self._running.wait()
        shutil.rmtree(self.root, ignore_errors=True)


def _children_of(parent: int) -> list[int]:
    found = []
    for path in Path("/proc").glob("[0-9]*/stat"):
        with suppress(OSError):
            if int(path.read_text(encoding="utf-8").rpartition(")")[2].split()[1]) == parent:
                found.append(int(path.parent.name))
    return found
