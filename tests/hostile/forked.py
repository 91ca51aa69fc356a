"""Has imported what writes, and forks a process for each line on its input: one to be killed then costs milliseconds.

Started as ``python -m tests.hostile.forked records``, or ``pages LISTENER``. A line that asks for something is answered with the
number of the process that was forked; a line with such a number, with the status of that process when it is gone.
"""

from __future__ import annotations

import json
import os
import socket
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from headstock.base.errors import StorageError
from headstock.practice.questions import Question
from headstock.usecases.question_paper import Paper

SAYS_WHY_NOT = 3
EXERCISE = "attach-plain"
QUESTIONS = tuple(Question(f"q{number}", "gauge", "", f"Invented question {number}?", tuple("abcd"), 0, "invented", "invented")
                  for number in range(8))  # fmt: skip
PAPER = Paper("all-8-1", "Invented paper", ("invented",), QUESTIONS, 1, True)
"""A paper that is made at once."""
Child = Callable[[Mapping[str, Any]], int]


def write_records(asked: Mapping[str, Any]) -> int:
    """Appends until it is killed, and writes down what was acknowledged; ``too_soon``: before it was."""
    from headstock.records.store import StoredRecords
    from tests.unit.records.drafts import draft

    told = os.open(asked["told"], os.O_WRONLY | os.O_CREAT | os.O_APPEND)
    try:
        records = StoredRecords(asked["database"], Path(asked["folder"]))
        number = int(asked["first"])
        while True:
            some = [draft(each) for each in range(number, number + int(asked["batch"]))]
            if asked.get("too_soon"):
                os.write(told, "".join(f"{one.key} 0\n" for one in some).encode())
            filed = records.append(some)
            if not asked.get("too_soon"):
                os.write(told, "".join(f"{one.draft.key} {one.seq}\n" for one in filed).encode())
            number += int(asked["batch"])
    except StorageError as error:
        print(error.text().replace("\n", " "), file=sys.stderr, flush=True)
        return SAYS_WHY_NOT


def _keep_later() -> None:
    """A planted fault: what happens in a sitting is kept a little after it was acknowledged."""
    import threading

    from headstock.records.sitting_files import SittingFiles

    kept = SittingFiles.add
    SittingFiles.add = lambda *event: threading.Timer(0.05, kept, event).start()  # type: ignore[method-assign]


def serve_pages(listener: socket.socket) -> Child:
    """Pages on a listener that stays when the server behind it is killed; exercises are planned once for all of them."""
    import uvicorn

    from headstock.usecases.serving import Serving
    from headstock.usecases.sittings import Sittings
    from headstock.web.application import make_app
    from headstock.wiring import air_engine, fleet_from, sitting_log

    exercise = Sittings(sitting_log(), fleet_from(None), air_engine()).exercise(EXERCISE)
    how: dict[str, Any] = {"log_level": "error", "ws": "websockets-sansio", "server_header": False}
    uvicorn.Config(make_app(Serving()), **how).load()

    def serves(asked: Mapping[str, Any]) -> int:
        os.environ["HEADSTOCK_DATA"] = asked["folder"]
        if asked.get("too_soon"):
            _keep_later()
        app = make_app(Serving())
        app.state.sittings._exercises[EXERCISE] = exercise
        app.state.answers.kept(("paper", PAPER.number), lambda: PAPER)
        uvicorn.Server(uvicorn.Config(app, **how)).run(sockets=[listener])
        return 0

    return serves


def forked(asked: Mapping[str, Any], child: Child) -> int:
    """The number of a process that does as it is asked."""
    number = os.fork()
    if number:
        return number
    status = 1
    try:
        for place, name in ((0, os.devnull), (1, os.devnull), (2, asked["faults"])):
            os.dup2(os.open(name, os.O_RDONLY if place == 0 else os.O_WRONLY | os.O_CREAT | os.O_APPEND), place)
        status = child(asked)
    except BaseException:
        import traceback

        traceback.print_exc()
    finally:
        sys.stderr.flush()
        os._exit(status)


def main(kind: str, *rest: str) -> None:
    """Fork and wait, line by line."""
    if kind == "records":
        import alembic.command  # noqa: F401  the first opening of a database asks for it
        import psycopg  # noqa: F401

        import headstock.records.store  # noqa: F401
        import tests.unit.records.drafts  # noqa: F401

        child: Child = write_records
    else:
        child = serve_pages(socket.socket(fileno=int(rest[0])))
    print("ready", flush=True)
    for line in sys.stdin:
        asked = json.loads(line)
        if isinstance(asked, int):
            print(os.waitstatus_to_exitcode(os.waitpid(asked, 0)[1]), flush=True)
        else:
            print(forked(asked, child), flush=True)


if __name__ == "__main__":
    main(*sys.argv[1:])
