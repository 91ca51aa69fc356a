"""The square code of a certificate is read by a reader of other hands (ZXing)."""

from __future__ import annotations

import io

import numpy as np
import pytest
import zxingcpp
from PIL import Image
from pypdf import PdfReader

from headstock.records.certificates import certificate_content, certificate_text
from headstock.records.signing import Signer
from headstock.sheets.certificate_sheet import render_certificate, render_certificate_png
from headstock.usecases.certificate import certificate_of
from headstock.usecases.record_state import TestNow
from headstock.usecases.records_port import Draft, Filed

BODY = {
    "title": "Test after attaching", "invented": True, "units": ["217", "226"], "job": None, "verdict": "within limits",
    "method": {"name": "rear application", "edition": "1", "for_use": True}, "local_rules": {"name": "Vale", "edition": "3"},
    "reasons": [], "remarks": [], "began": "2026-01-20 10:00:00", "ended": "2026-01-20 10:12:00", "touches": [],
    "readings": [{"stage": "rear charged", "who": "P. Oad", "at": "rear", "when": "2026-01-20 10:05:10",
                  "shows": "4.9", "unit": "bar"}],
    "path": None, "touched_since": [], "scope": "",
}  # fmt: skip


@pytest.fixture
def now() -> TestNow:
    draft = Draft("test", "k", "2026-01-20 10:00:00", (), BODY)
    return TestNow(Filed(2, "3E8K-PWKB-2MQD", "1b" * 32, "", "2026-01-20T11:00:00.000+00:00", 0, draft), "stands", (), ())


def _signer() -> Signer:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    return Signer(Ed25519PrivateKey.generate())


@pytest.mark.outside(source="zxing-cpp, a reader of square codes (ISO/IEC 18004)", clause="whole code", status="computed")
def test_the_square_code_is_read_and_checks(now: TestNow) -> None:
    signer = _signer()
    line = certificate_text(certificate_of(now, now.filed.code), signer)
    (page,) = render_certificate_png(now, now.filed.code, line)
    (read,) = zxingcpp.read_barcodes(np.asarray(Image.open(io.BytesIO(page)).convert("L")))
    assert read.text == line
    said = certificate_content(read.text, signer.public)
    assert said is not None and (said["code"], said["state"]) == (now.filed.code, "stands")
    assert certificate_content(read.text, _signer().public) is None


def test_it_is_one_page_tagged_and_the_same_each_time(now: TestNow) -> None:
    pdf = render_certificate(now, now.filed.code, "HS1.x.y")
    assert pdf == render_certificate(now, now.filed.code, "HS1.x.y")
    reader = PdfReader(io.BytesIO(pdf))
    assert len(reader.pages) == 1
    assert "3E8K-PWKB-2MQD" in reader.pages[0].extract_text()
