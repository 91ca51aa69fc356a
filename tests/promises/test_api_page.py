"""The page of the API says what the server describes."""

from pathlib import Path

import pytest

from tests.promises.api_page import PAGE, description, page


def test_the_page_of_the_api_is_what_the_server_says(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HEADSTOCK_DATA", str(tmp_path))
    assert PAGE.read_text(encoding="utf-8") == page(tmp_path) + "\n", "make it anew: python -m tests.promises.api_page"


def test_every_call_and_field_has_its_meaning(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HEADSTOCK_DATA", str(tmp_path))
    api = description(tmp_path)
    bodies = {name: one for name, one in api["components"]["schemas"].items() if name.endswith(("Asked", "Sent"))}
    assert len(bodies) > 10
    lacking = [f"{name}.{key}" for name, one in bodies.items() for key, field in one["properties"].items()
               if not field.get("description")]  # fmt: skip
    assert lacking == []
    assert all(call["description"] for calls in api["paths"].values() for call in calls.values())
