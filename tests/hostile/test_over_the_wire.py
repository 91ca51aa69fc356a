"""What only a real connection can send: a body in pieces that says a short length, messages to a page that only listens."""

from __future__ import annotations

import socket
from collections.abc import Iterator
from contextlib import suppress
from urllib.parse import urlsplit

import pytest

from headstock.web.guards import MOST_BYTES
from headstock.web.serve import MOST_HEARD
from tests.journeys.browser import served


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    with served(tmp_path_factory.mktemp("data")) as found:
        yield found


def answer_to(address: str, words: bytes) -> bytes:
    """The first line of an answer; the server may close while it is still being talked to."""
    where = urlsplit(address)
    assert where.hostname is not None and where.port is not None
    with socket.create_connection((where.hostname, where.port), timeout=30) as line:
        with suppress(OSError):
            line.sendall(words.replace(b"HERE", where.netloc.encode()))
        return line.recv(4000).partition(b"\r\n")[0]


@pytest.mark.slow
def test_a_body_in_pieces_is_refused_before_it_is_read(address: str) -> None:
    body = b'{"job": "' + b"x" * (MOST_BYTES + 1000) + b'"}'
    pieces = b"%x\r\n%b\r\n0\r\n\r\n" % (len(body), body)
    head = b"POST /api/v1/plan HTTP/1.1\r\nHost: HERE\r\nContent-Type: application/json\r\n"
    for said in (b"Content-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n", b"Transfer-Encoding: chunked\r\n\r\n"):
        assert answer_to(address, head + said + pieces).startswith(b"HTTP/1.1 413")


@pytest.mark.slow
@pytest.mark.parametrize("head", [b"Host: [\r\n", b"Host: \r\n", b"Host: HERE\r\nOrigin: http://[\r\n"])
def test_an_address_that_is_none_is_refused(address: str, head: bytes) -> None:
    assert answer_to(address, b"POST /theme HTTP/1.1\r\n" + head + b"Content-Length: 0\r\n\r\n").startswith(b"HTTP/1.1 403")


@pytest.mark.slow
def test_a_live_page_is_not_talked_to_at_length(address: str) -> None:
    import urllib.request

    from websockets.exceptions import ConnectionClosed
    from websockets.sync.client import connect

    with urllib.request.urlopen(f"{address}/exercises/attach-plain/set", b"", timeout=120) as answer:
        code = answer.url.split("/")[-2]
    with connect(f"{address.replace('http', 'ws', 1)}/sittings/{code}/live") as line:
        line.send("x" * (MOST_HEARD // 2))
        assert "over" in str(line.recv(10))
        line.send("x" * (MOST_HEARD + 1))
        with pytest.raises(ConnectionClosed) as closed:
            for _ in range(1000):
                line.recv(10)
    assert closed.value.rcvd is not None and closed.value.rcvd.code == 1009, "too long (RFC 6455, 7.4.1)"
