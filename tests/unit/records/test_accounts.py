"""Accounts: sign in, sessions that end, limits that survive, one answer for whatever was wrong, everything on record."""

from __future__ import annotations

import statistics
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from argon2 import PasswordHasher, Type, extract_parameters
from sqlalchemy import event, insert, text
from sqlalchemy.exc import DBAPIError

from headstock.base.errors import InputError, StorageError
from headstock.records.accounts import attempts
from headstock.records.accounts.keeping import StoredAccounts
from headstock.records.accounts.passwords import Passwords
from headstock.records.accounts.sessions import SessionLimits
from headstock.records.database import told
from headstock.records.store import StoredRecords
from headstock.records.tables import ACCOUNT
from headstock.usecases.accounts_port import WRONG, Account, NotSignedIn, SignedIn
from headstock.usecases.records_port import Search

RIGHT, OTHER = "seven wet lamps on a hook", "nine dry boards in a shed"
QUICK = PasswordHasher(time_cost=1, memory_cost=64, parallelism=1)
"""For tests that are not about hashing."""


class Clock:
    """A clock that stands until it is moved."""

    def __init__(self) -> None:
        self.now_s = 1_800_000_000.0

    def __call__(self) -> float:
        return self.now_s


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def accounts(records: StoredRecords, clock: Clock) -> Iterator[StoredAccounts]:
    made = StoredAccounts(records, passwords=Passwords(QUICK), clock=clock)
    made.add(Account("oad", "P. Oad", "administrator"), RIGHT, "a test")
    made.add(Account("iden", "M. Iden", "crew"), RIGHT, "a test")
    yield made


def signed_in(accounts: StoredAccounts, name: str = "iden", password: str = RIGHT, address: str = "192.0.2.1") -> SignedIn:
    found = accounts.sign_in(name, password, address)
    assert isinstance(found, SignedIn)
    return found


def refused(accounts: StoredAccounts, name: str, password: str = "wrong", address: str = "192.0.2.1") -> NotSignedIn:
    found = accounts.sign_in(name, password, address)
    assert isinstance(found, NotSignedIn)
    return found


def test_whoever_has_the_password_gets_a_session_and_a_new_token_each_time(accounts: StoredAccounts) -> None:
    first = signed_in(accounts, "IDEN ")
    assert first.session.account == Account("iden", "M. Iden", "crew")
    assert accounts.session_of(first.token) == first.session
    assert len(first.token) == 43, "32 bytes in base64url"
    second = accounts.sign_in("iden", RIGHT, "192.0.2.1", former_token=first.token)
    assert isinstance(second, SignedIn) and second.token != first.token
    assert accounts.session_of(first.token) is None, "the former one ended"
    accounts.sign_out(second.token)
    assert accounts.session_of(second.token) is None
    assert accounts.session_of("") is None and accounts.session_of("x" * 43) is None


def test_the_database_holds_neither_token_nor_password(accounts: StoredAccounts) -> None:
    token = signed_in(accounts).token
    refused(accounts, "pass word typed here")
    held = []
    with accounts.records.engine.connect() as connection:
        for table in ("account", "session", "attempt", "entry", "mention"):
            held += [str(tuple(row)) for row in connection.execute(text(f"SELECT * FROM {table}"))]
    everything = "\n".join(held)
    assert "iden" in everything
    for secret in (token, RIGHT, "pass word typed here"):
        assert secret not in everything


def test_a_session_ends_by_rest_and_by_age(accounts: StoredAccounts, clock: Clock) -> None:
    token = signed_in(accounts).token
    clock.now_s += 1799
    assert accounts.session_of(token) is not None
    clock.now_s += 1799
    assert accounts.session_of(token) is not None, "somebody was there meanwhile"
    clock.now_s += 1801
    assert accounts.session_of(token) is None
    short = StoredAccounts(accounts.records, SessionLimits(100, 150), Passwords(QUICK), clock)
    token = signed_in(short).token
    clock.now_s += 90
    assert short.session_of(token) is not None
    clock.now_s += 61
    assert short.session_of(token) is None, "too old, though not at rest"


def test_a_session_from_a_clock_that_was_ahead_is_none(accounts: StoredAccounts, clock: Clock) -> None:
    token = signed_in(accounts).token
    clock.now_s -= 3600
    assert accounts.session_of(token) is None


def test_password_role_and_lock_end_all_sessions_at_once(accounts: StoredAccounts) -> None:
    for end in (lambda: accounts.set_password("iden", RIGHT, "a test"), lambda: accounts.change("iden", "a test", "supervisor"),
                lambda: accounts.change("iden", "a test", is_locked=True)):  # fmt: skip
        tokens = [signed_in(accounts).token for _ in range(2)]
        end()
        assert [accounts.session_of(token) for token in tokens] == [None, None]
    assert refused(accounts, "iden", RIGHT).words == WRONG, "locked, and not told"
    accounts.change("iden", "a test", is_locked=False)
    token = signed_in(accounts).token
    assert accounts.change_own_password(token, "wrong", OTHER, "192.0.2.1") == NotSignedIn()
    assert accounts.session_of(token) is not None
    with pytest.raises(InputError, match="fewer than 12"):
        accounts.change_own_password(token, RIGHT, "short", "192.0.2.1")
    assert accounts.change_own_password(token, RIGHT, OTHER, "192.0.2.1") is None
    assert accounts.session_of(token) is None
    refused(accounts, "iden", RIGHT)
    signed_in(accounts, password=OTHER)


def test_the_answer_is_one_whatever_was_wrong(accounts: StoredAccounts) -> None:
    accounts.add(Account("tolk", "J. Tolk", "crew"), RIGHT, "a test")
    accounts.change("tolk", "a test", is_locked=True)
    tries = [("nobody", RIGHT), ("iden", "wrong"), ("tolk", RIGHT), ("tolk", "wrong"), ("iden", "x" * 100_000), ("\0", "\ud800")]
    assert {refused(accounts, *one, address=f"198.51.100.{number}") for number, one in enumerate(tries)} == {NotSignedIn()}
    assert NotSignedIn().words == WRONG


def test_unknown_wrong_and_locked_do_the_same_work(accounts: StoredAccounts, monkeypatch: pytest.MonkeyPatch) -> None:
    """The same statements and one hash each: no time tells them apart."""
    accounts.change("iden", "a test", is_locked=True)
    work: list[str] = []

    @event.listens_for(accounts.records.engine, "before_cursor_execute")
    def _count(_connection: object, _cursor: object, statement: str, *_: object) -> None:
        work.append(statement)

    plain = accounts.records.append
    monkeypatch.setattr(accounts.records, "append", lambda drafts: (work.append("append"), plain(drafts))[1])
    verify = QUICK.verify
    monkeypatch.setattr(PasswordHasher, "verify", lambda _self, kept, typed: (work.append("hash"), verify(kept, typed))[1])
    seen = []
    for name, password in (("nobody", RIGHT), ("oad", "wrong"), ("iden", RIGHT), ("iden", "wrong")):
        refused(accounts, name)
        work.clear()
        refused(accounts, name, password)
        seen.append(list(work))
    assert seen[0].count("hash") == 1 and seen[0].count("append") == 1
    assert seen[1] == seen[0] and seen[2] == seen[0] and seen[3] == seen[0]


def test_unknown_and_wrong_take_the_same_time(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """By the clock, with the hash that people get. Without the work for nobody's password the ratio is beyond ten."""
    monkeypatch.setattr(attempts, "FREE_OF_ACCOUNT", 1000)
    monkeypatch.setattr(attempts, "FREE_OF_ADDRESS", 1001)
    accounts = StoredAccounts(StoredRecords(folder=tmp_path))
    accounts.add(Account("oad", "P. Oad", "administrator"), RIGHT, "a test")
    took_s: dict[str, list[float]] = {"oad": [], "nobody": []}
    for _ in range(9):
        for name, times in took_s.items():
            began = time.thread_time()
            refused(accounts, name)
            times.append(time.thread_time() - began)
    known, unknown = (statistics.median(times) for times in took_s.values())
    assert 0.6 < unknown / known < 1.6, (known, unknown)
    accounts.records.close()


@pytest.mark.outside(source="RFC 9106", clause="section 4, second recommended option", status="from memory")
def test_passwords_are_kept_as_argon2id_with_the_recommended_cost() -> None:
    kept = Passwords().hash_of(RIGHT)
    found = extract_parameters(kept)
    assert (found.type, found.memory_cost, found.time_cost, found.parallelism) == (Type.ID, 64 * 1024, 3, 4)
    assert (found.salt_len, found.hash_len) == (16, 32)


def test_a_hash_made_with_less_is_made_anew_at_the_next_sign_in(records: StoredRecords) -> None:
    StoredAccounts(records, passwords=Passwords(QUICK)).add(Account("oad", "P. Oad", "administrator"), RIGHT, "a test")
    accounts = StoredAccounts(records)
    for _ in range(2):
        signed_in(accounts, "oad")
        with records.engine.connect() as connection:
            kept = connection.execute(text("SELECT password_hash FROM account")).scalar()
        assert extract_parameters(str(kept)).memory_cost == 64 * 1024


def test_too_many_tries_wait_longer_and_longer_known_name_or_not(accounts: StoredAccounts, clock: Clock) -> None:
    waits = {}
    for name in ("iden", "nobody"):
        waits[name] = []
        for number in range(9):
            waits[name].append(refused(accounts, name, address=f"198.51.100.{number}").wait_s)
            again = StoredAccounts(accounts.records, passwords=Passwords(QUICK), clock=clock)  # a restart forgives nothing
            if waits[name][-1] == 0 and number >= 4:
                waits[name][-1] = refused(again, name, RIGHT, "198.51.100.99").wait_s
                clock.now_s += waits[name][-1]
    assert waits["iden"] == waits["nobody"] == [0, 0, 0, 0, 15, 30, 60, 120, 240]
    assert "Wait 15 s" in NotSignedIn(15).words
    signed_in(accounts, address="198.51.100.200")
    assert [refused(accounts, "iden", address="198.51.100.201").wait_s for _ in range(5)] == [0] * 5, "begun anew"


def test_an_address_that_tries_many_names_waits_and_the_right_password_does_not_help_it(
    accounts: StoredAccounts, clock: Clock
) -> None:
    for number in range(attempts.FREE_OF_ADDRESS):
        address = f"2001:db8:1:2::{number:x}"  # one network, one owner
        assert refused(accounts, f"name{number}", address=address).wait_s == 0
    found = accounts.sign_in("iden", RIGHT, "2001:db8:1:2::ffff")
    assert isinstance(found, NotSignedIn) and found.wait_s == 15
    signed_in(accounts, address="2001:db8:1:3::1")
    clock.now_s += 3600 * 24
    signed_in(accounts, address="2001:db8:1:2::ffff")


def test_guesses_sent_all_at_once_are_counted_before_they_are_looked_at(accounts: StoredAccounts) -> None:
    with ThreadPoolExecutor(8) as pool:
        found = list(pool.map(lambda number: accounts.sign_in("iden", f"guess {number}", f"198.51.100.{number}"), range(24)))
    assert sum(isinstance(one, NotSignedIn) and one.wait_s == 0 for one in found) == attempts.FREE_OF_ACCOUNT


def test_a_clock_that_goes_back_neither_locks_out_for_ever_nor_forgives(accounts: StoredAccounts, clock: Clock) -> None:
    for number in range(5):
        refused(accounts, "iden", address=f"198.51.100.{number}")
    clock.now_s -= 86400 * 365
    assert refused(accounts, "iden", address="198.51.100.50").wait_s == 0
    assert refused(accounts, "iden", address="198.51.100.51").wait_s == 30
    clock.now_s += 31
    signed_in(accounts, address="198.51.100.52")


def test_everything_is_on_record_in_the_chain(accounts: StoredAccounts) -> None:
    token = signed_in(accounts).token
    refused(accounts, "iden")
    refused(accounts, "secret typed as a name")
    accounts.sign_out(token)
    accounts.change("iden", "oad", "instructor")
    said = [(one.draft.body["who"], one.draft.body["act"], one.draft.body["outcome"])
            for one in accounts.records.search(Search(kind="audit"))]  # fmt: skip
    assert said == [("oad", "change an account", "done"), ("iden", "sign out", "done"), ("", "sign in", "refused"),
                    ("iden", "sign in", "refused"), ("iden", "sign in", "done"), ("a test", "add an account", "done"),
                    ("a test", "add an account", "done")]  # fmt: skip
    assert [one.draft.kind for one in accounts.records.search(Search())] == ["key"], "traces do not stand among records"
    assert accounts.records.search(Search(("iden",))) == ()
    assert accounts.records.verify().fault == ""


def test_an_account_changed_past_headstock_is_seen(accounts: StoredAccounts) -> None:
    assert [one.doubt for one in accounts.every()] == ["", ""]
    with accounts.records.engine.begin() as connection:
        connection.execute(text("UPDATE account SET role = 'administrator' WHERE name = 'iden'"))
        connection.execute(text("INSERT INTO account VALUES ('x9', 'x9', 'crew', '', 0)"))
    assert [one.doubt for one in accounts.every()] == ["on record as crew: changed past Headstock", "",
                                                       "not on record: made past Headstock"]  # fmt: skip
    assert refused(accounts, "x9", "").words == WRONG, "an empty hash opens nothing"


def test_a_lock_that_somebody_else_set_meanwhile_stays(accounts: StoredAccounts, monkeypatch: pytest.MonkeyPatch) -> None:
    stale = accounts.named("iden")
    accounts.change("iden", "oad", is_locked=True)
    with monkeypatch.context() as late:
        late.setattr(accounts, "named", lambda name: stale)
        with pytest.raises(InputError, match="changed meanwhile"):
            accounts.change("iden", "oad", "supervisor")
    here = accounts.named("iden")
    assert here.is_locked and here.role == "crew"
    assert {account.name: account.doubt for account in accounts.every()}["iden"] == "", "nothing of the try is on record"


def test_the_last_administrator_stays_and_nothing_of_the_try_is_kept(accounts: StoredAccounts) -> None:
    before = accounts.records.verify().entries
    for change in (lambda: accounts.change("oad", "a test", "crew"), lambda: accounts.change("oad", "a test", is_locked=True)):
        with pytest.raises(InputError, match="nobody would be left"):
            change()
    assert accounts.records.verify().entries == before and accounts.has_administrator()
    accounts.change("iden", "a test", "administrator")
    accounts.change("oad", "a test", "crew")
    assert [(one.name, one.role) for one in accounts.every()] == [("iden", "administrator"), ("oad", "crew")]


@pytest.mark.parametrize(("name", "role", "password", "said"), [
    ("oad", "crew", RIGHT, "this name is taken"), ("O Oad", "crew", RIGHT, "no name for an account"),
    ("tolk", "driver", RIGHT, "no such role"), ("tolk", "crew", "eleven sign", "fewer than 12 signs"),
    ("tolk", "crew", "abababababababab", "easily guessed"), ("tolk", "crew", "my-TOLK-password", "easily guessed"),
    ("tolk", "crew", "x" * 300, "more than 256"), ("tolk", "crew", "seven wet\0lamps on", "cannot be typed"),
])  # fmt: skip
def test_what_cannot_be_an_account_is_refused_and_the_password_not_shown(
    accounts: StoredAccounts, name: str, role: str, password: str, said: str
) -> None:
    before = accounts.records.verify().entries
    with pytest.raises(InputError, match=said) as caught:
        accounts.add(Account(name, "", role), password, "a test")  # type: ignore[arg-type]
    assert password not in caught.value.text() + str(caught.value.as_json())
    assert accounts.records.verify().entries == before


def test_a_password_typed_on_another_keyboard_is_the_same(accounts: StoredAccounts) -> None:
    accounts.set_password("iden", "grünes Licht für Gleis 4", "a test")
    signed_in(accounts, password="gru\u0308nes Licht fu\u0308r Gleis 4")


def test_a_password_changed_while_somebody_signs_in_with_the_old_one_leaves_no_session(
    accounts: StoredAccounts, monkeypatch: pytest.MonkeyPatch
) -> None:
    plain = accounts._passwords.is_right

    def slow(kept: str | None, password: str) -> bool:
        right = plain(kept, password)
        monkeypatch.setattr(accounts._passwords, "is_right", plain)
        accounts.set_password("iden", OTHER, "a test")
        return right

    monkeypatch.setattr(accounts._passwords, "is_right", slow)
    assert refused(accounts, "iden", RIGHT) == NotSignedIn()
    with accounts.records.engine.connect() as connection:
        assert connection.execute(text("SELECT count(*) FROM session")).scalar() == 0


def test_who_cannot_be_put_on_record_is_not_let_in(accounts: StoredAccounts, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise StorageError("the disk is full")

    monkeypatch.setattr(accounts.records, "add", full)
    with pytest.raises(StorageError):
        accounts.sign_in("iden", RIGHT, "192.0.2.1")
    with accounts.records.engine.connect() as connection:
        assert connection.execute(text("SELECT count(*) FROM session")).scalar() == 0


def test_secrets_do_not_show_in_the_words_of_a_session(accounts: StoredAccounts) -> None:
    found = signed_in(accounts)
    assert found.token not in repr(found)


def test_a_new_file_of_records_is_for_its_owner_alone(tmp_path: Path) -> None:
    accounts = StoredAccounts(StoredRecords(folder=tmp_path / "data"), passwords=Passwords(QUICK))
    accounts.add(Account("oad", "P. Oad", "administrator"), RIGHT, "a test")
    modes = {path.name: path.stat().st_mode & 0o077 for path in (tmp_path / "data", *(tmp_path / "data").iterdir())}
    assert {"records.db", "records.db-wal", "signing-key.pem"} <= set(modes) and set(modes.values()) == {0}
    accounts.records.close()


def test_an_error_of_the_database_shows_no_values(records: StoredRecords) -> None:
    secret = "$argon2id$v=19$m=64,t=1,p=1$c2FsdHNhbHQ$aGFzaGhhc2g"
    with pytest.raises(StorageError) as caught, told(records.where), records.engine.begin() as connection:
        connection.execute(insert(ACCOUNT).values(name="iden", person="x", role=None, password_hash=secret, is_locked=0))
    assert secret not in caught.value.text() + str(caught.value.as_json())
    with pytest.raises(DBAPIError) as plain, records.engine.begin() as connection:
        connection.execute(text("INSERT INTO account VALUES (:secret, 1)"), {"secret": secret})
    assert "[parameters" not in str(plain.value), "nor does whatever prints the error as it came"
