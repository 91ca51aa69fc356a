"""Whatever is asked of any route, by anybody: an answer, no fault of the inside, no hang.

Some hundreds each time, a hundred thousand where slow tests run; ``HEADSTOCK_HOSTILE`` says how many.
"""

from __future__ import annotations

import logging
import os
import time
from collections import Counter
from collections.abc import Iterator
from typing import Any

import pytest
from starlette.testclient import TestClient

from headstock.records.accounts import sessions
from headstock.usecases.accounts_port import Account
from headstock.usecases.roles import ROLES
from headstock.usecases.serving import Serving
from tests.hostile.drawn_requests import Drawer, Drawn, Known, field_names, kinds_of_event
from tests.hostile.test_any_file import fleet, not_for_ever, texts
from tests.unit.web.api.asked_both_ways import job_text, readings_text

FEW, MANY = 120, 100_000
PATIENCE_S = 1.0
"""What takes longer is answered with 503, and goes on behind."""
LONGEST_S = 60
"""A sheet that is drawn while everything else of a shared machine works may take its time."""
PASSWORD = "lantern geese seven culvert"
NOBODY = "nobody"
BROKEN_UPLOADS = pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")
"""Of a form that breaks off in a file, starlette leaves the file to be collected, which Python remarks on."""
SENT = {"origin": "https://testserver"}


class Asked:
    """The application as others reach it, with somebody of each role signed in, and something on record of everything."""

    def __init__(self, client: TestClient) -> None:
        self.client = client
        self.app: Any = client.app
        self.app.state.long_work.patience_s = PATIENCE_S
        self.statuses = Counter[int]()
        self.tokens = {role: self._signed_in(role) for role in ROLES}
        self.known = self._known()
        self.drawer = Drawer(self.known)

    def _signed_in(self, role: str) -> str:
        """A session without asking for the password: whoever guesses it here keeps the account waiting."""
        token = sessions.new_token()
        with self.app.state.accounts._writes() as connection:
            sessions.begin(connection, token, role, int(time.time()))
        return token

    def send(self, drawn: Drawn, role: str) -> Any:
        """Its answer."""
        cookie = {"cookie": f"__Host-headstock={self.tokens[role]}"} if role in self.tokens else {}
        self.client.cookies.clear()
        headers = {name: value.encode("latin-1") for name, value in {**cookie, **drawn.headers}.items()}
        return self.client.request(drawn.method, drawn.path, content=drawn.body, headers=headers)

    def _led_to(self, path: str, **fields: str) -> str:
        """The place that a form leads to."""
        sent = self.client.post(path, data=fields, headers={**SENT, "cookie": f"__Host-headstock={self.tokens['supervisor']}"})
        assert sent.status_code == 303, sent.text[-500:]
        return str(sent.headers["location"])

    def _known(self) -> Known:
        job = self._led_to("/jobs/ready", name="demo-attach").split("/")[-1]
        sitting = self._led_to("/exercises/attach-plain/set").split("/")[2]
        types = list(fleet().types)
        values = {
            "/sittings/{code}": [sitting, "ABCDE"], "code": [job], "/exercises/{name}/set:name": ["attach-plain"],
            "name": [*types[:3], "demo-attach", job, "crew", "train", "order", "can", "all-2-1", "S. Rook"],
            "form": ["csv", "jsonl", "parquet"], "role": ["driver", "shunter", "guard"], "person": ["J. Tolk", "S. Rook"],
            "who": ["K. Ray", "S. Rook"], "kind": ["", "defect", "test", *kinds_of_event()], "day": ["2026-11-21", ""],
            "from_day": ["2026-11-21", ""], "to_day": ["2026-11-21", ""], "at": ["2026-11-21 08:00:00"], "unit": ["bar"],
            "when": ["2026-11-21 08:00:00"], "first": ["tarn/1", "beck/2", "217/1"], "second": ["tarn/2", "beck/1"],
            "device": ["217/1.brake_pipe_cock"], "key": ["k1", "k2", "217/1.brake_pipe_cock"], "value": ["open", "shut"],
            "test": ["t", "rear applied"], "what": kinds_of_event(), "stage": ["rear applied"], "shows": ["3.4"],
            "do": ["go", "hold", "keep"],
            "place": ["beside 226", "quarry-neck-1"], "back": ["/records"], "theme": ["paper"], "word": ["start", "done"],
            "date": ["2026-11-21"], "events": ["cock touched"], "facts": ["stood_h=3"], "local_rules": ["wending-vale"],
            "step": ["rest", "make", "choices"], "work": ["attach", "detach"], "job": ["all", "demo-attach"], "q1": ["A", "B"],
            "relief": ["driver=J. Tolk"], "faults": ["226/2.brake_pipe_cock=shut"], "types": types[:3], "until_s": ["0", "3"],
            "count": ["2"], "seed": ["1"], "rate": ["10"], "after": ["3"], "block": ["1"], "units": ["217"],
            "text": ["cock stiff"],
        }  # fmt: skip
        for path in field_paths("/sittings/{code}"):
            values[f"{path}:code"] = [sitting]
        files = {"job": job_text("demo-attach"), "readings": readings_text("demo-attach")}
        files |= {kind: some[0] for kind, some in texts().items() if kind not in files}
        return Known(
            {key: some for key, some in values.items() if some}, {**files, "instruction": "1. Shunter: place the board\n"}
        )


def field_paths(begins: str) -> set[str]:
    """Paths of routes that begin so."""
    from tests.hostile.drawn_requests import routes

    return {route.path for route in routes() if route.path.startswith(begins)}


@pytest.fixture(scope="module")
def asked(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Asked]:
    from headstock.web.application import make_app
    from headstock.web.routes import brake_test
    from headstock.wiring import open_accounts

    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("HEADSTOCK_DATA", str(tmp_path_factory.mktemp("data")))
        patch.setattr(brake_test, "begin_signatures", lambda *_: None)
        kept = open_accounts(None)
        for role in reversed(ROLES):
            kept.add(Account(role, f"{role[0].upper()}. Rook", role), PASSWORD, "test")
        app = make_app(Serving(host="0.0.0.0"))
        with TestClient(app, base_url="https://testserver", follow_redirects=False, raise_server_exceptions=False) as client:
            yield Asked(client)


def every(asked: Asked, count: int, caplog: pytest.LogCaptureFixture, first: int = 0) -> None:
    """So many requests, one role after the other."""
    caplog.set_level(logging.ERROR, "headstock.web")
    people = (*ROLES, NOBODY)
    for seed in range(first, first + count):
        drawn, role = asked.drawer.draw(seed), people[seed % len(people)]
        try:
            with not_for_ever(seed, LONGEST_S):
                answer = asked.send(drawn, role)
        except Exception as error:
            error.add_note(f"seed {seed}, {role}: {drawn}"[:3000])
            raise
        asked.statuses[answer.status_code] += 1
        is_well = (answer.status_code < 500 or answer.status_code == 503) and not caplog.records
        assert is_well and "Traceback" not in answer.text, f"seed {seed}, {role}: {answer.status_code} {drawn}"[:3000]
        if role == NOBODY:
            assert answer.status_code >= 300 or drawn.path.startswith(("/sign-in", "/alive", "/service-worker.js")), drawn
        elif drawn.path.startswith(("/sign-out", "/own-password")) and drawn.method == "POST":
            asked.tokens[role] = asked._signed_in(role)


@BROKEN_UPLOADS
def test_whatever_is_asked_is_answered(asked: Asked, caplog: pytest.LogCaptureFixture) -> None:
    every(asked, FEW, caplog)
    assert asked.statuses[200] + asked.statuses[303] > FEW / 10, "hardly anything was understood: nothing is proved"
    assert len(field_names()) > 50


@pytest.mark.slow
@BROKEN_UPLOADS
def test_a_hundred_thousand_requests_are_answered(asked: Asked, caplog: pytest.LogCaptureFixture) -> None:
    every(asked, int(os.environ.get("HEADSTOCK_HOSTILE", MANY)), caplog, first=10**6)
    with caplog.at_level(logging.CRITICAL):
        print(dict(asked.statuses))
