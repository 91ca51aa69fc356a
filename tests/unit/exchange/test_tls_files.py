"""The two files for TLS: good ones, and every way in which they are not."""

from __future__ import annotations

import base64
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives.asymmetric import rsa
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

from headstock.exchange.tls_files import read_tls_files
from headstock.usecases.listening import TlsFiles, listening_refusals
from tests.cases.tls import new_key, write_certificate, write_key


@pytest.fixture
def pair(tmp_path: Path) -> tuple[Path, Path]:
    key = new_key()
    return write_certificate(tmp_path / "certificate.pem", key), write_key(tmp_path / "key.pem", key)


def read(certificate: Path | None, key: Path | None) -> TlsFiles:
    found = read_tls_files(certificate, key)
    assert found is not None
    return found


def test_good_files_have_no_fault_and_their_names_and_days(pair: tuple[Path, Path]) -> None:
    found = read(*pair)
    assert (found.faults, found.names) == ((), ("depot.example", "localhost", "127.0.0.1"))
    assert listening_refusals("0.0.0.0", found, False, True) == ()
    assert read_tls_files(None, None) is None


def test_one_without_the_other_is_told(pair: tuple[Path, Path]) -> None:
    assert read(pair[0], None).faults == ("--tls-certificate is given without --tls-key: give both",)
    assert read(None, pair[1]).faults == ("--tls-key is given without --tls-certificate: give both",)


def test_both_unreadable_files_are_told_at_once(tmp_path: Path) -> None:
    faults = read(tmp_path / "none.pem", tmp_path).faults
    assert len(faults) == 2 and "No such file" in faults[0] and "directory" in faults[1]


def test_files_that_do_not_belong_together_or_are_not_what_they_should_be(pair: tuple[Path, Path], tmp_path: Path) -> None:
    other = write_key(tmp_path / "other.pem", new_key())
    assert "does not belong" in read(pair[0], other).faults[0]
    assert "is no certificate" in read(pair[1], pair[1]).faults[0]
    assert "is no private key" in read(pair[0], pair[0]).faults[-1]
    locked = write_key(tmp_path / "locked.pem", new_key(), b"a secret")
    assert "needs a password" in read(pair[0], locked).faults[0]
    assert "a secret" not in str(read(pair[0], locked))


def test_a_key_that_others_may_read_and_a_short_one_are_told(pair: tuple[Path, Path], tmp_path: Path) -> None:
    pair[1].chmod(0o644)
    assert "chmod 600" in read(*pair).faults[0]
    short = rsa.generate_private_key(65537, 1024)
    files = write_certificate(tmp_path / "short.pem", short), write_key(tmp_path / "short-key.pem", short)
    assert "1024 bits" in read(*files).faults[0]


@pytest.mark.parametrize(("days", "said"), [((-10, -1), "ended on"), ((1, 10), "begins only on")])
def test_a_certificate_out_of_its_time_is_refused(days: tuple[float, float], said: str, tmp_path: Path) -> None:
    key = new_key()
    found = read(write_certificate(tmp_path / "c.pem", key, days), write_key(tmp_path / "k.pem", key))
    (refused,) = listening_refusals("127.0.0.1", found, False, False)
    assert said in refused


def test_the_content_of_a_key_is_never_said(pair: tuple[Path, Path], tmp_path: Path) -> None:
    broken = tmp_path / "broken.pem"
    text = pair[1].read_text(encoding="utf-8").replace("A", "B")
    broken.write_text(text, encoding="utf-8")
    broken.chmod(0o600)
    said = str(read(pair[0], broken))
    assert not any(line in said for line in text.splitlines()[1:-1])


def test_a_certificate_with_a_part_that_is_none_is_no_certificate(tmp_path: Path) -> None:
    """Its parts are understood only when they are asked for: a key that lies on no curve, a name that is no text."""
    key = new_key()
    good, own = write_certificate(tmp_path / "good.pem", key), write_key(tmp_path / "key.pem", key)
    der = x509.load_pem_x509_certificate(good.read_bytes()).public_bytes(Encoding.DER)
    point = key.public_key().public_bytes(Encoding.X962, PublicFormat.UncompressedPoint)
    for number, (part, other) in enumerate(((point, b"\4" + b"\1" * 64), (b"localhost", b"\xff" * 9))):
        assert part in der
        spoilt = tmp_path / f"spoilt-{number}.pem"
        text = base64.encodebytes(der.replace(part, other)).decode("ascii")
        spoilt.write_text(f"-----BEGIN CERTIFICATE-----\n{text}-----END CERTIFICATE-----\n", encoding="ascii")
        (fault,) = read(spoilt, own).faults
        assert "is no certificate" in fault
