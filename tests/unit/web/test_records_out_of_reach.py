"""Where the records cannot be used, pages say what it is and what helps; whose and where they are stands in the log alone."""

from __future__ import annotations

import logging
import re
import time
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from headstock.base.errors import StorageError
from headstock.usecases.serving import Serving
from tests.unit.records.conftest import durable, postgres  # noqa: F401  pytest finds them here
from tests.unit.records.postgres import PostgresServer

NOTE = {"kind": "defect", "text": "stiff", "who": "K. Ray", "when": "2026-01-02 03:04:05"}


@pytest.fixture
def cut_off(
    durable: PostgresServer, tmp_path: Path, monkeypatch: pytest.MonkeyPatch  # noqa: F811
) -> Iterator[tuple[TestClient, tuple[str, ...]]]:  # fmt: skip
    """Pages whose PostgreSQL was killed, and the words that nobody is to read on them."""
    from headstock.web.application import make_app

    monkeypatch.setenv("HEADSTOCK_DATA", str(tmp_path))
    database = durable.new_database()
    with TestClient(make_app(Serving(database=database)), raise_server_exceptions=False) as client:
        assert client.get("/records").status_code == 200
        durable.kill()
        yield client, (str(durable.root), "hs@", "postgresql", "/tmp", "psycopg", "server.log", "5432", str(tmp_path))


def _is_well(answer: Any, secret: tuple[str, ...]) -> None:
    said = unescape(answer.text)
    assert answer.status_code == 503
    assert [word for word in secret if word in said] == []
    assert re.search("cannot be reached|broke off", said), said[:2000]
    assert "ry again" in said and "its own log says more." in said


def test_a_page_says_what_and_the_cure_and_the_log_says_where(
    cut_off: tuple[TestClient, tuple[str, ...]], caplog: pytest.LogCaptureFixture
) -> None:
    client, secret = cut_off
    for _ in range(2):  # the first finds its line cut, the next opens a new one
        answer = client.get("/records?words=stiff&kind=")
        _is_well(answer, secret)
        assert "Not now" in answer.text and 'href="/records?words=stiff&amp;kind="' in answer.text
    _is_well(client.get("/records/audit"), secret)
    _is_well(client.get("/api/v1/records/search"), secret)
    _is_well(client.post("/api/v1/records/note", json=NOTE), secret)
    assert "hs@" in caplog.text and str(secret[0]) in caplog.text


def test_what_was_entered_can_be_sent_again(cut_off: tuple[TestClient, tuple[str, ...]]) -> None:
    client, secret = cut_off
    form = {"name": "J. Tolk", "who": "K. Ray", "why": "left"}
    answer = client.post("/people/person/off", data=form)
    _is_well(answer, secret)
    kept = dict(re.findall(r'type="hidden" name="(\w+)" value="([^"]*)"', answer.text.partition("<main")[2]))
    assert kept == form and "Send it again" in answer.text


def test_a_look_through_all_records_says_no_more(cut_off: tuple[TestClient, tuple[str, ...]]) -> None:
    client, secret = cut_off
    client.post("/records/verify", follow_redirects=False)
    until = time.monotonic() + 30
    while "Looking at every entry" in (text := client.get("/records/verify").text):
        assert time.monotonic() < until
        time.sleep(0.05)
    assert re.search("cannot be reached|broke off", text) and [word for word in secret if word in text] == []


def test_whoever_is_signed_in_reads_no_more_either(client: TestClient, caplog: pytest.LogCaptureFixture) -> None:
    class Broken:
        def session_of(self, _: str) -> None:
            raise StorageError(
                "the disk is full @ /depot/oad/records.db", where="/depot/oad/records.db", why="oad", cure="Make room."
            )

    app: Any = client.app
    app.state.accounts = Broken()
    answer = client.post("/people/person/off", data={"name": "J. Tolk"}, headers={"cookie": "headstock=x"})
    assert answer.status_code == 503 and "oad" not in answer.text and "the disk is full" in answer.text
    assert "Make room." in answer.text and 'name="name" value="J. Tolk"' in answer.text
    with caplog.at_level(logging.ERROR):
        assert "/depot/oad/records.db" in caplog.text
