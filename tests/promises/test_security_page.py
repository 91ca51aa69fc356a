"""What the page on security promises is so: its figures are those of the code, its refusals refuse, names stay words."""

from __future__ import annotations

import re
import stat
import sys
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from headstock.base.documents import LARGEST_FILE_BYTES, document_from_text
from headstock.base.errors import InputError
from headstock.base.tree import DEEPEST_NESTING
from headstock.records.accounts.sessions import SessionLimits
from headstock.usecases.listening import listening_refusals
from headstock.usecases.roles import ROLES, may
from headstock.usecases.serving import Serving
from headstock.web.guards import HEADERS, MOST_BYTES
from headstock.web.serve import MOST_HEARD
from headstock.web.signing_in import OPEN
from tests.cases.jobs import DEMO
from tests.promises.tree import ROOT

PAGE = " ".join((ROOT / "docs" / "explanation" / "security.md").read_text(encoding="utf-8").split())
MARKED = "<script>alert(1)</script><b title='x'>"


@pytest.fixture
def client(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[TestClient]:
    from headstock.web.application import make_app

    monkeypatch.setenv("HEADSTOCK_DATA", str(tmp_path))
    with TestClient(make_app(Serving()), raise_server_exceptions=False) as found:
        yield found


def test_the_figures_on_the_page_are_those_of_the_code() -> None:
    assert f"up to {MOST_BYTES:_} bytes".replace("_", " ") in PAGE
    limits = SessionLimits()
    assert (limits.idle_s, limits.longest_s) == (1800, 12 * 3600)
    assert "half an hour at rest" in PAGE and "twelve hours at the latest" in PAGE
    assert all(f"`{role}`" in PAGE for role in ROLES)
    assert f"of more than {MOST_HEARD} bytes ends its connection" in PAGE
    assert len(OPEN) == 4 and "the sign-in page, static files, being alive, the script that keeps pages on a phone" in PAGE
    assert not may("administrator", "sign somebody off")


def test_it_listens_beyond_this_computer_only_with_accounts_and_encrypted() -> None:
    assert listening_refusals("127.0.0.1", None, False, False) == ()
    assert len(listening_refusals("0.0.0.0", None, False, False)) == 2
    assert len(listening_refusals("127.0.0.1", None, True, False)) == 1
    assert listening_refusals("127.0.0.1", None, True, True) == ()


def test_every_answer_forbids_what_the_page_says(client: TestClient) -> None:
    said = client.get("/").headers
    policy = said["content-security-policy"]
    assert "default-src 'none'" in policy and "frame-ancestors 'none'" in policy and "http" not in policy
    assert said["x-content-type-options"] == "nosniff" and said["cache-control"] == "no-store"
    assert all(f"{one}=()" in HEADERS["Permissions-Policy"] for one in ("camera", "microphone", "geolocation"))


def test_what_others_send_has_a_greatest_size_builds_no_objects_and_leads_to_no_folder(client: TestClient) -> None:
    for text in ("x: " + "a" * LARGEST_FILE_BYTES, "x: " + "[" * (DEEPEST_NESTING + 1), "!!python/object/apply:os.getcwd []"):
        with pytest.raises(InputError):
            document_from_text(text, "sent")
    job = DEMO.read_text(encoding="utf-8").replace("place: ", "place: ../../")
    answer = client.post("/api/v1/plan", json={"job": job})
    assert answer.status_code == 400
    assert "leads outside what was sent" in answer.text and "/tmp" not in answer.text


class _Elements(HTMLParser):
    def __init__(self, text: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self.inside: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append(tag)
        if tag == "script":
            self.inside.append(str(dict(attrs).get("src")))


def test_names_made_of_markup_stay_words_on_every_page_of_a_job(client: TestClient) -> None:
    text = DEMO.read_text(encoding="utf-8")
    text = re.sub(r"^title: .*$", f'title: "{MARKED}"', text, flags=re.MULTILINE)
    text = text.replace("driver: M. Iden", f'driver: "{MARKED}"')
    sent = client.post("/jobs/file", data={"text": text}, follow_redirects=False)
    assert sent.status_code == 303, sent.text[-800:]
    place = sent.headers["location"]
    pages = ["/", place, f"{place}/show/order", f"{place}/show/can", f"{place}/people", f"{place}/stop", f"{place}/test"]
    for path in pages:
        said = client.get(path).text
        for _ in range(200):
            if "so far. The page can be left" not in said:
                break
            said = client.get(path).text
        assert "<script>alert" not in said and "<b title" not in said, path
        assert all(where.startswith("/static/") for where in _Elements(said).inside), path
    assert "&lt;script&gt;alert(1)" in client.get("/").text


@pytest.mark.skipif(sys.platform == "win32", reason="rights of files are others there")
def test_key_and_records_are_made_for_their_owner_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from headstock.wiring import open_records

    monkeypatch.setenv("HEADSTOCK_DATA", str(tmp_path / "data"))
    monkeypatch.delenv("HEADSTOCK_RECORDS", raising=False)
    _ = open_records(None).signer
    made = [path for path in (tmp_path / "data").iterdir() if path.suffix in (".pem", ".db") and "public" not in path.name]
    assert {path.suffix for path in made} == {".pem", ".db"}
    assert [path.name for path in made if stat.S_IMODE(path.stat().st_mode) & 0o077] == []
