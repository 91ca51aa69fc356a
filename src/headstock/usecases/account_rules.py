"""What a name and a password of an account must be. Length is what counts; signs of every kind are allowed, none is asked for.

After the guidance on passwords of NIST SP 800-63B, section on memorised secrets: length, no rules of composition, not the name,
compared in one normal form (from memory).
"""

from __future__ import annotations

import re
import unicodedata
from typing import Final

from headstock.base.errors import Fault, InputError

SHORTEST: Final = 12
LONGEST: Final = 256
NAME: Final = re.compile(r"[a-z0-9][a-z0-9._-]{1,39}")


def plain_name(typed: str) -> str:
    """An account's name as it is kept, whichever letters were typed."""
    return unicodedata.normalize("NFKC", typed).strip().casefold()[:200]


def could_be_name(plain: str) -> bool:
    """Whether an account could have this name."""
    return NAME.fullmatch(plain) is not None


def plain_password(typed: str) -> bytes:
    """A password in one normal form, whichever keyboard it was typed on."""
    return unicodedata.normalize("NFKC", typed).encode("utf-8", "surrogatepass")


def check_name(name: str) -> None:
    """Raises InputError for what cannot be a name."""
    if not could_be_name(name):
        expected = "2 to 40 of a to z, 0 to 9, dot, hyphen, underscore; first a letter or a figure"
        raise InputError(Fault("no name for an account", path="NAME", found=name, expected=expected))


def check_password(password: str, name: str) -> None:
    """Raises InputError for one that is too weak; it is never shown."""
    why = _weakness(unicodedata.normalize("NFKC", password), name)
    if why:
        raise InputError(Fault(why, path="password", expected=f"{SHORTEST} to {LONGEST} signs that nobody guesses"),
                         cure="Take some words that have nothing to do with one another.")  # fmt: skip


def _weakness(plain: str, name: str) -> str:
    if not SHORTEST <= len(plain) <= LONGEST:
        return f"a password of {'fewer than ' + str(SHORTEST) if len(plain) < SHORTEST else 'more than ' + str(LONGEST)} signs"
    if any(unicodedata.category(sign).startswith("C") for sign in plain):
        return "a password with signs that cannot be typed"
    low = plain.casefold()
    if len(set(low)) < 5 or (len(name) > 3 and name in low) or "headstock" in low or "password" in low:
        return "a password that is easily guessed"
    return ""
