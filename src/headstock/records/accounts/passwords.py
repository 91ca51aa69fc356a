"""Passwords as argon2id hashes (RFC 9106), looked at in the same time whether there is an account or not."""

from __future__ import annotations

import secrets
import threading
from typing import Final

from argon2 import PasswordHasher
from argon2.exceptions import Argon2Error, InvalidHashError
from argon2.profiles import RFC_9106_LOW_MEMORY

from headstock.usecases.account_rules import LONGEST, plain_password

AT_ONCE: Final = 4
"""Hashes reckoned side by side: each takes 64 MiB, and a crowd of strangers must not take it all."""


class Passwords:
    """Makes and checks hashes."""

    def __init__(self, hasher: PasswordHasher | None = None) -> None:
        self._hasher = hasher or PasswordHasher.from_parameters(RFC_9106_LOW_MEMORY)
        self._turns = threading.BoundedSemaphore(AT_ONCE)
        self._of_nobody = ""

    def hash_of(self, password: str) -> str:
        """The hash with its salt and parameters."""
        with self._turns:
            return self._hasher.hash(plain_password(password))

    def is_right(self, kept: str | None, password: str) -> bool:
        """Whether the password belongs to a hash; for nobody's (None) just as long is reckoned."""
        long = len(password) > LONGEST
        typed = b"" if long else plain_password(password)
        with self._turns:
            if not self._of_nobody:  # also for a name that is known, so that the first try tells nothing either
                self._of_nobody = self._hasher.hash(secrets.token_urlsafe(32))
            try:
                self._hasher.verify(kept or self._of_nobody, typed)
            except (Argon2Error, InvalidHashError):
                return False
        return kept is not None and not long

    def is_old(self, kept: str) -> bool:
        """Whether it was made with weaker parameters than are in use now."""
        return self._hasher.check_needs_rehash(kept)
