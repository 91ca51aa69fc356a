"""The one table of every way in: what each act opens. One that is not here, or that another act opens, fails a test."""

from __future__ import annotations

from typing import Final

DOORS: Final[dict[str, str]] = {
    "look": """
        GET /alive | GET /keys | GET /not-kept | GET /service-worker.js | GET /sign-in | POST /sign-in | POST /sign-out
        POST /theme""",
    "change own password": "GET /own-password | POST /own-password",
    "see jobs": """
        GET / | GET /jobs/{code} | GET /jobs/{code}/show/train | GET /jobs/{code}/show/ends | GET /jobs/{code}/show/{name}
        POST /jobs/{code}/show/{name}/stop | GET /jobs/{code}/stop | GET /jobs/{code}/hand-over | GET /jobs/{code}/sheet.pdf
        GET /jobs/{code}/cards.pdf | GET /jobs/{code}/can.pdf | GET /jobs/{code}/stop.pdf | GET /jobs/{code}/test
        GET /jobs/{code}/test/state | GET /jobs/{code}/away | GET /jobs/{code}/test/look | POST /api/v1/plan
        POST /api/v1/check | POST /api/v1/mistakes | POST /api/v1/forecast | POST /api/v1/can | POST /api/v1/judge
        POST /api/v1/find | POST /api/v1/due | POST /api/v1/couple | GET /api/v1/methods | GET /api/v1/methods/{name}""",
    "plan jobs": """
        POST /jobs/{code}/hand | GET /jobs/new | POST /jobs/new | POST /jobs/ready | POST /jobs/file | GET /jobs/file
        GET /jobs/{code}/people""",
    "test the brake": "POST /jobs/{code}/test | POST /jobs/{code}/test/events | POST /jobs/{code}/test/look",
    "file a test": "POST /jobs/{code}/test/file | POST /api/v1/records/file",
    "log a touch": "POST /api/v1/records/touch",
    "sit exercises": """
        GET /exercises | GET /sittings/join | GET /sittings/{code} | POST /sittings/{code}/take
        GET /sittings/{code}/role/{role} | POST /sittings/{code}/role/{role} | GET /sittings/{code}/watch
        GET /sittings/{code}/talk-through | GET /papers | GET /papers/choose | GET /papers/sat/{code} | POST /papers/sat/{code}
        GET /papers/{name} | POST /papers/{name}/begin | GET /papers/{name}/paper.pdf""",
    "set exercises": """
        POST /exercises/{name}/set | GET /sittings/{code}/trainer | POST /sittings/{code}/clock | POST /sittings/{code}/plant
        POST /sittings/{code}/end | POST /sittings/{code}/back | POST /sittings/{code}/record
        GET /sittings/{code}/statements.json""",
    "set a paper": "POST /papers/sat/{code}/record | GET /papers/{name}/key.pdf",
    "see the fleet": """
        GET /fleet | GET /fleet/table | GET /fleet/compare | GET /fleet/{name} | GET /fleet/{name}/file
        GET /fleet/{name}/versions | GET /fleet/{name}/difference | GET /api/v1/fleet | GET /api/v1/fleet/{name}
        POST /api/v1/fleet/check | POST /api/v1/join | POST /api/v1/table""",
    "change the fleet": """
        GET /fleet/{name}/edit | POST /fleet/{name}/edit/faults | POST /fleet/{name}/edit | GET /fleet/{name}/fields
        POST /fleet/{name}/fields""",
    "see records": """
        GET /records | GET /records/audit | GET /records/{name} | GET /api/v1/records/search
        GET /api/v1/records/entries/{name} | POST /api/v1/records/note""",
    "verify records": "GET /records/verify | POST /records/verify | GET /api/v1/records/verify",
    "export records": "GET /records/export/{form}",
    "print a certificate": "GET /records/{name}/certificate",
    "see own competence": """
        GET /people | GET /people/person | GET /people/person/last-days.ics | GET /people/person/everything.json""",
    "see a class": "GET /people/class",
    "see everybody's competence": "GET /people/sign-offs.csv | GET /people/last-days.ics",
    "sign somebody off": "GET /people/sign-off | POST /people/sign-off | GET /people/sign-offs | POST /people/sign-offs",
    "take somebody off the lists": "POST /people/person/off",
}
LIVE: Final = ("/sittings/{code}/live",)
"""Live connections, each with tests of its own door."""
BESIDE: Final = ("/api/openapi.json", "/static")
"""What the application itself adds: the description of the API, for whoever is signed in, and files that anybody may have."""
OPEN: Final = ("GET /alive", "GET /service-worker.js", "GET /sign-in", "POST /sign-in")
"""What anybody may ask for."""


def doors() -> dict[str, str]:
    """The act that opens each."""
    return {door.strip(): act for act, some in DOORS.items() for door in some.replace("\n", "|").split("|") if door.strip()}
