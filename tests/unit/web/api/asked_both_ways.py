"""One question asked on the command line and of the API."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

JOBS = Path("src/headstock/usecases/jobs").resolve()
READINGS = Path("src/headstock/usecases/readings").resolve()
ALL_JOBS = sorted(path.stem for path in JOBS.glob("*.yaml"))


def by_command(words: list[str], capsys: pytest.CaptureFixture[str]) -> Any:
    """What a command prints as JSON, in this process."""
    from headstock.cli.app import app

    capsys.readouterr()
    with pytest.raises(SystemExit):
        app([*words, "--json"], standalone_mode=False)
    return json.loads(capsys.readouterr().out)


def by_api(client: TestClient, question: str, body: dict[str, Any] | None = None, **headers: str) -> Any:
    """What the API answers."""
    path = f"/api/v1/{question}"
    return (client.get(path) if body is None else client.post(path, json=body, headers=headers)).json()


def job_text(name: str) -> str:
    return (JOBS / f"{name}.yaml").read_text(encoding="utf-8")


def readings_text(name: str) -> str:
    """Readings that name their job as a file beside them."""
    return (READINGS / f"{name}.yaml").read_text(encoding="utf-8").replace("job: demo-attach", "job: job.yaml")
