"""The server killed at any moment while an exercise is sat, papers are answered and defects noted through its pages.

Whatever a page acknowledged is there, once; the sitting comes back, its course whole; papers come back as they were answered.
``HEADSTOCK_KILLS`` says how many kills where slow tests run.
"""

from __future__ import annotations

import http.client
import json
import random
import re
import socket
import threading
import time
from collections import Counter, defaultdict
from collections.abc import Iterator
from contextlib import closing, suppress
from pathlib import Path
from urllib.parse import urlencode

import pytest

from headstock.records.sitting_files import PAPER_FORM, PAPER_SUFFIX, SittingFiles
from headstock.usecases.papers_sat import PapersSat
from tests.hostile.forked import EXERCISE, PAPER
from tests.hostile.killing import FEW, Forker, Looked, forking, how_many

MOST_ACTS, LONGEST_S = 12, 0.04
"""The latest kill: so long after so many acts in a sitting that is back. Every fourth falls into the start itself."""
START_S = 0.4
KILLS_OF_ONE = 25
"""Then another sitting is begun: a course that grows takes longer to come back."""
FORM, JSON = "application/x-www-form-urlencoded", "application/json"


class Sitter(threading.Thread):
    """Acts until the server is gone; every act has a number of its own, and is never sent twice."""

    def __init__(self, kills: Kills) -> None:
        super().__init__(daemon=True)
        self.kills, self.chance = kills, random.Random(kills.number)
        self.line = http.client.HTTPConnection("127.0.0.1", kills.port, timeout=60)

    def run(self) -> None:
        with closing(self.line), suppress(OSError, http.client.HTTPException):
            self.line.connect()
            if self.kills.number % KILLS_OF_ONE == 0:
                self.kills.code = self.send(f"/exercises/{EXERCISE}/set", b"").split("/")[2]
            self.kills.comes_back(self.ask("GET", f"/sittings/{self.kills.code}/trainer"))
            self.send(f"/sittings/{self.kills.code}/clock", self.form(do="go", rate="30"))
            while True:
                self.kills.sent += 1
                self.chance.choice((self.take, self.note, self.begin, self.answer))(self.kills.sent)

    def stop(self) -> None:
        """Let go of a line that no server has taken up yet: the next one would, and nobody would wait for its answer."""
        while self.is_alive():
            with suppress(OSError, AttributeError):
                self.line.sock.shutdown(socket.SHUT_RDWR)
            self.join(0.05)

    def ask(self, method: str, path: str, body: bytes | None = None, kind: str = FORM) -> tuple[int, str]:
        self.line.request(method, path, body, {"content-type": kind} if body is not None else {})
        answer = self.line.getresponse()
        said = answer.read().decode("utf-8", "replace")
        return answer.status, answer.headers.get("location") or said

    def send(self, path: str, body: bytes, kind: str = FORM) -> str:
        """What was acknowledged: the place it leads to, or its answer."""
        status, said = self.ask("POST", path, body, kind)
        if status >= 400:
            self.kills.wrong.append(f"{path}: {status} {said[:2000]}")
        return said

    def form(self, **fields: str) -> bytes:
        return urlencode(fields).encode()

    def take(self, number: int) -> None:
        self.send(f"/sittings/{self.kills.code}/take", self.form(role="guard", person=f"Oad {number}"))
        self.kills.taken[self.kills.code].append(number)

    def note(self, number: int) -> None:
        note = {"kind": "defect", "text": f"stiff {number}", "who": "K. Ray", "when": "2026-11-21 08:00:00"}
        self.send("/api/v1/records/note", json.dumps(note).encode(), JSON)
        self.kills.noted.append(number)

    def begin(self, number: int) -> None:
        place = self.send(f"/papers/{PAPER.number}/begin", self.form(person=f"Oad {number}"))
        self.kills.papers[place.split("/")[-1]] = 0

    def answer(self, number: int) -> None:
        """An act that was on the way when the server was killed may have been done, though nobody was told."""
        if not self.kills.papers:
            return
        code = self.chance.choice(tuple(self.kills.papers)[-5:])
        options = {f"q{place + 1}": "ABCD"[number >> 2 * place & 3] for place in range(len(PAPER.questions))}
        self.kills.on_the_way[code].append(number)
        self.send(f"/papers/sat/{code}", self.form(do="keep", **options))
        self.kills.papers[code], self.kills.on_the_way[code] = number, []


class Kills:
    """Kills one after the other, each looked at."""

    def __init__(self, forker: Forker, port: int, seed: int) -> None:
        self.forker, self.port, self.chance = forker, port, random.Random(seed)
        self.data = forker.folder / "data"
        self.number = self.sent = self.came_back = 0
        self.code = ""
        self.wrong, self.noted = list[str](), list[int]()
        self.taken = dict[str, list[int]]()
        self.papers, self.on_the_way = dict[str, int](), defaultdict[str, list[int]](list)
        self.looked = Looked("", self.data)
        self.notes = Counter[int]()

    def comes_back(self, answer: tuple[int, str]) -> None:
        """A sitting's own page after a start, with whoever took the role last."""
        self.taken.setdefault(self.code, [])
        assert answer[0] == 200, answer[1]
        self.came_back += 1

    def one(self, too_soon: bool = False) -> None:
        """A start, acts, a kill, a look."""
        before, process = self.came_back, self.forker.begin(folder=str(self.data), too_soon=too_soon)
        sitter = Sitter(self)
        sitter.start()
        acts = self.sent + self.chance.randrange(MOST_ACTS)
        is_in_start = self.number % 4 == 0 and self.code
        while not is_in_start and sitter.is_alive() and (self.came_back == before or self.sent < acts):
            time.sleep(0.002)
        time.sleep(self.chance.uniform(0.0, START_S if is_in_start else LONGEST_S))
        self.forker.kill(process)
        sitter.stop()
        assert self.wrong == []
        self.number += 1
        self.look()

    def look(self) -> None:
        """Everything that was acknowledged is there, once."""
        if (self.data / "records.db").exists():
            found = [str(one.draft.body["text"]) for one in self.looked.since() if one.draft.kind == "defect"]
            self.notes.update(int(text.removeprefix("stiff ")) for text in found)
        assert set(self.noted) <= set(self.notes) and set(self.notes.values()) <= {1}
        for code in tuple(self.taken)[-2:]:
            kept = SittingFiles(self.data / "sittings").kept(code)
            assert kept is not None and [event["t_s"] for event in kept.events] == sorted(event["t_s"] for event in kept.events)
            persons = Counter(int(re.sub(r"\D", "", event["person"])) for event in kept.events if event["kind"] == "took")
            assert set(self.taken[code]) <= set(persons) and set(persons.values()) <= {1}
        self.look_at_papers()

    def look_at_papers(self) -> None:
        """Those of late as the page lists them, and each with what was answered last, or what was on the way."""
        papers = PapersSat(SittingFiles(self.data / "papers", PAPER_SUFFIX, PAPER_FORM))
        papers.lately()
        for code in tuple(self.papers)[-6:]:
            sat = papers.named(code)
            found = sum((option or 0) << 2 * place for place, option in enumerate(sat.answers))
            assert found in (self.papers[code], *self.on_the_way[code]), code


@pytest.fixture
def kills(tmp_path: Path) -> Iterator[Kills]:
    with socket.create_server(("127.0.0.1", 0)) as listener:
        listener.set_inheritable(True)
        with forking(tmp_path, "pages", str(listener.fileno()), pass_fds=(listener.fileno(),)) as forker:
            yield Kills(forker, listener.getsockname()[1], 6)


def many(kills: Kills, count: int) -> None:
    """So many kills; at the end all records once more from the first."""
    for _ in range(count):
        kills.one()
    kills.looked.whole()
    assert kills.came_back > count / 4 and kills.sent > 2 * count, "hardly anything was done: nothing is proved"
    assert "Traceback" not in kills.forker.said, kills.forker.said


def test_a_server_killed_at_any_moment_of_an_exercise_loses_and_doubles_nothing(kills: Kills) -> None:
    many(kills, FEW // 5)


@pytest.mark.slow
def test_a_thousand_kills_of_a_server_in_the_middle_of_exercises(kills: Kills) -> None:
    many(kills, how_many())


@pytest.mark.slow
def test_a_server_that_acknowledges_before_it_keeps_is_found_out(kills: Kills) -> None:
    with pytest.raises(AssertionError):
        for _ in range(FEW):
            kills.one(too_soon=True)
