"""Which of many sessions go on, asked at once."""

from __future__ import annotations

import secrets

from sqlalchemy import event, insert, select, update

from headstock.records.accounts import sessions
from headstock.records.accounts.keeping import StoredAccounts
from headstock.records.accounts.sessions import A_FEW, digest_of
from headstock.records.store import StoredRecords
from headstock.records.tables import ACCOUNT, SESSION

NOW_S = 1_800_000_000


def _sessions(records: StoredRecords, many: int) -> list[str]:
    """So many sessions that just began, of an account without a password that could be typed."""
    tokens = [secrets.token_urlsafe(8) for _ in range(many)]
    with records.engine.connect().execution_options(writes=True) as connection, connection.begin():
        for name in ("iden", "tolk"):
            connection.execute(insert(ACCOUNT).values(name=name, person=name, role="crew", password_hash="", is_locked=0))
        for token in tokens:
            sessions.begin(connection, token, "iden", NOW_S)
    return tokens


def _change(records: StoredRecords, token: str, **values: object) -> None:
    with records.engine.connect().execution_options(writes=True) as connection, connection.begin():
        connection.execute(update(SESSION).where(SESSION.c.token_hash == digest_of(token)).values(**values))


def test_every_end_of_a_session_is_seen_and_nothing_is_noted(records: StoredRecords) -> None:
    accounts = StoredAccounts(records, clock=lambda: NOW_S + 90.0)
    gone, old, at_rest, ahead, locked, fine = tokens = _sessions(records, 6)
    assert accounts.still_signed_in(tokens) == set(tokens)
    accounts.sign_out(gone)
    _change(records, old, began_s=NOW_S - 12 * 3600)
    _change(records, at_rest, seen_s=NOW_S - 30 * 60)
    _change(records, ahead, began_s=NOW_S + 3600)
    _change(records, locked, account="tolk")
    with records.engine.connect().execution_options(writes=True) as connection, connection.begin():
        connection.execute(update(ACCOUNT).where(ACCOUNT.c.name == "tolk").values(is_locked=1))
    assert accounts.still_signed_in([*tokens, "nobody's", "\0", "\ud800"]) == {fine}
    with records.engine.connect() as connection:
        seen = connection.execute(select(SESSION.c.seen_s).where(SESSION.c.token_hash == digest_of(fine))).scalar_one()
    assert seen == NOW_S, "asked by a program, not by somebody who is there"


def test_many_are_looked_up_in_few_statements(records: StoredRecords) -> None:
    tokens = _sessions(records, A_FEW + 20)
    accounts, said = StoredAccounts(records, clock=lambda: float(NOW_S)), list[str]()
    event.listen(records.engine, "before_cursor_execute", lambda *what: said.append(what[2]))
    assert accounts.still_signed_in(tokens) == set(tokens)
    assert sum("FROM session" in one for one in said) == sum("SELECT" in one for one in said) == 2
