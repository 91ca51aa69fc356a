"""Setting the certificate of a filed test: what was read by whom, in which state, its short code and square code."""

from __future__ import annotations

from typing import Any

from headstock.devices.key_words import device_in_words
from headstock.sheets.setting import as_pdf, as_pictures
from headstock.sheets.square_code import square_code_svg
from headstock.usecases.certificate import NO_PERMISSION, STATES
from headstock.usecases.record_state import TestNow
from headstock.usecases.standing_caution import STANDING_CAUTION, invented_words


def certificate_name(now: TestNow) -> str:
    """File name: the short code."""
    return f"test-{now.filed.code.lower()}.pdf"


def render_certificate(now: TestNow, last: str, line: str) -> bytes:
    """The certificate as PDF, tagged (PDF/UA-1); ``line`` stands in the square code. Same test, same bytes."""
    return as_pdf("certificate_sheet.typ", _as_data(now, last), {"code.svg": square_code_svg(line)})


def render_certificate_png(now: TestNow, last: str, line: str, pixels_per_inch: float = 200.0) -> list[bytes]:
    """Each page as PNG, to look at."""
    return as_pictures("certificate_sheet.typ", _as_data(now, last), {"code.svg": square_code_svg(line)}, pixels_per_inch)


def _as_data(now: TestNow, last: str) -> dict[str, Any]:
    filed, body = now.filed, now.filed.draft.body
    return {
        "title": body["title"], "subtitle": "Record of a brake test", "invented": invented_words([body["invented"]]),
        "rules_line": f"Local rules: {body['local_rules']['name']}, edition {body['local_rules']['edition']}",
        "method_line": f"Method: {body['method']['name']}, edition {body['method']['edition']}",
        "cautions": [STANDING_CAUTION, NO_PERMISSION], "code": filed.code, "entry": str(filed.seq), "last": last,
        "verdict": f"Readings {body['verdict']}" if "limits" in body["verdict"] else "Not yet: not everything is read and good",
        "verdict_holds": now.state in ("stands", "path not known"),
        "is_good": body["verdict"] == "within limits" and now.state == "stands",
        "state": STATES[now.state],
        "void_by": [f"{one.when}: {device_in_words(one.device)} by {one.who}{f', entry {one.code}' if one.code else ''}"
                    for one in now.void_by],
        "facts": [["Units", ", ".join(body["units"]) or "not named"], ["Began", body["began"]], ["Ended", body["ended"]],
                  ["Recorded", f"{filed.recorded_at[:19].replace('T', ' ')} universal time"],
                  ["Reasons", "; ".join(body["reasons"]) or "none"],
                  ["Remarks", "; ".join(body["remarks"]) or "none"]],
        "readings": [[one["when"][11:], one["stage"], one["who"], one["at"], _shows(one)] for one in body["readings"]],
        "footer": f"entry {filed.seq}, {filed.code}",
    }  # fmt: skip


def _shows(reading: dict[str, Any]) -> str:
    if "seen" in reading:
        return "as it must be" if reading["seen"] else "not as it must be"
    return f"{reading['shows']} {reading.get('unit', '')}".strip() if "shows" in reading else "done"
