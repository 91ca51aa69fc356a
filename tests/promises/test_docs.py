"""What the documents say is so: formats, examples, commands, options, links."""

from __future__ import annotations

import re
import shlex
from pathlib import Path
from typing import get_args

import pytest
import typer

from headstock.__main__ import whole_app
from headstock.base.documents import document_from_text
from headstock.base.loading import load_as
from headstock.usecases.air_case import answer_air_file
from headstock.usecases.air_case_file import AskCross, AskDrop, AskValue, CockEvent, RearEvent, ValveEvent
from headstock.usecases.job_file import JobFile
from headstock.usecases.line_matching import FLOOR, MARGIN, SURE
from headstock.usecases.people_file import BUILT_IN as PEOPLE
from headstock.usecases.step_texts import LEFT_OVER, OPPOSED
from tests.accuracy.test_waves import SHOCK_TUBE_CELLS, SHOCK_TUBE_ERRORS
from tests.cases.jobs import DEMO, order_of
from tests.cases.planted_instructions import HAND_WRITTEN
from tests.promises import air_case_page
from tests.promises.formats_page import (
    FLEET,
    FORMATS,
    INSTRUCTION,
    METHODS,
    PAGE,
    PLACES_FOLDER,
    RULES,
    TRIGGERS,
    meaning,
    models_written,
    page,
)
from tests.promises.tree import ROOT

COMMANDS = ROOT / "docs" / "reference" / "commands.md"
PAGES = [*sorted((ROOT / "docs").rglob("*.md")), ROOT / "README.md"]


def test_the_page_of_formats_says_what_the_readers_ask_for() -> None:
    assert PAGE.read_text(encoding="utf-8") == page(), "make it anew: python -m tests.promises.formats_page"


def test_every_field_that_people_write_has_its_meaning_with_its_unit() -> None:
    fields = [(model, key) for model in models_written() for key in model.model_fields]
    assert len(fields) > 150
    assert [f"{model.__name__}.{key}" for model, key in fields if len(meaning(model, key)) < 5] == []
    units = (("_mm2", "[mm2, effective]"), ("_kmh", "[km/h]"), ("_m_s", "[m/s]"), ("_percent", "[per cent"), ("_kn", "[kN]"),
             ("_mm", "[mm]"), ("_bar", "[bar"), ("_m", "[m"), ("_t", "[t]"), ("_l", "[l]"), ("_s", "[s]"))  # fmt: skip
    wrong = []
    for model, key in fields:
        unit = next((unit for ending, unit in units if key.endswith(ending)), None)
        if unit is not None and unit not in meaning(model, key):
            wrong.append(f"{model.__name__}.{key}: {meaning(model, key)}")
    assert wrong == []


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


def commands_there() -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}

    def walk(command: object, name: str) -> None:
        options = [o for p in getattr(command, "params", []) for o in p.opts if o.startswith("--")]
        found[name] = [option for option in options if option != "--help"]
        for word, inner in getattr(command, "commands", {}).items():
            walk(inner, f"{name} {word}".strip())

    walk(typer.main.get_command(whole_app()), "")
    return found


def test_every_command_and_option_is_in_the_page_of_commands() -> None:
    text = COMMANDS.read_text(encoding="utf-8")
    missing = [name for name in commands_there() if name and f"`headstock {name}" not in text]
    missing += [option for options in commands_there().values() for option in options if f"`{option}" not in text]
    assert missing == []


def test_the_page_of_commands_names_no_option_that_is_not_there() -> None:
    options = {option for options in commands_there().values() for option in options} | {"--help", "--all"}
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


def run_commands(page: str, at: Path, least: int, status: int = 0) -> list[str]:
    """What each command of a page answers, in the order of the page, but `serve`; ``status``: also a good end."""
    from tests.journeys.commands import headstock

    commands = re.findall(r"^ +\./run (?!serve$)(.+)$", (ROOT / "docs" / page).read_text(encoding="utf-8"), re.MULTILINE)
    assert len(commands) >= least
    said = []
    for command in commands:
        done = headstock(*shlex.split(command), at=at)
        assert done.returncode in (0, status), f"{command}: {done.stdout[-500:]}{done.stderr}"
        said.append(done.stdout)
    return said


def _write_the_first_job(at: Path) -> None:
    text = (ROOT / "docs" / "tutorial" / "first-job.md").read_text(encoding="utf-8")
    job = re.search(r"```yaml\n(headstock: job.*?)```", text, re.DOTALL)
    assert job is not None
    (at / "my-job.yaml").write_text(job[1], encoding="utf-8")


def test_the_steps_of_the_tutorial_run(tmp_path: Path) -> None:
    _write_the_first_job(tmp_path)
    run_commands("tutorial/first-job.md", tmp_path, 3)


def test_the_commands_for_forecasting_a_brake_test_run_and_the_test_sees_their_faults(tmp_path: Path) -> None:
    _write_the_first_job(tmp_path)
    cocks, *own, running = run_commands("how-to/forecast-a-brake-test.md", tmp_path, 3)
    assert "running test" in running and "1 brake pipe cock of 304/2 shut: within limits at every reading" in running
    assert "1 brake pipe cock of 304/2 shut: not within limits" in cocks
    for said in own:
        assert re.search("^1 .*: not within limits at", said, re.MULTILINE), said


def test_the_commands_for_judging_a_brake_test_run_and_judge(tmp_path: Path) -> None:
    text = (ROOT / "docs" / "how-to" / "judge-a-brake-test.md").read_text(encoding="utf-8")
    record = re.search(r"```yaml\n(headstock: readings.*?)```", text, re.DOTALL)
    assert record is not None
    (tmp_path / "my-test.yaml").write_text(record[1], encoding="utf-8")
    (tmp_path / "my-job.yaml").write_text(DEMO.read_text(encoding="utf-8"), encoding="utf-8")
    listed, shown, judged, leaving = run_commands("how-to/judge-a-brake-test.md", tmp_path, 4)
    assert "tail-vent: tail cock opened" in listed and "exempt once: tail cock opened" in shown
    assert "Readings within limits." in judged and "touched since?" in leaving


def test_the_commands_for_finding_what_is_wrong_run_and_name_the_cock(tmp_path: Path) -> None:
    from tests.cases.stored_readings import keep_for_commands

    keep_for_commands(8, "rear-application")
    text = (ROOT / "docs" / "how-to" / "find-what-is-wrong.md").read_text(encoding="utf-8")
    record = re.search(r"```yaml\n(headstock: readings.*?)```", text, re.DOTALL)
    assert record is not None
    (tmp_path / "failed.yaml").write_text(record[1], encoding="utf-8")
    (tmp_path / "my-job.yaml").write_text(DEMO.read_text(encoding="utf-8"), encoding="utf-8")
    plain, _, without, asking = run_commands("how-to/find-what-is-wrong.md", tmp_path, 4)
    assert "brake pipe cock of 217/2 shut" in plain and "brake pipe cock of 217/2 shut" not in without
    assert "Hold the train first" in plain and "what is there?" in asking


def test_the_commands_for_filing_a_test_and_verifying_the_records_run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HEADSTOCK_DATA", str(tmp_path / "data"))
    judging = (ROOT / "docs" / "how-to" / "judge-a-brake-test.md").read_text(encoding="utf-8")
    record = re.search(r"```yaml\n(headstock: readings.*?)```", judging, re.DOTALL)
    assert record is not None
    (tmp_path / "my-test.yaml").write_text(record[1], encoding="utf-8")
    (tmp_path / "my-job.yaml").write_text(DEMO.read_text(encoding="utf-8"), encoding="utf-8")
    (tmp_path / "my-people.yaml").write_text((PEOPLE / "wending-vale.yaml").read_text(encoding="utf-8"), encoding="utf-8")
    said = run_commands("how-to/file-a-test-and-verify-the-records.md", tmp_path, 13)
    assert "On record: test, entry 2" in said[0] and "void: " in said[1] and "touched since by J. Tolk" in said[2]
    assert (tmp_path / said[4].splitlines()[-1]).is_file()
    assert "Nothing was altered" in said[6] and said[8].startswith("3 restored")
    assert "defect" in said[10] and (tmp_path / "records.csv").is_file() and "Nothing was altered" in said[13]


def test_the_commands_for_one_s_own_unit_type_run(tmp_path: Path) -> None:
    (tmp_path / "my-fleet").mkdir()
    tarn = (FLEET / "tarn.yaml").read_text(encoding="utf-8")
    (tmp_path / "my-fleet" / "tarn.yaml").write_text(tarn, encoding="utf-8")
    (tmp_path / "my-fleet" / "kestle.yaml").write_text(tarn.replace("type: tarn", "type: kestle", 1), encoding="utf-8")
    checked, joined = run_commands("how-to/describe-your-own-unit-type.md", tmp_path, 2)
    assert "kestle: no fault found" in checked
    assert "kestle/1 and tarn/2 can be joined" in joined


def test_the_commands_for_seeing_what_joins_what_run(tmp_path: Path) -> None:
    whole, kept, some, pair, sheet, curved = run_commands("how-to/see-what-joins-what.md", tmp_path, 6)
    assert whole.splitlines() == kept.splitlines()[:-3]
    assert all((tmp_path / path).is_file() for path in (*kept.splitlines()[-3:], sheet.splitlines()[-1]))
    assert "3 types" in some and "the patterns differ, nothing is joined" in pair
    assert "on one curve of 180 m" in curved


def test_the_commands_for_a_part_made_couple_run_and_its_part_of_a_job_is_read(tmp_path: Path) -> None:
    lamp, nose, cock = run_commands("how-to/go-on-from-a-part-made-couple.md", tmp_path, 3)
    assert "1. draw clear at once and stop" in lamp and "lift the link over" in nose and "open the empty side first" in cock
    page = (ROOT / "docs" / "how-to" / "go-on-from-a-part-made-couple.md").read_text(encoding="utf-8")
    example = re.search(r"```yaml\n(.*?)```", page, re.DOTALL)
    assert example is not None
    job = (DEMO.parent / "part-made-attach.yaml").read_text(encoding="utf-8").partition("couple_as_found:")[0] + example[1]
    read = load_as(document_from_text(job, "example"), JobFile, "job")
    assert isinstance(read, JobFile) and read.couple_as_found is not None and read.couple_as_found.signs.pull == "holds"


def test_the_commands_for_one_s_own_files_run_and_find_no_fault(tmp_path: Path) -> None:
    copies = {"my-rules": RULES / "wending-vale.yaml", "my-method": METHODS / "rear-application.yaml",
              "my-triggers": TRIGGERS / "wending-vale.yaml", "my-place": PLACES_FOLDER / "harrow-ings-3.yaml",
              "my-job": DEMO}  # fmt: skip
    for name, path in copies.items():
        text = path.read_text(encoding="utf-8")
        for field, mine in (("place", "my-place"), ("local_rules", "my-rules"), ("method", "my-method"),
                            ("triggers", "my-triggers")):  # fmt: skip
            text = re.sub(rf"^{field}: [a-z0-9-]+$", f"{field}: {mine}.yaml", text, flags=re.MULTILINE)
        (tmp_path / f"{name}.yaml").write_text(text, encoding="utf-8")
    read, due, planned = run_commands("how-to/write-your-own-files.md", tmp_path, 3)
    assert read.count("no fault found") == 5
    assert "A test is due." in due
    assert "sheets/" in planned.splitlines()[-1]
    (tmp_path / "my-rules.yaml").unlink()
    from tests.journeys.commands import headstock

    assert "local rules not found" in headstock("plan", "my-job.yaml", at=tmp_path).stderr, "the job uses the copies"


def test_the_commands_for_checking_an_instruction_find_a_hole_and_the_repair_holds(tmp_path: Path) -> None:
    from tests.journeys.commands import headstock

    text = (ROOT / "docs/how-to/check-a-written-instruction.md").read_text(encoding="utf-8")
    commands = re.findall(r"^ +\./run (.+)$", text, re.MULTILINE)
    assert len(commands) == 2
    lines = HAND_WRITTEN.read_text(encoding="utf-8").splitlines()
    kept = [line for line in lines if "call to 2 m" not in line]
    (tmp_path / "my-instruction.txt").write_text("\n".join(kept), encoding="utf-8")
    (tmp_path / "my-job.yaml").write_text(DEMO.read_text(encoding="utf-8"), encoding="utf-8")
    holed, mended = (headstock(*command.split(), at=tmp_path) for command in commands)
    assert (holed.returncode, mended.returncode) == (1, 0), holed.stderr + mended.stderr
    assert re.search(r"add before line \d+: shunter: call to 2 m", holed.stdout)
    written = {line.strip() for line in lines}
    shown = re.findall(r"^ {7}(\d+\. .*)$", text, re.MULTILINE)
    assert len(shown) == 3 and set(shown) <= written, "the lines on the page are those of the instruction"


def test_the_page_on_checking_gives_the_figures_of_the_scoring() -> None:
    text = (ROOT / "docs/how-to/check-a-written-instruction.md").read_text(encoding="utf-8")
    assert f"keeps {OPPOSED} of its score" in text and f"other steps use {LEFT_OVER}." in text
    assert f"From {SURE} with {MARGIN} to spare" in text and f"under {FLOOR}" in text


def test_the_page_of_the_air_engine_gives_the_errors_that_the_tests_hold() -> None:
    text = (ROOT / "docs" / "explanation" / "air.md").read_text(encoding="utf-8")
    cells = ", ".join(map(str, SHOCK_TUBE_CELLS))
    errors = ", ".join(f"{error:.1e}".replace("e-0", "e-") for error in SHOCK_TUBE_ERRORS)
    assert f"mean error of density with {cells} cells: {errors} |" in text
