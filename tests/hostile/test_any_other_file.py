"""Files and lines that are no YAML: backups, certificates, keys, sign-offs, sittings, manifests. Spoilt, each is answered.

``HEADSTOCK_HOSTILE`` says how many of each where slow tests run.
"""

from __future__ import annotations

import base64
import json
import os
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from pathlib import Path

import pytest

from headstock.base.errors import HeadstockError
from headstock.exchange.competence_csv import ASKED, competences_from_csv
from headstock.exchange.study_parts import FORMAT, MANIFEST, manifest_of
from headstock.exchange.tls_files import read_tls_files
from headstock.records.certificates import certificate_content, certificate_text
from headstock.records.lines import back_up, restore
from headstock.records.signing import load_public_keys, load_signer
from headstock.records.sitting_files import SUFFIX, SittingFiles
from headstock.records.store import StoredRecords
from tests.cases.tls import new_key, write_certificate, write_key
from tests.hostile.mutations import spoilt
from tests.hostile.test_any_file import not_for_ever
from tests.unit.records.drafts import draft

FEW, MANY = 100, 100_000
KINDS = ("backup", "certificate", "public keys", "signing key", "sign-offs", "sitting", "manifest", "TLS certificate", "TLS key")
Reading = tuple[str, Callable[[bytes], object]]


def _written(path: Path, content: bytes) -> Path:
    path.write_bytes(content)
    return path


@pytest.fixture(scope="module")
def readings(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Mapping[str, Reading]]:
    """A good text of each kind, and what reads it."""
    at = tmp_path_factory.mktemp("others")
    records, empty = StoredRecords(folder=at / "full"), StoredRecords(folder=at / "empty")
    records.append([draft(number) for number in range(5)])
    key = records.own_key
    back_up(records, at / "backup")
    log = SittingFiles(at / "sittings")
    log.begin("ABCDE", "attach-plain", "2026-01-01 10:00:00")
    log.add("ABCDE", {"kind": "took", "role": "shunter", "person": "J. Tolk", "t_s": 1.5})
    log.mark_clock("ABCDE", 9.5)
    certificate = certificate_text({"code": "A", "state": "within limits", "readings": ["3.4"] * 5}, records.signer)
    manifest = {"key": "a", "name": "b", "edition": "c", "headstock": "d", "parts": 4, "format": FORMAT, "study": {"limits": []}}
    line = "J. Tolk,shunter,217 + 226,,2026-01-01,2027-01-01,M. Iden,attach"
    tls = write_certificate(at / "good.pem", private := new_key()), write_key(at / "good-key.pem", private)
    yield {
        "backup": ((at / "backup").read_text("utf-8"), lambda content: restore(empty, _written(at / "b", content), key)),
        "certificate": (certificate, lambda content: certificate_content(content.decode("utf-8", "replace"), key)),
        "public keys": (key.pem().decode() * 2, lambda content: load_public_keys(_written(at / "k", content))),
        "signing key": ((at / "full" / "signing-key.pem").read_text("ascii"),
                        lambda content: load_signer(_written(at / "s", content).parent, "s")),
        "sign-offs": (f"{','.join(ASKED)}\n{line}\n", lambda content: competences_from_csv(content, "a.csv", records)),
        "sitting": ((at / "sittings" / f"ABCDE{SUFFIX}").read_text("utf-8"),
                    lambda content: log.kept(_written(at / "sittings" / f"OTHER{SUFFIX}", content).name[:5])),
        "manifest": (json.dumps(manifest), lambda content: manifest_of(_written(at / MANIFEST, content).parent)),
        "TLS certificate": (tls[0].read_text("ascii"), lambda content: read_tls_files(_written(at / "c", content), tls[1])),
        "TLS key": (tls[1].read_text("ascii"), lambda content: read_tls_files(tls[0], _written(at / "t", content))),
    }  # fmt: skip
    records.close()
    empty.close()


def every(reading: Reading, count: int) -> None:
    """So many spoilt, each read: an answer, or an error of ours that can be printed."""
    text, read = reading
    for seed in range(count):
        content = spoilt(seed, (text,), (text,))
        try:
            with not_for_ever(seed), suppress(HeadstockError):
                read(content)
        except Exception as error:
            error.add_note(f"seed {seed}: {content[:2000]!r}")
            raise


@pytest.mark.parametrize("kind", KINDS)
def test_whatever_stands_in_another_file_is_answered(kind: str, readings: Mapping[str, Reading]) -> None:
    every(readings[kind], FEW)


@pytest.mark.slow
@pytest.mark.parametrize("kind", KINDS)
def test_a_hundred_thousand_of_another_kind_are_answered(kind: str, readings: Mapping[str, Reading]) -> None:
    every(readings[kind], int(os.environ.get("HEADSTOCK_HOSTILE", MANY)))


DEEP = "[" * 100_000
BACKUP = '{"entries":1,"head":"a","headstock":"records backup 1"}\n'
ENTRY = '{"entry":{"at":"a","key":"a","kind":"a","seq":%s},"hash":"00000000000000000000","signature":%s}\n'
BEGUN = '{"headstock": "sitting 1", "exercise": "a", "began": "b"}\n'
FOUND = (
    ("backup", DEEP), ("backup", BACKUP + DEEP), ("backup", BACKUP + ENTRY % ('"1"', '"a"')),
    ("backup", BACKUP + ENTRY % ("1", "7")), ("backup", BACKUP.replace('"head"', '"tail"')),
    ("backup", BACKUP.replace(':1,"head"', ':"x","head"') + ENTRY % ("1", '"a"')),
    ("backup", BACKUP.replace(":1,", ":1e999,")), ("backup", BACKUP + ENTRY % ("[" * 900 + "]" * 900, '"a"')),
    ("certificate", f"HS1.{base64.urlsafe_b64encode(DEEP.encode()).decode()}.AAAA"), ("sitting", DEEP + "\n"),
    ("sitting", '{"headstock": "sitting 1"}\n'), ("sitting", BEGUN + '{"clock_s": "x"}\n'), ("sitting", BEGUN + '{"t_s": []}\n'),
    ("sitting", BEGUN + '{"clock_s": 1e999}\n'), ("sitting", ""),
    ("manifest", DEEP), ("manifest", json.dumps({"key": 1, "name": 1, "edition": 1, "headstock": 1, "parts": 1})),
)  # fmt: skip
"""What was found once, by drawing or by reading the code."""


@pytest.mark.parametrize(("kind", "text"), FOUND, ids=range(len(FOUND)))
def test_what_was_found_once_in_another_file_stays_answered(kind: str, text: str, readings: Mapping[str, Reading]) -> None:
    with suppress(HeadstockError):
        readings[kind][1](text.encode())
