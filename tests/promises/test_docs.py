"""What the documents say is so: formats, examples, commands, options, links."""

from __future__ import annotations

import re
from pathlib import Path
from typing import get_args

import pytest
import typer

from headstock.base.documents import document_from_text
from headstock.base.loading import load_as
from headstock.cli.app import app
from headstock.usecases.air_case import answer_air_file
from headstock.usecases.air_case_file import AskCross, AskDrop, AskValue, CockEvent, RearEvent, ValveEvent
from tests.cases.jobs import DEMO, order_of
from tests.promises import air_case_page
from tests.promises.formats_page import FORMATS, INSTRUCTION, PAGE, page
from tests.promises.tree import ROOT

COMMANDS = ROOT / "docs" / "reference" / "commands.md"
PAGES = [*sorted((ROOT / "docs").rglob("*.md")), ROOT / "README.md"]


def test_the_page_of_formats_says_what_the_readers_ask_for() -> None:
    assert PAGE.read_text(encoding="utf-8") == page(), "make it anew: python -m tests.promises.formats_page"


@pytest.mark.parametrize("row", FORMATS, ids=lambda row: row[0])
def test_every_example_on_the_page_of_formats_loads(row: tuple[str, type, Path | str, str]) -> None:
    kind, model, _, _ = row
    section = PAGE.read_text(encoding="utf-8").split(f"\n## {kind.capitalize()}\n")[1]
    match = re.search(r"```yaml\n(.*?)```", section, re.DOTALL)
    assert match is not None
    assert load_as(document_from_text(match[1], f"{kind} example"), model, kind) is not None


def test_the_lines_of_the_example_instruction_are_steps_of_the_demo_job() -> None:
    idents = {(step.role, step.key) for step in order_of(DEMO)[1].steps}
    lines = re.findall(r'who: (\w+), does: "?([^"}]+)"?}', INSTRUCTION)
    assert len(lines) == 3
    assert set(lines) <= idents


def test_the_page_of_the_air_case_says_what_its_reader_takes() -> None:
    text = air_case_page.PAGE.read_text(encoding="utf-8")
    assert air_case_page.table() in text, "make it anew: python -m tests.promises.air_case_page"
    for part in (ValveEvent, RearEvent, CockEvent, AskValue, AskCross, AskDrop):
        assert [key for key in part.model_fields if key not in text] == []
    modes = get_args(ValveEvent.model_fields["mode"].annotation)
    assert [mode for mode in modes if f"`{mode}`" not in text] == []


def test_the_example_of_the_air_case_is_answered(tmp_path: Path) -> None:
    match = re.search(r"```json\n(.*?)```", air_case_page.PAGE.read_text(encoding="utf-8"), re.DOTALL)
    assert match is not None
    (tmp_path / "case.json").write_text(match[1], encoding="utf-8")
    (result,) = answer_air_file(tmp_path / "case.json").results
    assert [answer.unit for answer in result.answers] == ["s", "bar"]


def _commands() -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}

    def walk(command: object, name: str) -> None:
        options = [o for p in getattr(command, "params", []) for o in p.opts if o.startswith("--")]
        found[name] = [option for option in options if option != "--help"]
        for word, inner in getattr(command, "commands", {}).items():
            walk(inner, f"{name} {word}".strip())

    walk(typer.main.get_command(app), "")
    return found


def test_every_command_and_option_is_in_the_page_of_commands() -> None:
    text = COMMANDS.read_text(encoding="utf-8")
    missing = [name for name in _commands() if name and f"`headstock {name}" not in text]
    missing += [option for options in _commands().values() for option in options if f"`{option}" not in text]
    assert missing == []


def test_the_page_of_commands_names_no_option_that_is_not_there() -> None:
    options = {option for options in _commands().values() for option in options} | {"--help", "--all"}
    assert set(re.findall(r"`(--[a-z-]+)", COMMANDS.read_text(encoding="utf-8"))) <= options


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path.name)
def test_every_link_in_the_documents_leads_somewhere(path: Path) -> None:
    links = re.findall(r"\]\(([^)#]+?)(?:#[^)]*)?\)", path.read_text(encoding="utf-8"))
    assert [link for link in links if not (path.parent / link).exists()] == []


@pytest.mark.parametrize("folder", ["tutorial", "how-to", "explanation", "reference"])
def test_every_page_that_tells_people_what_to_do_carries_the_caution(folder: str) -> None:
    pages = sorted((ROOT / "docs" / folder).glob("*.md"))
    assert pages
    assert [path.name for path in pages if "planning and training aid" not in path.read_text(encoding="utf-8")] == []


def test_the_steps_of_the_tutorial_run(tmp_path: Path) -> None:
    from tests.journeys.test_command_line import headstock

    text = (ROOT / "docs" / "tutorial" / "first-job.md").read_text(encoding="utf-8")
    job = re.search(r"```yaml\n(headstock: job.*?)```", text, re.DOTALL)
    assert job is not None
    (tmp_path / "my-job.yaml").write_text(job[1], encoding="utf-8")
    commands = re.findall(r"^    \./run (.+)$", text, re.MULTILINE)
    assert len(commands) >= 3
    for command in commands:
        done = headstock(*command.split(), at=tmp_path)
        assert done.returncode == 0, f"{command}: {done.stdout[-500:]}{done.stderr}"
