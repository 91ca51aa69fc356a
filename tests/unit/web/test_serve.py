"""Before anything listens: refusals with one headline and every reason; the records are opened once."""

from __future__ import annotations

from pathlib import Path

import pytest
from starlette.requests import HTTPConnection
from starlette.types import Receive, Scope, Send

from headstock.base.errors import InputError
from headstock.usecases.serving import Serving
from headstock.web import serve as serving
from headstock.web.signing_in import address_of_request
from tests.unit.web.apart import run_apart


def test_a_refusal_says_what_was_not_done_and_then_why_each_reason_once(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("HEADSTOCK_DATA", str(tmp_path))
    with pytest.raises(InputError) as refused:
        serving.serve(Serving(host="0.0.0.0", port=0))
    assert refused.value.what == "not served"
    reasons = [fault.what for fault in refused.value.faults]
    assert len(reasons) == len(set(reasons)) > 1


def test_with_accounts_the_records_are_opened_once(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    from headstock import wiring
    from headstock.web import application

    monkeypatch.setenv("HEADSTOCK_DATA", str(tmp_path))
    opened: list[object] = []

    def counted(database: str | None) -> object:
        opened.append(wiring.open_records(database))
        return opened[-1]

    monkeypatch.setattr(serving, "open_records", counted)
    monkeypatch.setattr(application, "open_records", counted)
    monkeypatch.setattr(serving, "listening_refusals", lambda *_: [])
    monkeypatch.setattr(serving, "listening_remarks", lambda *_: [])
    monkeypatch.setattr(serving.uvicorn.Server, "run", lambda *_, sockets: [one.close() for one in sockets])
    assert serving.serve(Serving(host="0.0.0.0", port=0, behind_proxy=True)) == 0
    assert len(opened) == 1
    opened[0].close()  # type: ignore[attr-defined]


@pytest.mark.parametrize(("peer", "said", "proxy", "wanted"), [
    ("127.0.0.1", "203.0.113.7", True, "203.0.113.7"), ("127.0.0.1", "1.2.3.4, 203.0.113.7", True, "203.0.113.7"),
    ("127.0.0.1", "", True, "127.0.0.1"), ("127.0.0.1", "1.2.3.4", False, "127.0.0.1"),
    ("203.0.113.9", "1.2.3.4", True, "203.0.113.9"),
])  # fmt: skip
def test_only_a_proxy_on_this_computer_is_believed_where_a_request_comes_from(
    peer: str, said: str, proxy: bool, wanted: str
) -> None:  # fmt: skip
    heard: list[str] = []

    async def app(scope: Scope, _receive: Receive, _send: Send) -> None:
        heard.append(address_of_request(HTTPConnection(scope)))

    settings = serving.settings_of(app, Serving(behind_proxy=proxy))
    settings.load()
    scope = {"type": "http", "scheme": "http", "client": (peer, 4000),
             "headers": [(b"x-forwarded-for", said.encode())] if said else []}  # fmt: skip
    run_apart(settings.loaded_app(scope, None, None))  # type: ignore[arg-type]
    assert heard == [wanted]
