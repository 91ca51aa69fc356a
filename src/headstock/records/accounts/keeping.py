"""Keeping accounts: made, changed, locked; each change first on record in the chain, against which the table is held."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, cast

from sqlalchemy import Connection, func, insert, select, update

from headstock.base.errors import Fault, InputError
from headstock.base.nearest import nearest_of
from headstock.records.accounts import sessions
from headstock.records.accounts.signing_in import SigningIn
from headstock.records.database import told
from headstock.records.tables import ACCOUNT
from headstock.usecases.account_rules import check_name, check_password, could_be_name, plain_name
from headstock.usecases.accounts_port import Account, NotSignedIn, Trace
from headstock.usecases.records_port import Draft, Search
from headstock.usecases.roles import ROLES, Role
from headstock.usecases.traces import trace_draft


class StoredAccounts(SigningIn):
    """Accounts in the database of records."""

    def has_administrator(self) -> bool:
        """Whether anybody could sign in and keep accounts."""
        with told(self.records.where), self.records.engine.connect() as connection:
            return _administrators(connection) > 0

    def every(self) -> tuple[Account, ...]:
        """All accounts by name, with what differs from what is on record."""
        with told(self.records.where), self.records.engine.connect() as connection:
            rows = connection.execute(select(ACCOUNT).order_by(ACCOUNT.c.name)).all()
        return tuple(replace(_account(row), doubt=self._doubt_of(row)) for row in rows)

    def add(self, account: Account, password: str, by: str) -> None:
        """Make one."""
        name = plain_name(account.name)
        check_name(name)
        check_role(account.role)
        check_password(password, name)
        made = replace(account, name=name, person=account.person.strip() or name, is_locked=False)
        kept = self._passwords.hash_of(password)

        def beside(connection: Connection) -> None:
            if connection.execute(select(ACCOUNT.c.name).where(ACCOUNT.c.name == name)).first() is not None:
                raise InputError(Fault("this name is taken", path="NAME", found=name, expected="a name that nobody has"),
                                 cure="headstock accounts list shows them.")  # fmt: skip
            values = {"name": name, "person": made.person, "role": made.role, "password_hash": kept, "is_locked": 0}
            connection.execute(insert(ACCOUNT).values(**values))

        self.records.append_beside([_change_draft(made, by, "add an account")], beside)

    def change(self, name: str, by: str, role: Role | None = None, is_locked: bool | None = None) -> Account:
        """Another role, locked or not; ends its sessions. Raises InputError where somebody else changed it meanwhile."""
        if role is not None:
            check_role(role)
        before = self.named(name)
        after = replace(before, role=role or before.role, is_locked=before.is_locked if is_locked is None else is_locked)

        def beside(connection: Connection) -> None:
            values = {"role": after.role, "is_locked": int(after.is_locked)}
            as_seen = (ACCOUNT.c.name == before.name, ACCOUNT.c.role == before.role, ACCOUNT.c.is_locked == int(before.is_locked))
            if connection.execute(update(ACCOUNT).where(*as_seen).values(**values)).rowcount != 1:
                fault = Fault("the account was changed meanwhile", found=after.name, expected="an account as it was looked at")
                raise InputError(fault, cure="Look at it again, then change it.")
            if _is_administrator(before) and _administrators(connection) == 0:
                fault = Fault("nobody would be left to keep accounts", found=after.name, expected="another administrator first")
                raise InputError(fault, cure="Make another administrator, then change this one.")
            sessions.end_all(connection, after.name)

        self.records.append_beside([_change_draft(after, by, "change an account")], beside)
        return after

    def set_password(self, name: str, password: str, by: str) -> None:
        """Set it and end all sessions."""
        account = self.named(name)
        check_password(password, account.name)
        kept = self._passwords.hash_of(password)

        def beside(connection: Connection) -> None:
            connection.execute(update(ACCOUNT).where(ACCOUNT.c.name == account.name).values(password_hash=kept))
            sessions.end_all(connection, account.name)

        self.records.append_beside([trace_draft(Trace(by, "set a password", account.name))], beside)

    def change_own_password(self, token: str, old: str, new: str, address: str) -> NotSignedIn | None:
        """None: changed, and every session of the account ended."""
        session = self.session_of(token)
        if session is None:
            return NotSignedIn()
        name = session.account.name
        check_password(new, name)
        row, wait_s = self._tried(name, old, address, lambda _: None, "change own password")
        if row is None:
            return NotSignedIn(wait_s)
        self.set_password(name, new, name)
        return None

    def named(self, name: str) -> Account:
        """One account. Raises InputError."""
        wanted = plain_name(name) if could_be_name(plain_name(name)) else ""
        with told(self.records.where), self.records.engine.connect() as connection:
            row = connection.execute(select(ACCOUNT).where(ACCOUNT.c.name == wanted)).first()
            names = connection.execute(select(ACCOUNT.c.name)).scalars().all()
        if row is None:
            raise InputError(Fault("no such account", path="NAME", found=name, expected="an account",
                                   nearest=nearest_of(name, names)), cure="headstock accounts list shows them.")  # fmt: skip
        return _account(row)

    def _doubt_of(self, row: Any) -> str:
        """Where an account's row says something else than the last entry about it: somebody changed it past Headstock."""
        said = self.records.search(Search((f"changed:{row.name}",), kind="audit", top=1))
        if not said:
            return "not on record: made past Headstock"
        body, here = said[0].draft.body, _account(row)
        told_ = (body["person"], body["role"], body["is_locked"])
        if told_ != (here.person, here.role, here.is_locked):
            return f"on record as {body['role']}{', locked' if body['is_locked'] else ''}: changed past Headstock"
        return ""


def _change_draft(account: Account, by: str, act: str) -> Draft:
    more = {"account": account.name, "person": account.person, "role": account.role, "is_locked": account.is_locked}
    draft = trace_draft(Trace(by, act, account.name), more)
    return replace(draft, terms=tuple(sorted({*draft.terms, f"changed:{account.name}"})))


def check_role(role: str) -> None:
    """Raises InputError for what is no role."""
    if role not in ROLES:
        fault = Fault("no such role", path="--role", found=role, expected=", ".join(ROLES), nearest=nearest_of(role, ROLES))
        raise InputError(fault)


def _account(row: Any) -> Account:
    return Account(row.name, row.person, cast(Role, row.role), bool(row.is_locked))


def _is_administrator(account: Account) -> bool:
    return account.role == "administrator" and not account.is_locked


def _administrators(connection: Connection) -> int:
    asked = select(func.count()).select_from(ACCOUNT).where(ACCOUNT.c.role == "administrator", ACCOUNT.c.is_locked == 0)
    return int(connection.execute(asked).scalar_one())
