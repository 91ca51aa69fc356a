"""Writers of records killed at any moment, while they open, make, write: what was acknowledged is there, once, in one chain.

Twenty kills each time, a thousand for each kind of database where slow tests run; ``HEADSTOCK_KILLS`` says how many.
"""

from __future__ import annotations

import random
import time
from collections.abc import Callable, Iterator

import pytest

from tests.hostile.killing import FEW, Forker, Looked, Told, forking, how_many
from tests.unit.records.postgres import DURABLE, PostgresServer

LONGEST_S, MOST_WAITED_S = 0.06, 20.0
"""The latest kill: so long after the first acknowledgment of a writer. Every fourth falls at any moment of opening and making."""
ANEW = 10
"""Every so many kills on records that have yet to be made; on a server, where that takes longer, as seldom as the server dies."""
SERVER_KILLS = 50
"""Every so many kills it is the database server itself."""


@pytest.fixture(scope="module")
def forker(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Forker]:
    with forking(tmp_path_factory.mktemp("kills"), "records") as found:
        yield found


class Kills:
    """Kills one after the other, each looked at."""

    def __init__(self, forker: Forker, new_database: Callable[[], str], seed: int) -> None:
        self.forker, self.new_database, self.chance = forker, new_database, random.Random(seed)
        self.folder = forker.folder / f"of-{seed}"
        self.number = self.acknowledged = 0
        self.keeps = self._place("kept", new_database())

    def _place(self, name: str, database: str) -> tuple[Looked, Told]:
        folder = self.folder / name
        folder.mkdir(parents=True, exist_ok=True)
        return Looked(database, folder), Told(folder / "told")

    def one(self, too_soon: bool = False, server: PostgresServer | None = None) -> None:
        """One kill, or of two writers on the same records at once."""
        anew = ANEW if not self.keeps[0].database else SERVER_KILLS
        is_anew = self.number % anew == anew // 2 and server is None
        looked, told = self._place(f"anew-{self.number}", self.new_database()) if is_anew else self.keeps
        first = max((int(key.removeprefix("key-")) for key in looked.seqs if key.startswith("key-")), default=0)
        asked = {"database": looked.database, "folder": str(looked.folder), "told": str(told.path), "too_soon": too_soon}
        running = [self.forker.begin(first=max(0, first - 3) + 1_000_000 * beside, batch=self.chance.choice((1, 1, 7)), **asked)
                   for beside in range(1 + (self.number % 4 == 3))]  # fmt: skip
        self._wait(told)
        if server is not None:
            server.kill()
            server.start()
        for process in running:
            self.forker.kill(process)
        self.number += 1
        self._look(looked, told)

    def _wait(self, told: Told) -> None:
        until_s = time.monotonic() + MOST_WAITED_S
        while self.number % 4 != 1 and not told.has_more and time.monotonic() < until_s:
            time.sleep(0.001)
        time.sleep(self.chance.uniform(0.0, LONGEST_S))

    def _look(self, looked: Looked, told: Told) -> None:
        looked.since()
        for key, seq in told.since().items():
            assert key in looked.seqs, f"acknowledged and not on record: {key}, after {self.number} kills"
            assert seq in (0, looked.seqs[key])
            self.acknowledged += 1

    def many(self, count: int, server: PostgresServer | None = None) -> None:
        """So many; at the end everything once more from the first entry."""
        for number in range(count):
            self.one(server=server if number % SERVER_KILLS == SERVER_KILLS - 1 else None)
        assert self.acknowledged > 2 * count, "hardly anything was written: nothing is proved"
        self.keeps[0].whole()
        assert "Traceback" not in self.forker.said


def in_file() -> str:
    """Records in the file of the data folder."""
    return ""


def test_writers_of_a_file_killed_at_any_moment_lose_and_double_nothing(forker: Forker) -> None:
    Kills(forker, in_file, 1).many(FEW)


def test_writers_of_a_server_killed_at_any_moment_lose_and_double_nothing(forker: Forker, postgres: PostgresServer) -> None:
    Kills(forker, postgres.new_database, 2).many(FEW)


@pytest.mark.slow
def test_a_thousand_killed_writers_of_a_file(forker: Forker) -> None:
    Kills(forker, in_file, 3).many(how_many())


@pytest.mark.slow
def test_a_thousand_killed_writers_of_a_server_that_is_killed_too(forker: Forker, postgres: PostgresServer) -> None:
    server = PostgresServer(postgres.folder, DURABLE)
    try:
        Kills(forker, server.new_database, 4).many(how_many(), server)
    finally:
        server.stop()


def test_a_writer_that_acknowledges_before_it_commits_is_found_out(forker: Forker) -> None:
    kills = Kills(forker, in_file, 5)
    with pytest.raises(AssertionError, match="acknowledged and not on record"):
        for _ in range(3 * FEW):
            kills.one(too_soon=True)
