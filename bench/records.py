"""Records beside bare SQLite, in the same run on the same disk:  PYTHONPATH=src:. python -m bench.records [ENTRIES]

Single: one durable commit for each entry, both with full sync, turn by turn so that a busy machine slows both alike.
Asked: singles at least half of bare; batches 10,000 a second; 100,000 entries verified under 10 s, searched under 0.1 s.
"""

from __future__ import annotations

import sqlite3
import sys
import tempfile
import time
from pathlib import Path

from headstock.records.store import StoredRecords
from headstock.usecases.records_port import Draft, Search

ROUNDS, A_ROUND, A_BATCH = 10, 30, 2000


def draft(number: int) -> Draft:
    """An entry of the size of a filed test, with eight words to find it by."""
    units = (str(200 + number % 97), str(300 + number % 89))
    terms = ("kind:test", *units, "verdict:within limits", "p. oad", "oad", f"path:{units[0]}/2.brake_pipe_cock", f"n{number}")
    body = {"title": "A test", "units": list(units), "readings": [{"stage": "rear applied", "shows": "3.4", "unit": "bar"}] * 6}
    return Draft("test", f"key-{number}", f"2026-{number % 12 + 1:02d}-{number % 28 + 1:02d} 10:00:00", terms, body)


def bare(folder: Path) -> sqlite3.Connection:
    """SQLite alone: the same journal, the same sync."""
    base = sqlite3.connect(folder / "bare.db", isolation_level=None)
    base.execute("PRAGMA journal_mode=WAL")
    base.execute("PRAGMA synchronous=FULL")
    base.execute("CREATE TABLE entry (seq INTEGER PRIMARY KEY, text TEXT)")
    return base


def singles(records: StoredRecords, base: sqlite3.Connection) -> tuple[float, float]:
    """Commits a second: ours, bare."""
    ours_s = bare_s = 0.0
    text = "x" * 900
    for start in range(0, ROUNDS * A_ROUND, A_ROUND):
        began = time.perf_counter()
        for number in range(start, start + A_ROUND):
            records.append([draft(number)])
        between = time.perf_counter()
        for _ in range(A_ROUND):
            base.execute("BEGIN IMMEDIATE")
            base.execute("INSERT INTO entry (text) VALUES (?)", (text,))
            base.execute("COMMIT")
        ours_s, bare_s = ours_s + between - began, bare_s + time.perf_counter() - between
    return ROUNDS * A_ROUND / ours_s, ROUNDS * A_ROUND / bare_s


def main(entries: int) -> None:
    """Measure and print, what is asked beside it."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        records, base = StoredRecords(folder=folder), bare(folder)
        ours, alone = singles(records, base)
        print(f"single commits: {ours:.0f}/s, bare SQLite {alone:.0f}/s: {ours / alone:.2f} of it (asked 0.50)")
        began, cpu = time.perf_counter(), time.process_time()
        for start in range(1000, entries + 1000, A_BATCH):
            records.append([draft(number) for number in range(start, start + A_BATCH)])
        took, cpu = time.perf_counter() - began, time.process_time() - cpu
        print(f"batches of {A_BATCH}: {entries / took:.0f} entries/s by the clock, {entries / cpu:.0f}/s of a core (asked 10000)")
        began, cpu = time.perf_counter(), time.process_time()
        verdict = records.verify()
        took, cpu = time.perf_counter() - began, time.process_time() - cpu
        sound = verdict.fault or "sound"
        print(f"verify {verdict.entries} entries: {took:.2f} s by the clock, {cpu:.2f} s of a core (asked 10); {sound}")
        for wanted in (Search(("217",)), Search(("oad", "217", "301")), Search(("n999*",)), Search(("oad",), "test"),
                       Search(("oad",), from_day="2026-03-03", to_day="2026-03-03")):  # fmt: skip
            began = time.perf_counter()
            found = records.search(wanted)
            took = 1000 * (time.perf_counter() - began)
            print(f"search {' '.join(wanted.words)} {wanted.from_day}: {len(found)} in {took:.1f} ms (asked 100)")
        records.close()
        base.close()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 100_000)
