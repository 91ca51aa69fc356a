"""A server under mixed load for half an hour: its memory stays flat, no thread is left over, and it stops within three seconds.

``HEADSTOCK_LONG_RUN_S`` makes it shorter or longer.
"""

from __future__ import annotations

import json
import os
import random
import re
import subprocess
import threading
import time
import urllib.error
import urllib.parse
import urllib.request
from pathlib import Path
from statistics import median

import pytest

from tests.journeys.browser import killed_and_served_again

LASTS_S = float(os.environ.get("HEADSTOCK_LONG_RUN_S", "1800"))
CLIENTS, LOOK_EVERY_S, MOST_GROWTH_MB, MOST_STOP_S = 8, 2.0, 20.0, 3.0
PAGES = ("/", "/fleet", "/fleet/tarn", "/fleet/table", "/records", "/records/audit", "/records?words=217", "/exercises",
         "/people", "/jobs/new", "/api/v1/fleet", "/nothing", "/jobs/nothing")  # fmt: skip


class Visitor(threading.Thread):
    """Goes from page to page, notes defects, tests the brake, sits exercises; keeps what was answered with 5xx."""

    def __init__(self, number: int, address: str, job: str, until_s: float) -> None:
        super().__init__(name=f"visitor {number}", daemon=True)
        self.chance, self.address, self.job, self.until_s = random.Random(number), address, job, until_s
        self.broken: list[str] = []
        self.asked = 0

    def run(self) -> None:
        while time.monotonic() < self.until_s:
            self.chance.choice((self.look, self.look, self.look, self.note, self.enter, self.sit))()
            self.asked += 1

    def ask(self, path: str, sent: bytes | None = None, kind: str = "application/json") -> str:
        request = urllib.request.Request(f"{self.address}{path}", sent, {"content-type": kind} if sent is not None else {})
        try:
            with urllib.request.urlopen(request, timeout=60) as answer:
                return f"{answer.url}\n{answer.read().decode('utf-8', 'replace')}"
        except urllib.error.HTTPError as error:
            if error.code >= 500:
                self.broken.append(f"{path}: {error.code}")
            return ""

    def look(self) -> None:
        self.ask(self.chance.choice((*PAGES, f"/jobs/{self.job}", f"/jobs/{self.job}/test", f"/jobs/{self.job}/test/state")))

    def note(self) -> None:
        said = {"kind": "defect", "text": f"cock stiff {self.chance.random()}", "who": "K. Ray", "when": "2026-11-21 08:00:00"}
        self.ask("/api/v1/records/note", json.dumps(said).encode())

    def enter(self) -> None:
        event = {"test": "t", "what": "reading", "stage": "rear applied", "shows": "3.4", "unit": "bar", "who": "P. Oad",
                 "at": "2026-11-21 08:00:00", "key": f"{self.name}:{self.asked}"}  # fmt: skip
        self.ask(f"/jobs/{self.job}/test/events", json.dumps({"events": [event]}).encode())

    def sit(self) -> None:
        """An exercise is set, a role taken, looked at and ended."""
        form = "application/x-www-form-urlencoded"
        found = re.match(r"\S+/sittings/(\w+)/", self.ask("/exercises/attach-plain/set", b"", form))
        if found is None:
            return
        at = f"/sittings/{found[1]}"
        self.ask(f"{at}/take", urllib.parse.urlencode({"role": "shunter", "person": "J. Tolk"}).encode(), form)
        for path in ("role/shunter", "watch", "trainer"):
            self.ask(f"{at}/{path}")
        self.ask(f"{at}/end", b"", form)


def memory_mb(process: int) -> float:
    """What a process holds in memory."""
    pages = int(Path(f"/proc/{process}/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 2**20


def threads_of(process: int) -> int:
    """How many threads it has."""
    return len(tuple(Path(f"/proc/{process}/task").iterdir()))


def loaded(address: str, process: int) -> tuple[list[float], list[int], list[Visitor]]:
    """Memory and threads while visitors come and go, and the visitors."""
    ready = Visitor(0, address, "", 0.0)
    job = re.match(r"\S+/jobs/(\S+)", ready.ask("/jobs/ready", b"name=demo-attach", "application/x-www-form-urlencoded"))
    assert job is not None
    until_s = time.monotonic() + LASTS_S
    visitors = [Visitor(number, address, job[1], until_s) for number in range(1, CLIENTS + 1)]
    for visitor in visitors:
        visitor.start()
    held_mb, threads = list[float](), list[int]()
    while time.monotonic() < until_s:
        time.sleep(LOOK_EVERY_S)
        held_mb.append(memory_mb(process))
        threads.append(threads_of(process))
    for visitor in visitors:
        visitor.join(90)
    return held_mb, threads, visitors


def stopped_s(process: subprocess.Popen[str]) -> float:
    """How long it takes to stop when asked to."""
    began = time.monotonic()
    process.terminate()
    process.wait(30)
    return time.monotonic() - began


@pytest.mark.slow
@pytest.mark.skipif(not Path("/proc/self/statm").exists(), reason="memory is read from /proc")
def test_under_mixed_load_memory_stays_flat_and_it_stops_at_once(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with killed_and_served_again(tmp_path) as server:
        assert server.process is not None
        held_mb, threads, visitors = loaded(server.address, server.process.pid)
        took_s = stopped_s(server.process)
    assert not any(visitor.is_alive() for visitor in visitors)
    assert [one for visitor in visitors for one in visitor.broken] == []
    third = len(held_mb) // 3
    begins_mb, ends_mb = median(held_mb[third : 2 * third]), median(held_mb[2 * third :])
    with capsys.disabled():
        acts = sum(one.asked for one in visitors)
        print(f"\n{acts} acts in {LASTS_S:g} s; memory {held_mb[0]:.0f}, then {begins_mb:.0f}, at the end {ends_mb:.0f} MB; "
              f"threads {threads[third]}, at the end {threads[-1]}; stopped in {took_s:.1f} s")  # fmt: skip
    assert ends_mb - begins_mb < MOST_GROWTH_MB
    assert max(threads[2 * third :]) <= max(threads[third : 2 * third]) + 2
    assert took_s < MOST_STOP_S
