"""May the server listen there: beyond this computer only with accounts and an encrypted way. Every reason why not, at once.

Decided before the server starts; the faces only print the reasons and end. It never decides who may do what: see roles.
"""

from __future__ import annotations

import ipaddress
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

SOON: Final = timedelta(days=21)
"""A certificate that ends sooner is remarked upon; common practice, no source."""


@dataclass(frozen=True, slots=True)
class TlsFiles:
    """What was found in the two files for TLS: every fault in words; else from when until when the certificate is good (UTC)."""

    certificate: str
    key: str
    faults: tuple[str, ...] = ()
    names: tuple[str, ...] = ()
    since: datetime | None = None
    until: datetime | None = None


def is_this_computer(host: str) -> bool:
    """Whether only programs of this very computer can reach an address; a name counts as beyond unless it is `localhost`."""
    try:
        return ipaddress.ip_address(host.strip("[]").partition("%")[0]).is_loopback
    except ValueError:
        return host.casefold() == "localhost"


def listening_refusals(
    host: str, tls: TlsFiles | None, proxy: bool, has_accounts: bool, now: datetime | None = None
) -> tuple[str, ...]:
    """Why the server may not listen at ``host``; nothing: it may.

    ``tls``: the files given, None without; ``proxy``: others reach it through a proxy on this computer, which encrypts;
    ``has_accounts``: an administrator can sign in; ``now``: with its zone, else the clock's.
    """
    return tuple(_refusals(host, tls, proxy, has_accounts, now or datetime.now().astimezone()))


def _refusals(host: str, tls: TlsFiles | None, proxy: bool, has_accounts: bool, now: datetime) -> Iterator[str]:
    beyond = not is_this_computer(host)
    if (beyond or proxy) and not has_accounts:
        yield ("others could reach it and nobody needs to sign in: make the first administrator with "
               "headstock accounts first NAME")  # fmt: skip
    if beyond and tls is None and proxy:
        yield (f"the way from the proxy to {host} would not be encrypted: listen at 127.0.0.1 beside the proxy, or give "
               "--tls-certificate and --tls-key too")  # fmt: skip
    elif beyond and tls is None:
        yield (f"what goes to and from {host} would not be encrypted: give --tls-certificate and --tls-key, or listen at "
               "127.0.0.1 with --behind-proxy")  # fmt: skip
    if tls is not None:
        yield from tls.faults
        yield from _of_time(tls, now)


def _of_time(tls: TlsFiles, now: datetime) -> Iterator[str]:
    if tls.until is not None and now >= tls.until:
        yield f"the certificate {tls.certificate} ended on {_day(tls.until)}: get a new one"
    if tls.since is not None and now < tls.since:
        yield f"the certificate {tls.certificate} begins only on {_day(tls.since)}: look whether this computer's clock is right"


def listening_remarks(host: str, tls: TlsFiles | None, now: datetime | None = None) -> tuple[str, ...]:
    """What whoever starts the server should know though it may listen."""
    now = now or datetime.now().astimezone()
    said = []
    if tls is not None and tls.until is not None and now < tls.until < now + SOON:
        said.append(f"the certificate {tls.certificate} ends on {_day(tls.until)}")
    is_everywhere = host in ("0.0.0.0", "::", "[::]")
    if tls is not None and tls.names and not is_everywhere and not any(_covers(name, host) for name in tls.names):
        said.append(f"the certificate is for {', '.join(tls.names)}, not for {host}: browsers will warn")
    return tuple(said)


def _covers(name: str, host: str) -> bool:
    here, there = name.casefold(), host.casefold().strip("[]")
    return here == there or (here.startswith("*.") and here[1:] == there[there.find(".") :])


def _day(when: datetime) -> str:
    return when.strftime("%Y-%m-%d %H:%M UTC")
