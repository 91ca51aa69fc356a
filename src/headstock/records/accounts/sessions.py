"""Sessions: a token of 256 random bits goes to the browser, its digest stays. They end by rest, by age, and when asked."""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import islice
from typing import Any, Final

from sqlalchemy import Connection, delete, insert, or_, select, update

from headstock.records.tables import ACCOUNT, SESSION

TOKEN_BYTES: Final = 32
NOTED_EVERY_S: Final = 60
"""That somebody is there is not written more often."""
A_FEW: Final = 500
"""So many are looked up at once."""
BACKWARDS_S: Final = 120
"""A session that began farther in the future than this was made by another clock, and is none."""


@dataclass(frozen=True, slots=True)
class SessionLimits:
    """After how long without a request, and how long after its beginning, a session ends [s]; common practice, no source."""

    idle_s: int = 30 * 60
    longest_s: int = 12 * 3600


def digest_of(token: str) -> str:
    """What is kept of a token."""
    return hashlib.sha256(f"session\0{token}".encode("utf-8", "surrogatepass")).hexdigest()


def new_token() -> str:
    """256 random bits, as the browser keeps them."""
    return secrets.token_urlsafe(TOKEN_BYTES)


def begin(connection: Connection, token: str, account: str, now_s: int) -> None:
    """Make a session."""
    connection.execute(insert(SESSION).values(token_hash=digest_of(token), account=account, began_s=now_s, seen_s=now_s))


def alive(connection: Connection, token: str, limits: SessionLimits, now_s: int) -> Any | None:
    """The row of a session with its account; None where it ended, or its account is locked or gone."""
    return next(_alive(connection, [digest_of(token)], limits, now_s), None)


def still_alive(connection: Connection, tokens: Iterable[str], limits: SessionLimits, now_s: int) -> frozenset[str]:
    """Those of which the session has not ended; looked up many at once."""
    by_digest = {digest_of(token): token for token in tokens}
    waiting, found = iter(sorted(by_digest)), set[str]()
    while some := list(islice(waiting, A_FEW)):
        found |= {by_digest[row.token_hash] for row in _alive(connection, some, limits, now_s)}
    return frozenset(found)


def _alive(connection: Connection, digests: list[str], limits: SessionLimits, now_s: int) -> Iterator[Any]:
    joined = SESSION.join(ACCOUNT, ACCOUNT.c.name == SESSION.c.account)
    of_session, of_account = (SESSION.c.token_hash, SESSION.c.began_s, SESSION.c.seen_s), (ACCOUNT.c.name, ACCOUNT.c.person)
    asked = select(*of_session, *of_account, ACCOUNT.c.role).select_from(joined)
    for row in connection.execute(asked.where(SESSION.c.token_hash.in_(digests), ACCOUNT.c.is_locked == 0)):
        is_over = now_s - row.began_s >= limits.longest_s or now_s - row.seen_s >= limits.idle_s
        if not is_over and row.began_s - now_s <= BACKWARDS_S:
            yield row


def note_seen(connection: Connection, token: str, now_s: int) -> None:
    """Somebody is there."""
    connection.execute(update(SESSION).where(SESSION.c.token_hash == digest_of(token)).values(seen_s=now_s))


def end(connection: Connection, token: str) -> None:
    """End one."""
    connection.execute(delete(SESSION).where(SESSION.c.token_hash == digest_of(token)))


def end_all(connection: Connection, account: str) -> None:
    """End all of an account."""
    connection.execute(delete(SESSION).where(SESSION.c.account == account))


def forget_old(connection: Connection, limits: SessionLimits, now_s: int) -> None:
    """Remove those that ended by themselves."""
    past = or_(SESSION.c.began_s <= now_s - limits.longest_s, SESSION.c.seen_s <= now_s - limits.idle_s)
    connection.execute(delete(SESSION).where(past))
