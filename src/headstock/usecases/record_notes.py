"""Touches, defects, isolations carried, sheets issued, jobs and corrections: what was, who says so, when, about what."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from headstock.base.errors import Fault, FileError, InputError
from headstock.usecases.moments import latest_anywhere_s, moment_s, moment_text
from headstock.usecases.record_state import TestNow, state_of_test
from headstock.usecases.record_terms import terms_of, unit_of, word_terms
from headstock.usecases.records_port import Draft, Filed, Records, Search


@dataclass(frozen=True, slots=True)
class NoteGiven:
    """A note as somebody gives it; ``when``: `YYYY-MM-DD HH:MM:SS`, now if not given."""

    kind: str
    text: str
    who: str
    when: str | None = None
    units: tuple[str, ...] = ()
    about: str | None = None
    file: Path | None = None
    key: str | None = None


@dataclass(frozen=True, slots=True)
class TouchGiven:
    """A touch as somebody gives it."""

    device: str
    who: str
    when: str | None = None
    test: str | None = None
    part_of: str = ""
    key: str | None = None


def note_to_file(given: NoteGiven, records: Records) -> Draft:
    """The entry of a note. Raises InputError for an impossible one."""
    about = entry_named(given.about, records) if given.about else None
    if given.kind == "correction" and about is None:
        raise InputError(Fault("a correction corrects something", path="--about", found="nothing", expected="a code or number"))
    at = moment_given(given.when)
    body = {"text": given.text, "who": given.who, "when": at, "units": list(given.units),
            "about": about.draft.key if about else None, "file_sha256": digest_of_file(given.file),
            "file_name": given.file.name if given.file else None}  # fmt: skip
    terms = [f"kind:{given.kind}", *given.units, *word_terms(given.text, given.who)]
    terms += [f"about:{about.draft.key}"] if about else []
    return Draft(given.kind, given.key or key_of(given.kind, body), at, terms_of(terms), body)


def touch_to_file(given: TouchGiven, records: Records) -> Draft:
    """The entry of a touch. Raises InputError."""
    test = entry_named(given.test, records) if given.test else None
    scope = ""
    if test is not None:
        path = test.draft.body.get("path") if test.draft.kind == "test" else None
        if path is None or given.device not in path["devices"]:
            known = ", ".join(path["devices"]) if path else "a test whose path is known"
            raise InputError(Fault("not in the path of that test", path="DEVICE", found=given.device, expected=known))
        scope = test.draft.body["scope"]
    if given.part_of and test is None:
        raise InputError(Fault("of which test is it part?", path="--test", found="nothing", expected="a test's code or number"))
    at = moment_given(given.when)
    body = {"device": given.device, "who": given.who, "when": at, "part_of": given.part_of,
            "test": test.draft.key if test else None}  # fmt: skip
    terms = ["kind:touch", f"device:{scope}{given.device}", given.device, unit_of(given.device), *word_terms(given.who)]
    return Draft("touch", given.key or key_of("touch", body), at, terms_of(terms), body)


def voided_by(touch: Filed, records: Records, top: int = 200) -> tuple[TestNow, ...]:
    """The tests on record that this touch makes void, newest first, of the newest ``top`` that rest on the device."""
    device = next(term for term in touch.draft.terms if term.startswith("device:")).removeprefix("device:")
    tests = records.search(Search((f"path:{device}",), kind="test", to_day=touch.draft.at[:10], top=top))
    found = (state_of_test(test, records) for test in tests)
    return tuple(now for now in found if any(one.code == touch.code for one in now.void_by))


def entry_named(name: str, records: Records) -> Filed:
    """The entry with a code, number or key. Raises InputError."""
    found = records.named(name)
    if found is None:
        raise InputError(Fault("no such entry", found=name, expected="a code, a number or a key that is on record"),
                         cure="headstock records search finds it.")  # fmt: skip
    return found


def moment_given(when: str | None) -> str:
    """A moment that has been, now if not given. Raises InputError."""
    if when is None:
        return datetime.now().isoformat(" ", "seconds")
    at_s = moment_s(when, "--when")
    if at_s > latest_anywhere_s():
        raise InputError(Fault("that is yet to come", path="--when", found=when, expected="a moment that has been"))
    return moment_text(at_s)


def digest_of_file(path: Path | None) -> str | None:
    """SHA-256 of a file (hex). Raises FileError."""
    if path is None:
        return None
    try:
        return hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError as error:
        raise FileError(Fault("cannot be read", str(path), found=error.strerror or str(error), expected="a file")) from None


def key_of(kind: str, body: dict[str, Any]) -> str:
    """The key of what has none given: the same content has the same."""
    return f"{kind}:{hashlib.sha256(repr(sorted(body.items())).encode()).hexdigest()[:24]}"
