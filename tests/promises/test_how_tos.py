"""Every command and every page has a page that says how; what the newer pages tell to type is typed."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from headstock.usecases.exercise_file import exercise_path
from tests.cases.jobs import DEMO
from tests.cases.stored_readings import keep_for_commands
from tests.journeys.commands import headstock
from tests.promises.formats_page import FLEET
from tests.promises.test_docs import COMMANDS, commands_there, run_commands
from tests.promises.tree import ROOT

HOW_TOS = sorted((ROOT / "docs" / "how-to").glob("*.md"))
TUTORIALS = ROOT / "docs" / "tutorial"
PAGES_SHOWN = {
    "brake_test": "test-the-brake-with-a-phone.md", "exercise": "set-and-sit-an-exercise.md",
    "fleet": "keep-the-fleet-on-pages.md",
    "fleet_joins": "keep-the-fleet-on-pages.md", "fleet_versions": "keep-the-fleet-on-pages.md",
    "house": "plan-a-job-in-the-browser.md", "job": "plan-a-job-in-the-browser.md", "job_people": "keep-competence.md",
    "job_sections": "plan-a-job-in-the-browser.md", "look_next": "test-the-brake-with-a-phone.md",
    "new_job": "plan-a-job-in-the-browser.md", "offline": "test-the-brake-with-a-phone.md",
    "papers": "set-and-sit-an-exercise.md", "people": "keep-competence.md",
    "people_files": "keep-competence.md", "print_job": "plan-a-job-in-the-browser.md",
    "records": "file-a-test-and-verify-the-records.md", "sign_in": "serve-a-depot.md", "sign_off": "keep-competence.md",
    "sitting_record": "keep-competence.md", "stop_job": "stop-or-hand-over.md", "turn": "plan-a-job-in-the-browser.md",
}  # fmt: skip
"""By the module that answers with pages: where it says how they are used."""
SAID_OF_PAGES = {
    "plan-a-job-in-the-browser.md": ("This turn", "New job", "Order of work", "Print", "All keys"),
    "test-the-brake-with-a-phone.md": ("Begin the test", "Without a connection", "look here next"),
    "keep-competence.md": ("People", "Sign somebody off", "Who may do this"),
    "keep-the-fleet-on-pages.md": ("What joins what", "Compare two types", "Versions"),
    "file-a-test-and-verify-the-records.md": ("On pages: *Records*",),
    "set-and-sit-an-exercise.md": ("Talk it through", "Join one"),
}


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("HEADSTOCK_DATA", str(tmp_path / "data"))
    monkeypatch.delenv("HEADSTOCK_RECORDS", raising=False)
    (tmp_path / "my-job.yaml").write_text(DEMO.read_text(encoding="utf-8"), encoding="utf-8")
    return tmp_path


def _text(name: str) -> str:
    return (ROOT / "docs" / "how-to" / name).read_text(encoding="utf-8")


def test_every_command_has_a_page_that_says_how() -> None:
    pages = [*HOW_TOS, *TUTORIALS.glob("*.md")]
    text = "\n".join(path.read_text(encoding="utf-8") for path in pages)
    told = [name for name in commands_there() if name]
    assert len(told) > 50
    assert [name for name in told if not re.search(rf"(?:\./run|headstock) {re.escape(name)}\b", text)] == []


def test_every_page_for_a_browser_has_a_page_that_says_how() -> None:
    routes = {path.stem for path in (ROOT / "src/headstock/web/routes").glob("*.py")} - {"__init__"}
    assert set(PAGES_SHOWN) == routes, "say in which how-to a page is told"
    assert set(PAGES_SHOWN.values()) <= {path.name for path in HOW_TOS}
    lacking = [f"{name}: {words}" for name, said in SAID_OF_PAGES.items() for words in said if words not in _text(name)]
    assert lacking == []


def test_every_how_to_and_tutorial_is_linked_from_somewhere() -> None:
    pages = [*(ROOT / "docs").rglob("*.md"), ROOT / "README.md"]
    linked = {
        (path.parent / link).resolve()
        for path in pages
        for link in re.findall(r"\]\(([^)#:]+?)(?:#[^)]*)?\)", path.read_text(encoding="utf-8"))
    }
    assert [path.name for path in (*HOW_TOS, *TUTORIALS.iterdir()) if path.resolve() not in linked] == []
    assert COMMANDS.resolve() in linked


def test_the_commands_for_mistakes_run(place: Path) -> None:
    alone, paired = run_commands("how-to/see-who-would-notice-a-mistake.md", place, 2)
    for heading in ("Left out, and nobody notices", "Done otherwise, and nobody notices", "only after a rule was broken",
                    "Looks on which most rests", "Looks to add"):  # fmt: skip
        assert heading in alone
    assert "Two together" in paired and "Two together" not in alone


def test_the_commands_for_what_a_test_cannot_see_run(place: Path) -> None:
    keep_for_commands(8, "rear-application")
    spots, written = run_commands("how-to/see-what-a-test-cannot-see.md", place, 2, status=1)
    assert "The cheapest looks that show the rest" in spots and "A limit moved" in spots
    assert (place / "my-signatures.parquet").is_file() and "my-signatures.parquet" in written


def test_the_commands_for_what_the_train_can_do_run(place: Path) -> None:
    _, kept, ahead, printed = run_commands("how-to/ask-what-the-train-can-do.md", place, 4)
    assert "To stop within 300 m here" in kept and "81 km/h at most" in kept and "To stop within 300 m" in ahead
    assert (place / printed.splitlines()[-1]).is_file() and "(platform)" in printed


def test_the_commands_for_holding_it_against_something_outside_run(place: Path) -> None:
    page = _text("hold-it-against-something-outside.md")
    case = re.search(r"```json\n(.*?)```", page, re.DOTALL)
    assert case is not None
    (place / "case.json").write_text(case[1], encoding="utf-8")
    said, fine, *_ = run_commands("how-to/hold-it-against-something-outside.md", place, 4)
    assert "not been validated" in said.lower() or "not validated" in said.lower()
    assert json.loads(fine) == json.loads((place / "fine.json").read_text(encoding="utf-8"))
    assert (place / "fast.json").is_file() and (place / "samples.parquet").is_file()


def test_the_commands_for_keeping_competence_run(place: Path) -> None:
    sat, paper, signed, person = run_commands("how-to/keep-competence.md", place, 4)
    assert "sitting" in sat and "paper" in paper and "competence" in signed and "in date" in person
    assert "people: J. Tolk, shunter" in sat and "1 sitting." in person, "the sitting counts for who sat it"


def test_the_first_exercise_runs_as_it_is_told(place: Path) -> None:
    page = (TUTORIALS / "first-exercise.md").read_text(encoding="utf-8")
    commands = re.findall(r"^ +\./run (.+)$", page, re.MULTILINE)
    listed, shown = (headstock(*command.split(), at=place).stdout for command in commands[:2])
    assert "attach-plain" in listed and "104 lines" in shown and exercise_path("attach-strict").is_file()
    safe, unsafe = re.findall(r"```text\n(.*?)```", page, re.DOTALL)
    said = headstock(*commands[2].split(), at=place, typed=safe)
    assert said.returncode == 0 and "Safe: nothing unsafe was done" in said.stdout
    assert "As the instruction says: no" in said.stdout and "the first: line 13, watch 226 for 60 s: it stands" in said.stdout
    wrong = headstock(*commands[2].split(), at=place, typed=unsafe)
    assert wrong.returncode == 1 and "Safe: no" in wrong.stdout and "is crushed" in wrong.stdout


def test_the_tutorial_of_a_unit_type_runs_and_its_mistake_is_named(place: Path) -> None:
    page = (TUTORIALS / "your-unit-type.md").read_text(encoding="utf-8")
    mine = place / "my-fleet"
    mine.mkdir()
    for name in ("tarn", "gale"):
        (mine / f"{name}.yaml").write_text((FLEET / f"{name}.yaml").read_text(encoding="utf-8"), encoding="utf-8")
    head = re.search(r"```yaml\n(.*?)```", page, re.DOTALL)
    assert head is not None
    text = (FLEET / "tarn.yaml").read_text(encoding="utf-8")
    for line in head[1].splitlines():
        text = re.sub(rf"^{line.split(':')[0]}: .*$", line, text, count=1, flags=re.MULTILINE)
    text, cut = re.subn(r"^declared:\n.*\n", "", text, flags=re.MULTILINE)
    assert cut == 1
    (mine / "kestle.yaml").write_text(text, encoding="utf-8")
    _, _, listed, checked, alike, other, _ = run_commands("tutorial/your-unit-type.md", place, 7)
    assert "kestle: Kestle, four-vehicle two-pipe unit" in listed and "kestle: no fault found" in checked
    assert "level: mechanical and automatic brake" in alike.split("screw:")[0] and "alike, pin by pin" in alike
    assert "adapter: only if" in other and "lost:" in other
    (mine / "kestle.yaml").write_text(text.replace("contour: A", "contur: A", 1), encoding="utf-8")
    wrong = headstock("fleet", "check", "my-fleet/kestle.yaml", at=place)
    assert wrong.returncode == 2 and "nearest contour" in wrong.stderr and re.search(r"kestle\.yaml:\d+ ", wrong.stderr)
