"""Tries at signing in are counted by account and by address, before the password is looked at, and survive a restart.

A name that nobody has is counted like one that somebody has. Names are kept as digests: people type passwords into the
wrong field.
"""

from __future__ import annotations

import hashlib
import ipaddress
from typing import Final

from sqlalchemy import Connection, delete, insert, select, update

from headstock.records.tables import ATTEMPT, HEAD

FREE_OF_ACCOUNT: Final = 5
"""Wrong tries before an account has to wait; common practice, no source. Then the wait doubles with each."""
FREE_OF_ADDRESS: Final = 25
"""The same for an address: a depot may share one."""
FIRST_WAIT_S: Final = 15
LONGEST_WAIT_S: Final = 900
FORGOTTEN_S: Final = 3600
"""Without a wrong try for so long, counting begins anew."""


def buckets_of(name: str, address: str) -> dict[str, int]:
    """What a try is counted under, and how many are free."""
    return {_digest("account", name): FREE_OF_ACCOUNT, _digest("address", _plain_address(address)): FREE_OF_ADDRESS}


def _digest(what: str, words: str) -> str:
    return hashlib.sha256(f"{what}\0{words}".encode("utf-8", "surrogatepass")).hexdigest()


def _plain_address(address: str) -> str:
    """Of a long address (IPv6) the network, which one owner has as a whole."""
    try:
        found = ipaddress.ip_address(address)
    except ValueError:
        return "unknown"
    if isinstance(found, ipaddress.IPv6Address):
        return str(found.ipv4_mapped or ipaddress.ip_network((int(found) >> 64 << 64, 64)))
    return str(found)


def take_a_try(connection: Connection, buckets: dict[str, int], now_s: int) -> int:
    """Count a try as wrong in advance; returns how long to wait [s], and counts nothing then."""
    connection.execute(select(HEAD.c.one).with_for_update())  # others wait here, also for counts that are not there yet
    rows = {row.bucket: row for row in connection.execute(select(ATTEMPT).where(ATTEMPT.c.bucket.in_(sorted(buckets))))}
    waits_s = [int(row.until_s) - now_s for row in rows.values()]
    wait_s = max((wait_s for wait_s in waits_s if wait_s <= LONGEST_WAIT_S), default=0)  # longer: the clock went back
    if wait_s > 0:
        return int(wait_s)
    for bucket, free in sorted(buckets.items()):
        row = rows.get(bucket)
        is_fresh = row is None or now_s - row.last_s > FORGOTTEN_S
        failures = 1 if row is None or is_fresh else row.failures + 1
        until_s = now_s + _wait_s(failures - free) if failures >= free else 0
        values = {"failures": failures, "last_s": now_s, "until_s": until_s}
        if row is None:
            connection.execute(insert(ATTEMPT).values(bucket=bucket, **values))
        else:
            connection.execute(update(ATTEMPT).where(ATTEMPT.c.bucket == bucket).values(**values))
    return 0


def _wait_s(over: int) -> int:
    return min(LONGEST_WAIT_S, FIRST_WAIT_S << min(over, 10))


def was_right(connection: Connection, buckets: dict[str, int]) -> None:
    """The try just counted was right: the account begins anew, the address has this one less."""
    for bucket, free in sorted(buckets.items()):
        here = ATTEMPT.c.bucket == bucket
        if free == FREE_OF_ACCOUNT:
            connection.execute(delete(ATTEMPT).where(here))
        else:
            connection.execute(update(ATTEMPT).where(here).values(failures=ATTEMPT.c.failures - 1, until_s=0))


def forget_old(connection: Connection, now_s: int) -> None:
    """Remove what counts no more."""
    connection.execute(delete(ATTEMPT).where(ATTEMPT.c.last_s < now_s - FORGOTTEN_S, ATTEMPT.c.until_s < now_s))
