"""What pages and commands ask of accounts: sign in, whose session is it, sign out, keeping them. The floor of records answers.

Nothing here holds a password or a hash, and a session's token does not show in its words: none of it gets into a log.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field
from typing import Final, Protocol

from headstock.usecases.roles import Role

WRONG: Final = "Name or password is wrong."
"""The one answer for a wrong password, a name that nobody has, and an account that is locked."""


@dataclass(frozen=True, slots=True)
class Account:
    """Somebody who may sign in; ``person``: the name as records write it. ``doubt``: where it differs from what is on record."""

    name: str
    person: str
    role: Role
    is_locked: bool = False
    doubt: str = ""


@dataclass(frozen=True, slots=True)
class Session:
    """Somebody signed in; ``ends_s``: at the latest [s since 1970]."""

    account: Account
    began_s: int
    ends_s: int


@dataclass(frozen=True, slots=True)
class SignedIn:
    """A new session; ``token`` goes to the browser and is kept nowhere."""

    session: Session
    token: str = field(repr=False)


@dataclass(frozen=True, slots=True)
class NotSignedIn:
    """The same words whatever was wrong; ``wait_s``: too many tries, not before so many seconds."""

    wait_s: int = 0

    @property
    def words(self) -> str:
        """What is shown."""
        return f"Too many tries. Wait {self.wait_s} s and try again." if self.wait_s else WRONG


@dataclass(frozen=True, slots=True)
class Trace:
    """Who saw or did what: ``act`` of the table of roles or in words, ``on``: key of an entry or name of a page."""

    who: str
    act: str
    on: str = ""
    address: str = ""
    outcome: str = "done"


class Accounts(Protocol):
    """Accounts and sessions. All raise StorageError where they cannot be read or written."""

    def sign_in(self, name: str, password: str, address: str, former_token: str = "") -> SignedIn | NotSignedIn:
        """A session with a token of its own, the former one ended; counted against the limits by account and by address."""

    def session_of(self, token: str) -> Session | None:
        """Whose session this is; None where it was ended, or is too old."""

    def still_signed_in(self, tokens: Collection[str]) -> frozenset[str]:
        """Those of which the session has not ended; to ask keeps none of them alive."""

    def sign_out(self, token: str) -> None:
        """End a session."""

    def change_own_password(self, token: str, old: str, new: str, address: str) -> NotSignedIn | None:
        """None: changed, and every session of the account ended. Raises InputError for a new one that is too weak."""

    def has_administrator(self) -> bool:
        """Whether anybody could sign in and keep accounts."""

    def every(self) -> tuple[Account, ...]:
        """All accounts by name."""

    def add(self, account: Account, password: str, by: str) -> None:
        """Make one. Raises InputError for a name that is taken or no name, or a password that is too weak."""

    def change(self, name: str, by: str, role: Role | None = None, is_locked: bool | None = None) -> Account:
        """Another role, locked or not; ends its sessions. Raises InputError, also for the last administrator."""

    def set_password(self, name: str, password: str, by: str) -> None:
        """Set it and end all sessions. Raises InputError."""

    def leave_trace(self, trace: Trace) -> None:
        """Put on record who saw or did what; durable on return."""
