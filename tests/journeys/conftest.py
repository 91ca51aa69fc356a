"""Browser, server and pages for journeys; each test file has a server of its own."""

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any

import pytest

from tests.journeys.browser import DESK, browsing, served


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    with browsing() as found:
        yield found


@pytest.fixture(scope="module")
def data_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("data")


@pytest.fixture(scope="module")
def address(data_folder: Path) -> Iterator[str]:
    with served(data_folder) as found:
        yield found


@pytest.fixture
def visit(browser: Any, address: str) -> Iterator[Callable[..., Any]]:
    """Opens a path in a fresh browser context; the test fails on any error in its console."""
    with ExitStack() as stack:
        said: list[str] = []

        def opened(path: str = "/", size: dict[str, int] = DESK, theme: str = "night", scripts: bool = True) -> Any:
            context = browser.new_context(viewport=size, base_url=address, java_script_enabled=scripts)
            stack.callback(context.close)
            context.add_cookies([{"name": "theme", "value": theme, "url": address}])
            page = context.new_page()
            page.on("console", lambda line: said.append(line.text) if line.type == "error" else None)
            page.on("pageerror", lambda error: said.append(str(error)))
            page.goto(path)
            return page

        opened.said = said  # type: ignore[attr-defined]
        yield opened
    assert not said, said
