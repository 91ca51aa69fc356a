"""The certificate of a filed test: what it says, and in which state it was when it was printed."""

from __future__ import annotations

from typing import Any

from headstock.base.errors import Fault, InputError
from headstock.usecases.record_state import TestNow

STATES = {
    "stands": "Nothing in its path is on record as touched since.", "void": "Void: touched since.",
    "corrected": "Corrected by a later entry.",
    "path not known": "The train's devices are not known: touches since cannot be told.",
}  # fmt: skip
NO_PERMISSION = "It is about readings on a day: it does not say that a train may go, nor what was touched after it was printed."


def certificate_of(now: TestNow, last: str) -> dict[str, Any]:
    """What is signed and stands in the square code; ``last``: code of the last entry when it was printed."""
    body = now.filed.draft.body
    return {
        "certificate": 1, "code": now.filed.code, "entry": now.filed.seq, "hash": now.filed.hash, "units": body["units"],
        "method": body["method"]["name"], "verdict": body["verdict"], "began": body["began"], "ended": body["ended"],
        "invented": body["invented"], "state": now.state, "as_of": last,
    }  # fmt: skip


def no_certificate(kind: str) -> InputError:
    """Why another kind of entry has none."""
    fault = Fault("only a test has a certificate", found=kind, expected="the code or number of a test")
    return InputError(fault, cure="headstock records show shows every kind of entry.")
