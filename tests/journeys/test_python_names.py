"""What Python answers is what the command line answers, value by value; refusals and bad input come as they should."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import headstock as hs
from tests.cases.jobs import DEMO
from tests.cases.planted_instructions import HAND_WRITTEN
from tests.cases.stored_readings import keep_for_commands
from tests.journeys.commands import answer_of

DETACH = DEMO.parent / "demo-detach.yaml"
READINGS = DEMO.parent.parent / "readings" / "demo-attach.yaml"
FLEET = Path(hs.__file__).parent / "equipment" / "fleet"
COCK = "217/2.brake_pipe_cock=shut"
ASKED: dict[str, tuple[Callable[[], Any], tuple[str | Path, ...], int]] = {
    "fleet": (hs.load_fleet, ("fleet", "list"), 0),
    "own fleet": (lambda: hs.load_fleet(FLEET), ("fleet", "list", "--fleet", FLEET), 0),
    "plan": (lambda: hs.plan("demo-detach"), ("plan", DETACH), 0),
    "forecast": (lambda: hs.forecast(DEMO, [COCK]), ("forecast", DEMO, "--fault", COCK), 0),
    "can": (lambda: hs.can(DEMO, speed_kmh=60), ("can", DEMO, "--speed", "60"), 0),
    "judge": (lambda: hs.judge(READINGS, at="departure"), ("judge", READINGS, "--at", "departure"), 0),
    "find": (lambda: hs.find("demo-attach", start="front"), ("find", READINGS, "--from", "front"), 0),
    "reconstruct": (lambda: hs.reconstruct("demo-recorder"), ("reconstruct", "demo-recorder"), 0),
    "blind spots": (lambda: hs.blind_spots(DEMO), ("blind-spots", DEMO), 1),
    "join": (lambda: hs.join("tarn/1", "holm/2"), ("join", "tarn/1", "holm/2"), 1),
    "join of a job": (lambda: hs.join("217/2", "226/1", job=DEMO), ("join", "217/2", "226/1", "--job", DEMO), 0),
    "table": (lambda: hs.table(types=["tarn", "gale"]), ("table", "--type", "tarn", "--type", "gale"), 0),
    "due": (lambda: hs.due(["cock touched"]), ("due", "cock touched"), 0),
    "due after a job": (lambda: hs.due(job="demo-attach"), ("due", "--job", DEMO), 3),
    "mistakes": (lambda: hs.mistakes(DEMO), ("mistakes", DEMO), 0),
}
WRITTEN = {"sheet", "cards", "written"}
"""What the command line prints besides, and Python only when it is asked."""


@pytest.fixture(scope="module", autouse=True)
def _kept() -> None:
    keep_for_commands(8, "rear-application")


@pytest.mark.parametrize("name", ASKED)
def test_python_and_the_command_line_answer_alike(name: str, tmp_path: Path) -> None:
    ask, words, status = ASKED[name]
    answer = ask()
    data = json.loads(json.dumps(answer.data))
    said = answer_of(*words, at=tmp_path, status=status)
    if isinstance(said, dict):
        data, said = ({key: value for key, value in one.items() if key not in WRITTEN} for one in (data, said))
    assert data == said
    assert "Caution: " in str(answer) and "<b>Caution:</b>" in answer._repr_html_()


def test_a_hole_in_an_instruction_is_found_from_python_too(tmp_path: Path) -> None:
    lines = HAND_WRITTEN.read_text(encoding="utf-8").splitlines()
    holed = tmp_path / "holed.txt"
    holed.write_text("\n".join(line for line in lines if "call to 2 m" not in line), encoding="utf-8")
    found = hs.check(holed, DEMO)
    assert found.answer.endswith("found") and found.answer != "no hole found"
    assert found.data == answer_of("check", holed, "--job", DEMO, at=tmp_path, status=1)
    assert "add before line" in str(found)
    assert hs.check(HAND_WRITTEN, DEMO).answer == "no hole found"


def test_the_sheet_is_printed_only_when_it_is_asked_for(tmp_path: Path) -> None:
    answer = hs.plan(DETACH)
    cards, sheet = answer.write_sheet(tmp_path)
    assert cards.read_bytes()[:5] == sheet.read_bytes()[:5] == b"%PDF-"


def test_a_job_that_is_refused_is_an_answer_with_reasons_and_without_a_drawing(tmp_path: Path) -> None:
    unlike = DEMO.read_text(encoding="utf-8").replace('name: "226", type: tarn', 'name: "226", type: beck')
    (tmp_path / "unlike.yaml").write_text(unlike, encoding="utf-8")
    job = hs.load_job(tmp_path / "unlike.yaml")
    assert job.drawing is None and job.reasons
    answer = hs.plan(job)
    assert answer.answer in ("no", "outside the model") and answer.reasons and answer.write_sheet(tmp_path) == ()
    assert answer.reasons[0] in str(answer)


@pytest.mark.parametrize(
    ("ask", "said"),
    [
        (lambda: hs.load_job("demo-atach"), "nearest demo-attach"),
        (lambda: hs.judge("demo-atach"), "nearest demo-attach"),
        (lambda: hs.load_fleet().end_drawing("tarn"), "not a unit end"),
        (lambda: hs.load_fleet().end_drawing("tern/1"), "nearest tarn"),
        (lambda: hs.join("tarn/1", "gale/3"), "not a unit end"),
        (lambda: hs.can(DEMO, speed_kmh=-1), "outside what is answered for"),
        (lambda: hs.forecast(DEMO, ["217/2.brake_pipe_cok=shut"], members=0), "unknown fault"),
    ],
)
def test_bad_input_is_one_clear_error(ask: Callable[[], Any], said: str) -> None:
    with pytest.raises(hs.InputError, match=said):
        ask()


def test_a_rank_that_there_is_not_is_refused() -> None:
    with pytest.raises(ValueError, match="1 to 3, not 4"):
        hs.mistakes(DEMO, pairs_from=4)
