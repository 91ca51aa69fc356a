"""Beyond this computer: without accounts it does not start; with them one signs in, sees what one's role may, and signs out."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.journeys.browser import axe_faults, each_look, served
from tests.journeys.commands import headstock

PASSWORD = "lantern geese seven culvert"


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("depot")
    with pytest.MonkeyPatch.context() as place:
        place.setenv("HEADSTOCK_DATA", str(folder))
        made = headstock("accounts", "first", "oad", "--person", "P. Oad", at=folder, typed=f"{PASSWORD}\n")
        assert made.returncode == 0, made.stderr
        added = ("iden", "--role", "crew", "--person", "M. Iden")
        made = headstock("accounts", "add", *added, at=folder, typed=f"{PASSWORD}\n")
    assert made.returncode == 0, made.stderr
    return folder


@pytest.fixture(scope="module")
def depot(data: Path) -> Iterator[str]:
    with served(data, "--behind-proxy") as address:
        yield address


def test_it_does_not_listen_beyond_this_computer_without_accounts_and_an_encrypted_way(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HEADSTOCK_DATA", str(tmp_path))
    refused = headstock("serve", "--host", "0.0.0.0", "--port", "0", at=tmp_path, cold=True)
    assert refused.returncode == 2
    assert "make the first administrator" in refused.stderr and "--tls-certificate" in refused.stderr


@each_look
def test_one_signs_in_and_out(browser: Any, depot: str, size: dict[str, int], theme: str) -> None:
    context = browser.new_context(viewport=size, base_url=depot)
    context.add_cookies([{"name": "theme", "value": theme, "url": depot}])
    page = context.new_page()
    page.goto("/records")
    assert "/sign-in" in page.url and axe_faults(page) == []
    page.fill("#name", "iden")
    page.fill("#password", "wrong")
    page.get_by_role("button", name="Sign in").click()
    assert "Name or password is wrong." in page.inner_text("main") and axe_faults(page) == []
    page.fill("#name", "iden")
    page.fill("#password", PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url("**/records" if "/records" in page.url else "**/")
    assert "M. Iden, crew" in page.inner_text("footer")
    page.goto("/jobs/new")
    assert "Your role may not plan jobs" in page.inner_text("main")
    assert "Whoever keeps the accounts says who may." in page.inner_text("main") and "found" not in page.inner_text("main")
    page.goto("/")
    assert page.get_by_role("link", name="New job").count() == 0, "nothing is offered that is then refused"
    page.goto("/own-password")
    assert axe_faults(page) == []
    page.get_by_role("button", name="Sign out").click()
    page.wait_for_url("**/sign-in")
    page.goto("/")
    assert "/sign-in" in page.url
    context.close()


def test_a_page_of_an_exercise_leads_to_the_door_when_its_session_ends_in_another_window(browser: Any, depot: str) -> None:
    context = browser.new_context(base_url=depot)
    page = context.new_page()
    page.goto("/sign-in?back=/exercises")
    page.fill("#name", "oad")
    page.fill("#password", PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url("**/exercises")
    code = page.request.post("/exercises/attach-plain/set", headers={"origin": depot}, timeout=120_000).url.split("/")[-2]
    with page.expect_websocket() as live:
        page.goto(f"/sittings/{code}/watch")
    live.value.wait_for_event("framereceived")
    other = context.new_page()
    other.goto("/")
    other.get_by_role("button", name="Sign out").click()
    page.wait_for_url(f"**/sign-in?back=/sittings/{code}/watch", timeout=20_000)
    context.close()
