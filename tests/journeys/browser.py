"""A server of its own with empty records, and a Chromium that looks at it."""

from __future__ import annotations

import os
import re
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from itertools import product
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parent.parent.parent
AXE = Path(__file__).parent / "vendor" / "axe.min.js"
DESK, PHONE = {"width": 1440, "height": 1100}, {"width": 412, "height": 870}
SMALL_PHONE = {"width": 390, "height": 844}
FIRST_SIGHT_PX = 4000
"""No page of a phone is longer before anything is unfolded."""
HEIGHT = "document.documentElement.scrollHeight"
SHOWN = "(one) => one.getBoundingClientRect().height > 0"
LOOKS: dict[str, tuple[dict[str, int], str]] = {
    "desk-night": (DESK, "night"),
    "phone-paper": (PHONE, "paper"),
    "desk-paper": (DESK, "paper"),
    "phone-night": (PHONE, "night"),
}
each_look = pytest.mark.parametrize(("size", "theme"), [
    pytest.param(*look, id=name, marks=() if name in ("desk-night", "phone-paper") else pytest.mark.slow)
    for name, look in LOOKS.items()
])  # fmt: skip
"""Both sizes and both themes each time; every size in every theme with the slow tests."""
NAMES = ("chromium", "chromium-browser", "google-chrome")
MAC = Path("/Applications/Google Chrome.app/Contents/MacOS/Google Chrome")


def chromium() -> str:
    """Where the browser is. Raises RuntimeError: a journey that is left out proves nothing."""
    found = next(filter(None, map(shutil.which, NAMES)), None) or (str(MAC) if MAC.exists() else None)
    if found is None:
        raise RuntimeError("no Chromium here; ./test brings one")
    return found


@contextmanager
def served(data: Path, *options: str, script: str = "") -> Iterator[str]:
    """The pages on a free port with their data in a folder; gives the address. ``script``: served by that instead."""
    command = [sys.executable, "-m", "headstock", "serve", "--port", "0", *options]
    if script:
        command = [sys.executable, "-c", script]
    environment = {**os.environ, "HEADSTOCK_DATA": str(data), "PYTHONPATH": str(ROOT / "src"), "PYTHONWARNINGS": "default"}
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, env=environment)
    assert process.stdout is not None
    try:
        said = process.stdout.readline()
        address = re.search(r"https?://\S+?(?=/\s)", said)
        if address is None:
            raise RuntimeError(f"the server did not start: {said}{process.stdout.read()}")
        yield address[0]
    finally:
        process.terminate()
        process.wait(10)
        process.stdout.close()


class KillableServer:
    """A server on one port that can be killed without a word and started again on the same data."""

    def __init__(self, data: Path) -> None:
        with socket.create_server(("127.0.0.1", 0)) as free:
            self.port = free.getsockname()[1]
        self.data, self.address = data, f"http://127.0.0.1:{self.port}"
        self.process: subprocess.Popen[str] | None = None

    def start(self) -> None:
        """Start it, and wait until it listens. Raises RuntimeError."""
        command = [sys.executable, "-m", "headstock", "serve", "--port", str(self.port)]
        environment = {**os.environ, "HEADSTOCK_DATA": str(self.data), "PYTHONPATH": str(ROOT / "src")}
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=environment)
        assert self.process.stdout is not None
        if not self.process.stdout.readline():
            raise RuntimeError("the server did not start")

    def kill(self) -> None:
        """Kill it as a loss of power would."""
        assert self.process is not None
        self.process.kill()
        self.process.wait(10)
        if self.process.stdout is not None:
            self.process.stdout.close()


@contextmanager
def killed_and_served_again(data: Path) -> Iterator[KillableServer]:
    """A server that a journey may kill."""
    server = KillableServer(data)
    server.start()
    try:
        yield server
    finally:
        server.kill()


ACTS = ("check", "click", "press", "select_option")


def _until_loaded(act: Callable[..., Any]) -> Callable[..., Any]:
    """An act after which a page that it led to is there with its styles: without them hidden text counts as shown."""

    def done(on: Any, *values: Any, **more: Any) -> Any:
        given = act(on, *values, **more)
        page = getattr(on, "page", on)
        if not page.is_closed():
            page.wait_for_load_state()
        return given

    return done


@contextmanager
def browsing() -> Iterator[Any]:
    """A browser without a window; every act on a part of a page waits for the page that it leads to."""
    from playwright.sync_api import Locator, Page, sync_playwright

    with sync_playwright() as play, pytest.MonkeyPatch.context() as waiting:
        for kind, name in product((Locator, Page), ACTS):
            waiting.setattr(kind, name, _until_loaded(getattr(kind, name)))
        browser = play.chromium.launch(executable_path=chromium(), args=["--no-sandbox"])
        try:
            yield browser
        finally:
            browser.close()


def axe_faults(page: Any) -> list[str]:
    """What an open page lacks for people who do not see or do not point, by axe's rules."""
    page.evaluate(AXE.read_text(encoding="utf-8"))
    found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
    return [f"{one['id']}: {node['target']} {node['failureSummary']}" for one in found["violations"] for node in one["nodes"]]


def wait_for(is_so: Callable[[], object], seconds: float = 60) -> None:
    """Wait until something is so; a server may be busy with other work."""
    until = time.monotonic() + seconds
    while not is_so():
        assert time.monotonic() < until, "it never became so"
        time.sleep(0.3)
