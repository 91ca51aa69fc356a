"""Versions of unit types kept on record: who changed what and why; the newest of each type is in force for new work.

Somebody who keeps a fleet asks: what stood in it when, and what does a change touch? Approving data for use is the railway's.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from headstock.base.errors import ContentError, Fault, InputError
from headstock.equipment.library import Fleet, unit_type_from_text
from headstock.equipment.unit_type import UnitType
from headstock.usecases.record_terms import terms_of, word_terms
from headstock.usecases.records_port import Draft, Filed, Records, Search

KIND = "unit type"
FILE_VERSION = "file"
"""How the version that came with the fleet's files is named."""
MOST = 100_000
"""So many versions of all types are looked through."""


@dataclass(frozen=True, slots=True)
class TypeVersion:
    """One version; ``code``: of its entry, "file" for what the fleet's own files say, with nobody's name and no time."""

    code: str
    type: str
    issue: str
    who: str
    when: str
    why: str
    text: str

    @property
    def name(self) -> str:
        """How people tell it from others."""
        return f"issue {self.issue}, {f'saved {self.when} by {self.who}' if self.when else 'from the files of the fleet'}"


def version_draft(text: str, who: str, why: str, base: Fleet, records: Records) -> tuple[Draft, UnitType]:
    """The entry of a version. Raises InputError with every fault of the text, and where its issue holds something else."""
    found = unit_type_from_text(text, "unit type")
    faults = [Fault(f"nobody says {what}", path=field, found="nothing", expected=expected)
              for field, value, what, expected in (("who", who, "who saves it", "a name"),
                                                   ("why", why, "why", "the reason and the paper behind it"))
              if not value.strip()]  # fmt: skip
    faults += [
        Fault(
            "this issue is there already and says something else", path="issue", found=found.issue, expected="an issue of its own"
        )
        for one in versions_of(found.type, base, records)
        if one.issue == found.issue and one.text != text
    ]
    if faults:
        raise ContentError(faults, cure="Nothing was saved.")
    now = datetime.now().isoformat(" ", "seconds")
    digest = hashlib.sha256(text.encode("utf-8")).hexdigest()
    body: dict[str, Any] = {"text": f"{found.type}, issue {found.issue}: {why.strip()}", "type": found.type, "issue": found.issue,
            "who": who.strip(), "when": now, "why": why.strip(), "units": [], "about": None, "file_sha256": digest,
            "file_name": None, "unit_type_file": text}  # fmt: skip
    terms = [f"kind:{KIND}", f"type:{found.type}", *word_terms(found.type, found.title, who, why)]
    return Draft(KIND, f"unit-type:{found.type}:{digest[:24]}:{now}", now, terms_of(terms), body), found


def versions_of(name: str, base: Fleet, records: Records) -> tuple[TypeVersion, ...]:
    """All versions of a type, newest first; the one of the fleet's files is the oldest."""
    kept = [_version(one) for one in sorted(_entries(records, name), key=lambda one: -one.seq)]
    if name in base.texts:
        kept.append(TypeVersion(FILE_VERSION, name, base.types[name].issue, "", "", "", base.texts[name]))
    return tuple(kept)


def version_named(code: str, name: str, base: Fleet, records: Records) -> TypeVersion:
    """One version of a type. Raises InputError."""
    found = {one.code: one for one in versions_of(name, base, records)}
    if code not in found:
        raise InputError(Fault("no such version", found=code, expected=" or ".join(found) or "none is there"))
    return found[code]


def fleet_in_force(base: Fleet, records: Records) -> tuple[Fleet, tuple[str, ...]]:
    """The fleet's files with the newest version of each type on record; and what of it cannot be read any more."""
    newest: dict[str, TypeVersion] = {}
    for one in sorted(_entries(records), key=lambda one: one.seq):
        version = _version(one)
        newest[version.type] = version
    types, texts, notes = dict(base.types), dict(base.texts), list[str]()
    for name, version in newest.items():
        try:
            types[name] = unit_type_from_text(version.text, f"{name}, {version.code}")
            texts[name] = version.text
        except InputError as error:
            notes.append(f"{name}, {version.name}, cannot be read by this edition and is not in force: {error.what}")
    return Fleet(types.values(), texts), tuple(notes)


def _entries(records: Records, name: str = "") -> tuple[Filed, ...]:
    return records.search(Search((f"type:{name}",) if name else (), kind=KIND, top=MOST))


def _version(entry: Filed) -> TypeVersion:
    body = entry.draft.body
    return TypeVersion(entry.code, body["type"], body["issue"], body["who"], body["when"], body["why"], body["unit_type_file"])
