"""Beyond this computer: without accounts it does not start; with them one signs in, sees what one's role may, and signs out."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.journeys.browser import DESK, PHONE, ROOT, axe_faults, served

PASSWORD = "lantern geese seven culvert"


def _headstock(data: Path, *words: str, given: str = "") -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "HEADSTOCK_DATA": str(data), "PYTHONPATH": str(ROOT / "src")}
    return subprocess.run([sys.executable, "-m", "headstock", *words], input=given, text=True, capture_output=True,
                          env=environment, check=False, timeout=60)  # fmt: skip


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("depot")
    made = _headstock(folder, "accounts", "first", "oad", "--person", "P. Oad", given=f"{PASSWORD}\n")
    assert made.returncode == 0, made.stderr
    made = _headstock(folder, "accounts", "add", "iden", "--role", "crew", "--person", "M. Iden", given=f"{PASSWORD}\n")
    assert made.returncode == 0, made.stderr
    return folder


@pytest.fixture(scope="module")
def depot(data: Path) -> Iterator[str]:
    with served(data, "--behind-proxy") as address:
        yield address


def test_it_does_not_listen_beyond_this_computer_without_accounts_and_an_encrypted_way(tmp_path: Path) -> None:
    refused = _headstock(tmp_path, "serve", "--host", "0.0.0.0", "--port", "0")
    assert refused.returncode == 2
    assert "make the first administrator" in refused.stderr and "--tls-certificate" in refused.stderr


@pytest.mark.parametrize(("size", "theme"), [(DESK, "night"), (PHONE, "paper")], ids=["desk", "phone"])
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
    assert "your role may not plan jobs" in page.inner_text("main")
    page.goto("/own-password")
    assert axe_faults(page) == []
    page.get_by_role("button", name="Sign out").click()
    page.wait_for_url("**/sign-in")
    page.goto("/")
    assert "/sign-in" in page.url
    context.close()
