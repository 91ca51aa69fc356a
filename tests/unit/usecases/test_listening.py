"""Where the server may listen: every combination, and every reason at once."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from itertools import product

import pytest

from headstock.usecases.listening import TlsFiles, is_this_computer, listening_refusals, listening_remarks

NOW = datetime(2026, 6, 1, tzinfo=UTC)
GOOD = TlsFiles("c.pem", "k.pem", (), ("depot.example",), NOW - timedelta(days=10), NOW + timedelta(days=80))


@pytest.mark.parametrize(("host", "here"), [
    ("127.0.0.1", True), ("127.9.9.9", True), ("::1", True), ("[::1]", True), ("localhost", True), ("LocalHost", True),
    ("0.0.0.0", False), ("::", False), ("192.168.1.4", False), ("depot.example", False), ("localhost.example", False),
    ("", False), ("127.0.0.1.example", False), ("fe80::1%eth0", False),
])  # fmt: skip
def test_what_counts_as_this_computer(host: str, here: bool) -> None:
    assert is_this_computer(host) is here


@pytest.mark.parametrize(("beyond", "tls", "proxy", "accounts"), list(product((False, True), repeat=4)))
def test_each_combination_is_as_the_page_says(beyond: bool, tls: bool, proxy: bool, accounts: bool) -> None:
    said = listening_refusals("192.168.1.4" if beyond else "127.0.0.1", GOOD if tls else None, proxy, accounts, NOW)
    wanted = int((beyond or proxy) and not accounts) + int(beyond and not tls)
    assert len(said) == wanted, said


def test_all_reasons_come_at_once_and_say_what_to_do() -> None:
    old = TlsFiles("c.pem", "k.pem", ("the key k.pem does not belong to the certificate c.pem",), (), NOW, NOW)
    said = listening_refusals("0.0.0.0", old, False, False, NOW)
    assert len(said) == 3
    assert "accounts first" in said[0] and "does not belong" in said[1] and "ended on 2026-06-01 00:00 UTC" in said[2]
    early = TlsFiles("c.pem", "k.pem", (), (), NOW + timedelta(hours=1), NOW + timedelta(days=80))
    assert "clock is right" in listening_refusals("127.0.0.1", early, False, False, NOW)[0]
    assert "--behind-proxy" in listening_refusals("0.0.0.0", None, False, True, NOW)[0]
    assert "from the proxy" in listening_refusals("0.0.0.0", None, True, True, NOW)[0]


def test_what_ends_soon_or_has_another_name_is_remarked() -> None:
    assert listening_remarks("depot.example", GOOD, NOW) == ()
    assert listening_remarks("0.0.0.0", GOOD, NOW) == ()
    assert "ends on" in listening_remarks("depot.example", GOOD, NOW + timedelta(days=60))[0]
    assert "browsers will warn" in listening_remarks("yard.example", GOOD, NOW)[0]
    wide = TlsFiles("c.pem", "k.pem", (), ("*.example",), None, None)
    assert listening_remarks("yard.example", wide, NOW) == () and listening_remarks("a.yard.example", wide, NOW)
