"""Journeys through the command line as people take them, each command in a process of its own."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from pypdf import PdfReader

from headstock.usecases.job_file import JOBS_FOLDER
from tests.cases.pddl_text import read_files
from tests.cases.planted_instructions import HAND_WRITTEN
from tests.journeys.commands import SRC, answer_of, headstock

DEMO, SECOND = JOBS_FOLDER / "demo-attach.yaml", JOBS_FOLDER / "second-attach.yaml"


def test_without_a_command_the_demo_is_planned_and_the_sheet_is_the_last_line(tmp_path: Path) -> None:
    done = headstock(at=tmp_path, cold=True)
    assert done.returncode == 0, done.stderr
    sheet = tmp_path / done.stdout.strip().splitlines()[-1]
    reader = PdfReader(sheet)
    front = reader.pages[0].extract_text()
    assert "Attach 217 to 226" in front
    assert "Nobody goes between on the word of a sheet" in front
    assert "Wending Vale, edition 3" in front
    assert "page 1 of" in front
    width, height = (round(float(side) / 72 * 25.4) for side in (reader.pages[0].mediabox.width, reader.pages[0].mediabox.height))
    assert (width, height) == (210, 297)


def test_on_what_the_cocks_are_opened_is_said_in_the_terminal_in_json_and_where_the_driver_gives_his_assurance(
    tmp_path: Path,
) -> None:
    value = answer_of("plan", DEMO, at=tmp_path)
    assert value["opening"].startswith("While the joint's cocks are opened, 217 stands on its full application")
    said = " ".join(headstock("plan", DEMO, at=tmp_path).stdout.split())
    assert f"Caution: {value['opening']}" in said
    cautions = {step["does"]: step["caution"] for step in value["steps"] if step["does"].startswith("assure")}
    assert len(cautions) == 2
    assert all("the driver stays at the brake" in caution.lower() for caution in cautions.values())
    assert any("Only air holds 217" in caution for does, caution in cautions.items() if does.endswith("coupled"))


def test_with_a_brake_isolated_only_air_holds_nobody_and_every_face_says_what_was_found(tmp_path: Path) -> None:
    job = tmp_path / "isolated.yaml"
    lines = "as_left:\n  2172.automatic_brake: isolated\n  226.main_reservoir: dead\n"
    job.write_text(DEMO.read_text(encoding="utf-8").replace("as_left:\n", lines), encoding="utf-8")
    value = answer_of("plan", job, at=tmp_path)
    assert value["opening"].endswith("217 and 226 each stand on proved hand or parking brakes.")
    assert len(value["steps"]) > len(answer_of("plan", DEMO, at=tmp_path)["steps"])
    assert [caution.split(":")[0] for caution in value["found_cautions"]] == [
        "Brake of 2172 found isolated", "Compressor of 226 found dead"]  # fmt: skip
    said = " ".join(headstock("plan", job, at=tmp_path).stdout.split())
    front = " ".join(PdfReader(tmp_path / value["sheet"]).pages[0].extract_text().split())
    for caution in value["found_cautions"]:
        assert f"Caution: {caution}" in said and caution in front


def test_other_units_and_another_place_make_another_sheet(tmp_path: Path) -> None:
    texts = []
    for job in (DEMO, SECOND):
        value = answer_of("plan", job, at=tmp_path)
        texts.append(PdfReader(tmp_path / value["sheet"]).pages[0].extract_text())
    assert "Quarry Neck" in texts[1]
    assert "hand brake" in texts[1].lower() or "Hand brakes" in texts[1]
    assert texts[0] != texts[1]


def test_a_plan_written_as_an_instruction_passes_its_own_check(tmp_path: Path) -> None:
    answer_of("plan", DEMO, "--instruction", "written.yaml", at=tmp_path)
    assert answer_of("check", "written.yaml", "--job", DEMO, at=tmp_path)["holds"] is True


def test_a_job_s_task_is_written_as_pddl_that_another_reader_reads(tmp_path: Path) -> None:
    value = answer_of("plan", DEMO, "--pddl", "task", at=tmp_path)
    domain, problem = (tmp_path / path for path in value["pddl"])
    files = read_files(domain.read_text(encoding="utf-8"), problem.read_text(encoding="utf-8"))
    assert len(files.actions) > len(value["steps"]) and files.goal and not files.goal <= files.start


def test_a_folder_for_pddl_that_cannot_be_made_is_one_error(tmp_path: Path) -> None:
    (tmp_path / "task").write_text("", encoding="utf-8")
    said = answer_of("plan", DEMO, "--pddl", "task", at=tmp_path, status=2)["error"]
    assert "the task cannot be written" in said["message"]


def test_an_instruction_with_a_line_taken_out_is_refused_at_its_line(tmp_path: Path) -> None:
    answer_of("plan", DEMO, "--instruction", "written.yaml", at=tmp_path)
    lines = (tmp_path / "written.yaml").read_text(encoding="utf-8").splitlines()
    kept = [line for line in lines if "assure the shunter that the brake is on and locked, coupled" not in line]
    assert len(kept) == len(lines) - 1
    (tmp_path / "holed.yaml").write_text("\n".join(kept), encoding="utf-8")
    value = answer_of("check", "holed.yaml", "--job", DEMO, at=tmp_path, status=1)
    assert "between-protected" in {hole["about"] for hole in value["complaints"]}


def test_a_line_that_is_no_step_is_named_with_the_nearest(tmp_path: Path) -> None:
    text = "headstock: instruction 1\ntitle: odd\nsteps:\n  - {who: shunter, does: look at the lock of 217/2 and 226/2}\n"
    (tmp_path / "odd.yaml").write_text(text, encoding="utf-8")
    value = answer_of("check", "odd.yaml", "--job", DEMO, at=tmp_path, status=1)
    assert value["complaints"][0]["nearest"] == "shunter: look at the lock of 217/2 and 226/1"


def test_a_plain_text_is_checked_mended_and_the_mended_one_passes(tmp_path: Path) -> None:
    lines = HAND_WRITTEN.read_text(encoding="utf-8").splitlines()
    holed = ["Driver couple up gently" if "tug the jumper" in line else line for line in lines if "call to couple" not in line]
    (tmp_path / "mine.txt").write_bytes("\ufeff".encode() + "\r\n".join(holed).encode())
    value = answer_of("check", "mine.txt", "--job", DEMO, "--repaired", "mended.yaml", at=tmp_path, status=1)
    assert value["lines"] == {"sure": 102, "doubtful": 0, "none": 1, "headings": 10}
    called = next(c for c in value["complaints"] if c["about"] == "authority=couple")
    assert holed[called["file_line"] - 1].endswith("couple 217/2 and 226/1 with the knuckle of 226/1 open")
    untold = next(c for c in value["complaints"] if c["about"] == "226/1.jumper=latched")
    assert untold["shown_by"]["step"] == "try the bell both ways" and "shown by: line" in untold["shown"]
    assert [(c["kind"], c["does"]) for c in value["repair"]["changes"]] == [
        ("add", "call to couple"), ("leave out", "Driver couple up gently"), ("add", "tug the jumper of 226/1")]  # fmt: skip
    assert answer_of("check", "mended.yaml", "--job", DEMO, at=tmp_path)["holds"] is True


def test_a_doubtful_line_is_shown_and_keeps_the_instruction_from_passing(tmp_path: Path) -> None:
    text = HAND_WRITTEN.read_text(encoding="utf-8").replace("Shunter: open the knuckle of 226/1", "open the knuckle of 226/1")
    (tmp_path / "mine.txt").write_text(text, encoding="utf-8")
    done = headstock("check", "mine.txt", "--job", DEMO, at=tmp_path)
    assert done.returncode == 1
    assert "doubtful, taken for shunter: open the knuckle of 226/1" in done.stdout
    assert "no role is written: guessed" in done.stdout
    assert "Lines matched: 103 surely, 1 doubtfully, 0 not at all; 10 read as headings or remarks." in done.stdout
    assert "no holes found" in done.stdout


@pytest.mark.parametrize(
    ("content", "code", "said"),
    [(b"", "file-notation", "no line"), (b"Foreman: join\n", "file-content", "unknown role"),
     (b"\xff\xfe\x00S", "file-unreadable", "not UTF-8"), (b"Shunter: \x00", "file-notation", "control character")],
)  # fmt: skip
def test_a_text_that_cannot_be_meant_is_one_error_with_place_and_cure(
    content: bytes, code: str, said: str, tmp_path: Path
) -> None:
    (tmp_path / "mine.txt").write_bytes(content)
    error = answer_of("check", "mine.txt", "--job", DEMO, at=tmp_path, status=2)["error"]
    assert (error["code"], said in error["message"]) == (code, True)
    assert "mine.txt" in error["where"] and error["cure"]


@pytest.mark.parametrize(
    ("pair", "status", "answer"),
    [(("tarn/1", "tarn/2"), 0, "yes"), (("tarn/1", "gale/2"), 0, "only if"), (("moss/1", "gale/2"), 1, "no")],
)
def test_join_says_yes_only_if_or_no_with_its_exit_status(
    pair: tuple[str, str], status: int, answer: str, tmp_path: Path
) -> None:
    assert answer_of("join", *pair, at=tmp_path, status=status)["answer"] == answer


def test_only_if_gives_the_condition_first(tmp_path: Path) -> None:
    lines = headstock("join", "tarn/1", "gale/2", at=tmp_path).stdout.splitlines()
    assert lines[0].endswith("only if")
    assert "only if an adapter" in lines[2]


def test_join_takes_units_of_a_job(tmp_path: Path) -> None:
    assert answer_of("join", "217/2", "226/1", "--job", DEMO, at=tmp_path)["answer"] == "yes"


def test_the_fleet_can_be_listed_shown_and_checked(tmp_path: Path) -> None:
    names = [row["type"] for row in answer_of("fleet", "list", at=tmp_path)]
    assert names == ["beck", "crag", "fell", "gale", "holm", "moss", "tarn", "wold"]
    lines = headstock("fleet", "list", at=tmp_path).stdout.splitlines()
    assert lines[0] == "beck: Beck, three-vehicle unit without a brake pipe (issue 1, invented)"
    assert lines[1].endswith("; automatic coupler (face M); main reservoir pipe; wired brake")
    assert "end 1 automatic coupler (face L) and end 2 semi-permanent bar" in lines[9]
    assert answer_of("fleet", "show", "moss", at=tmp_path)["type"] == "moss"
    tarn = SRC / "headstock" / "equipment" / "fleet" / "tarn.yaml"
    assert headstock("fleet", "check", tarn, at=tmp_path).returncode == 0


def test_read_says_of_each_file_what_it_is_and_every_fault_with_line_and_path(tmp_path: Path) -> None:
    rules = (SRC / "headstock" / "local_rules" / "rules" / "wending-vale.yaml").read_text(encoding="utf-8")
    (tmp_path / "rules.yaml").write_text(rules.replace("margin: {value: 1.5", "margin: {value: 0.5"), encoding="utf-8")
    line = next(number for number, text in enumerate(rules.splitlines(), start=1) if "margin:" in text)
    done = headstock("read", DEMO, "rules.yaml", at=tmp_path)
    assert done.returncode == 2
    lines = done.stdout.splitlines()
    assert lines[0] == f"{DEMO}: job, Attach 217 to 226, invented: no fault found"
    assert lines[1] == "rules.yaml: local rules, Wending Vale, edition 3, invented: 1 fault"
    assert f"rules.yaml:{line} holding.margin.value" in lines[2]
    assert "its source says" in lines[-1]
    assert headstock("read", DEMO, SECOND, at=tmp_path).returncode == 0
    job, other = answer_of("read", DEMO, "rules.yaml", at=tmp_path, status=2)
    assert (job["kind"], job["faults"]) == ("job", [])
    assert (other["title"], other["edition"], other["faults"][0]["line"]) == ("Wending Vale", "3", line)


def test_a_road_too_steep_to_hold_on_is_an_answer_with_the_reason(tmp_path: Path) -> None:
    text = DEMO.read_text(encoding="utf-8").replace("place: harrow-ings-3", "place: steep.yaml")
    (tmp_path / "job.yaml").write_text(text, encoding="utf-8")
    place = (SRC / "headstock" / "formation" / "places" / "harrow-ings-3.yaml").read_text(encoding="utf-8")
    (tmp_path / "steep.yaml").write_text(place.replace("1 in 150", "1 in 18"), encoding="utf-8")
    value = answer_of("plan", "job.yaml", at=tmp_path, status=1)
    assert any("217 cannot be held here" in reason for reason in value["reasons"])
    assert any("226 cannot be held here" in reason and "kN are needed with the margin" in reason for reason in value["reasons"])
    assert not (tmp_path / "sheets").exists()


def test_a_board_that_nobody_says_he_placed_stops_the_job(tmp_path: Path) -> None:
    text = SECOND.read_text(encoding="utf-8").replace('boards_placed_by: {"508": guard}\n', "")
    (tmp_path / "job.yaml").write_text(text, encoding="utf-8")
    value = answer_of("plan", "job.yaml", at=tmp_path, status=1)
    assert value["reasons"] == ["nothing in this job gives: not-to-be-moved board of 508 off"]


def test_a_train_whose_brake_is_not_tested_here_is_outside_the_model(tmp_path: Path) -> None:
    text = DEMO.read_text(encoding="utf-8").replace("type: tarn", "type: beck").split("as_left:")[0]
    (tmp_path / "job.yaml").write_text(text, encoding="utf-8")
    value = answer_of("plan", "job.yaml", at=tmp_path, status=3)
    assert value["answer"] == "outside the model"
    assert "has no brake pipe" in value["reasons"][0]


def test_an_instruction_for_a_job_outside_the_model_is_not_called_checked(tmp_path: Path) -> None:
    text = DEMO.read_text(encoding="utf-8").replace("type: tarn", "type: beck").split("as_left:")[0]
    (tmp_path / "job.yaml").write_text(text, encoding="utf-8")
    (tmp_path / "i.yaml").write_text(
        "headstock: instruction 1\ntitle: t\nsteps:\n  - {who: driver, does: drive}\n", encoding="utf-8"
    )
    done = headstock("check", "i.yaml", "--job", "job.yaml", at=tmp_path)
    assert done.returncode == 3
    assert "not checked" in done.stdout
    assert "no holes" not in done.stdout


def test_local_rules_without_a_restriction_are_refused_with_their_line(tmp_path: Path) -> None:
    rules = (SRC / "headstock" / "local_rules" / "rules" / "wending-vale.yaml").read_text(encoding="utf-8")
    for word in ("screw", "adapter", "rescue"):
        kept = "\n".join(line for line in rules.splitlines() if not line.startswith(f"    {word}: "))
        (tmp_path / "rules.yaml").write_text(kept, encoding="utf-8")
        error = answer_of("join", "tarn/1", "moss/2", "--local-rules", "rules.yaml", at=tmp_path, status=2)["error"]
        assert error["faults"][0]["path"] == f"restrictions.value.{word}"


def test_ends_that_cannot_be_joined_are_an_answer_with_every_reason(tmp_path: Path) -> None:
    text = DEMO.read_text(encoding="utf-8").split("as_left:")[0]
    text = text.replace('{name: "217", type: tarn}', '{name: "217", type: gale}')
    text = text.replace('{name: "226", type: tarn}', '{name: "226", type: moss}')
    (tmp_path / "job.yaml").write_text(text, encoding="utf-8")
    value = answer_of("plan", "job.yaml", at=tmp_path, status=1)
    assert len([reason for reason in value["reasons"] if reason.split(":")[0] in ("direct", "screw", "adapter")]) == 4


BAD = {
    "unknown key": ("method:", "methd:", 2),
    "missing field": ("place: harrow-ings-3\n", "", 1),
    "unknown type": ("type: tarn}", "type: tran}", 2),
    "joined to itself": ("[217/2, 226/1]", "[217/2, 217/1]", 1),
    "a ring": ("make: true}", "make: true}\n  - {ends: [226/2, 217/1]}", 2),
    "no outer end": ("leaves_from: 217/1", "leaves_from: 217/2", 1),
    "a fact of the job": ("226/1.red_lamp: lit", 'agreed: "yes"\n  road: given\n  brake_test: rear restored', 3),
    "unknown device": ("226/1.red_lamp", "226/1.red_lmp", 1),
    "unknown state": ("226/1.red_lamp: lit", "226/1.red_lamp: blue", 1),
    "a number for a name": ('name: "217"', "name: 217", 1),
    "unknown place": ("harrow-ings-3", "harrow-ings-4", 1),
}


@pytest.mark.parametrize("name", BAD)
def test_bad_input_gives_one_error_with_place_and_cure_and_writes_nothing(name: str, tmp_path: Path) -> None:
    before, after, faults = BAD[name]
    text = DEMO.read_text(encoding="utf-8")
    assert before in text
    (tmp_path / "job.yaml").write_text(text.replace(before, after), encoding="utf-8")
    error = answer_of("plan", "job.yaml", at=tmp_path, status=2)["error"]
    assert len(error["faults"]) == faults
    assert all(fault["file"].endswith("job.yaml") and fault["line"] for fault in error["faults"])
    assert [path.name for path in tmp_path.iterdir()] == ["job.yaml"]


@pytest.mark.parametrize(
    "content",
    [b"", b"\x00\x01", b"title: caf\xe9\n", b"x: " + b"[" * 50000, b"x: " + b"y" * 1_100_000, b"- a\n- b\n", b"a: *b\n"],
)
def test_what_is_no_job_file_is_refused_without_a_traceback(content: bytes, tmp_path: Path) -> None:
    (tmp_path / "job.yaml").write_bytes(content)
    done = headstock("plan", "job.yaml", at=tmp_path)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert len(done.stderr.strip().splitlines()) <= 4


def test_an_unknown_option_is_bad_input(tmp_path: Path) -> None:
    assert headstock("plan", "--nonsense", at=tmp_path).returncode == 2


def test_a_sheet_folder_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    (tmp_path / "sheets").write_text("in the way", encoding="utf-8")
    done = headstock("plan", DEMO, at=tmp_path)
    assert done.returncode == 2
    assert "cannot be written" in done.stderr


def test_help_imports_nothing_heavy() -> None:
    code = """
import sys
sys.argv = ["headstock", "--help"]
from headstock.__main__ import main
try:
    main()
except SystemExit:
    heavy = {"pydantic", "yaml", "typst", "pint", "numpy"} & set(sys.modules)
    sys.exit(f"{heavy}" if heavy else 0)
"""
    environment = {**os.environ, "PYTHONPATH": str(SRC)}
    done = subprocess.run([sys.executable, "-c", code], env=environment, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize(
    "words", [("plan",), ("nosuch",), ("plan", "job.yaml", "--nope"), ("fleet", "show"), ("check", "x.yaml")]
)
def test_wrong_words_are_one_error_in_the_shape_of_all_others(words: tuple[str, ...], tmp_path: Path) -> None:
    error = answer_of(*words, at=tmp_path, status=2)["error"]
    other = answer_of("plan", "nowhere.yaml", at=tmp_path, status=2)["error"]
    assert error.keys() == other.keys()
    assert error["message"] and error["cure"] and error["faults"][0].keys() == other["faults"][0].keys()
    plain = headstock(*words, at=tmp_path)
    assert plain.returncode == 2
    assert error["message"] in plain.stderr
    assert plain.stdout == ""


def test_the_forecast_says_what_the_gauges_show_and_what_each_shut_cock_makes_of_it(tmp_path: Path) -> None:
    value = answer_of("forecast", DEMO, at=tmp_path)
    healthy, *faults = value["cases"]
    assert healthy["is_within_limits"] and not any(case["is_within_limits"] for case in faults)
    assert [case["name"] for case in faults] == ["brake pipe cock of 217/2 shut", "brake pipe cock of 226/1 shut"]
    assert len(healthy["t_s"]) == len(healthy["front_bar"]) == len(healthy["rear_bar"]) > 1000
    said = headstock("forecast", DEMO, at=tmp_path)
    assert said.returncode == 0
    assert "4.8 bar or more" in said.stdout and "[0.00]" in said.stdout
    assert "never" in said.stdout and "Caution" in said.stdout
    assert "reckoning" not in said.stderr, "the second time all is kept"
    assert list(tmp_path.iterdir()) == []


def test_faults_of_one_s_own_are_forecast_and_one_that_is_none_is_named_with_the_nearest(tmp_path: Path) -> None:
    value = answer_of(
        "forecast", DEMO, "--fault", "226/1.brake_valve=running", "--fault", "226/2.brake_pipe_cock=open", at=tmp_path
    )
    assert [case["is_within_limits"] for case in value["cases"]] == [True, False, True]
    for written, nearest in (("217/2.brake_pipe_cok=shut", "217/2.brake_pipe_cock"), ("217/2.brake_pipe_cock=shutt", "shut")):
        error = answer_of("forecast", DEMO, "--fault", written, at=tmp_path, status=2)["error"]
        assert error["faults"][0]["nearest"] == nearest
        assert error["cure"]


def test_a_flow_meter_and_a_running_test_are_forecast_with_their_bands_and_what_changes_them(tmp_path: Path) -> None:
    flow = answer_of("forecast", DEMO, "--method", "example-leak-by-flow-units", "--fault", "2264.leak=1.5", at=tmp_path)
    healthy, leak = (case["readings"][-1] for case in flow["cases"])
    assert healthy["within"] and not leak["within"] and leak["shows_bar"] > 100 and flow["not_forecast"] == []
    band = next(one for one in flow["band"]["readings"] if one["stage"] == "flow")
    assert band["lowest"] <= healthy["shows_bar"] <= band["highest"] < 40
    said = headstock("forecast", DEMO, "--method", "example-leak-by-flow-units", "--fault", "2264.leak=1.5", at=tmp_path).stdout
    assert "40 l/min or less" in said and "free air" in said and "brake pipe leaks at 2264, 1.5 bar a minute" in said
    said = headstock("forecast", DEMO, "--method", "running", at=tmp_path).stdout
    assert "10 km/h or more" in said and "on the level" in said and "brake of 2264 isolated" in said
    error = answer_of(
        "forecast", DEMO, "--method", "example-leak-by-flow-units", "--fault", "2246.leak=1", at=tmp_path, status=2
    )["error"]
    assert error["faults"][0]["nearest"] == "2264"


def test_a_job_that_cannot_be_planned_has_no_forecast_and_says_why(tmp_path: Path) -> None:
    steep = DEMO.read_text(encoding="utf-8").replace("226, type: tarn", "226, type: gale")
    (tmp_path / "job.yaml").write_text(steep.replace('name: "226", type: tarn', 'name: "226", type: gale'), encoding="utf-8")
    value = answer_of("forecast", "job.yaml", at=tmp_path, status=1)
    assert value["answer"] == "no" and value["reasons"] and "cases" not in value


def test_an_order_with_a_test_by_wires_says_who_commands_and_who_reads(tmp_path: Path) -> None:
    text = DEMO.read_text(encoding="utf-8").replace(
        "method: rear-application", "method: rear-application\nthen_tests: [electric-apply-hold-release]"
    )
    (tmp_path / "job.yaml").write_text(text, encoding="utf-8")
    steps = [str(step) for step in answer_of("plan", "job.yaml", at=tmp_path)["steps"]]
    commanded = next(number for number, step in enumerate(steps) if "lectric application from the leading cab" in step)
    read = next(number for number, step in enumerate(steps) if "read the brake cylinder at the rear" in step)
    assert commanded < read and "driver" in steps[commanded] and "guard" in steps[read]
    value = answer_of("forecast", "job.yaml", at=tmp_path)
    assert value["cases"][0]["is_within_limits"] and any("jumper" in case["name"] for case in value["cases"])


def test_the_sheet_carries_the_forecast(tmp_path: Path) -> None:
    value = answer_of("plan", DEMO, at=tmp_path)
    pages = PdfReader(tmp_path / value["sheet"]).pages
    text = " ".join(" ".join(page.extract_text() for page in pages).split())
    assert "Forecast of the brake test" in text
    assert "brake pipe cock of 226/1 shut" in text
    assert "the forecast never does" in text
    assert "4.80 to 5.20" in text and "The gauge stands still" in text


def test_many_faults_stand_in_tables_that_a_narrow_terminal_has_room_for() -> None:
    from rich.console import Console

    from headstock.brake_test.forecast import Forecast, ForecastCase, ForecastReading
    from headstock.cli.commands.forecast import _tables
    from headstock.local_rules.rules import BUILT_IN, load_local_rules

    reading = ForecastReading("a", "Restored, rear", "rear", "charged_at_least_bar", 4.8, 3.25, False)
    cases = tuple(ForecastCase(name, (), (), (), (reading,), 0.0) for name in ("healthy", *map(str, range(10))))
    console = Console(width=80, record=True, file=open(os.devnull, "w", encoding="utf-8"))  # noqa: SIM115
    for table in _tables(Forecast((), cases), load_local_rules(BUILT_IN / "wending-vale.yaml")):
        console.print(table)
    said = console.export_text()
    assert "…" not in said
    assert said.count("[3.25]") == 10 + 4
    assert [line.split()[-1] for line in said.splitlines() if "gauge shows" in line] == ["3", "6", "9", "10"]
    console.file.close()


def test_due_answers_in_words_and_json_with_its_exit_status(tmp_path: Path) -> None:
    said = headstock("due", "detached at rear", "--triggers", "example-germany", at=tmp_path)
    assert said.returncode == 1
    for words in ("not for use", "No test at standstill is due: the entries below say so.", "second-hand", "not complete"):
        assert words in said.stdout
    due = headstock("due", "standing test passed", "--fact", "electric_brake_in_use=true", "--json", at=tmp_path)
    value = json.loads(due.stdout)
    assert (due.returncode, value["answer"], value["due"][0]["test"]) == (0, "yes", "running")
    assert "proves nothing about the pipe" in value["notes"][0]
    assert value["fired"][0]["source"]["status"] == "invented"
    open_still = headstock("due", "stood", "--json", at=tmp_path)
    value = json.loads(open_still.stdout)
    assert (open_still.returncode, value["missing"]) == (3, ["stood_min", "unaltered"])
    wrong = headstock("due", "stod", "--json", at=tmp_path)
    assert wrong.returncode == 2
    assert json.loads(wrong.stdout)["error"]["faults"][0]["nearest"] == "stood"
    assert {"events", "facts", "tests"} == set(json.loads(headstock("due", "--list", "--json", at=tmp_path).stdout))
    assert "  cock touched: " in headstock("due", "--list", at=tmp_path).stdout


def test_the_table_is_printed_and_written_as_csv_page_and_pdf(tmp_path: Path) -> None:
    done = headstock("table", "--csv", "t.csv", "--html", "t.html", "--sheets", "out", at=tmp_path)
    assert done.returncode == 0, done.stderr
    lines = done.stdout.splitlines()
    assert lines[0] == "What joins what: 8 types, 136 pairs of ends. All invented for demonstration."
    assert lines[-3:] == ["t.csv", "t.html", str(Path("out") / "what-joins-what.pdf")]
    assert max(len(line) for line in lines) <= 100
    assert all((tmp_path / line).stat().st_size > 10_000 for line in lines[-3:])
    first = (tmp_path / "t.csv").read_bytes()
    headstock("table", "--csv", "t.csv", at=tmp_path)
    assert (tmp_path / "t.csv").read_bytes() == first


def test_the_table_as_json_has_every_pair_and_can_be_cut_to_some_types(tmp_path: Path) -> None:
    value = answer_of("table", "--type", "tarn", "--type", "gale", at=tmp_path)
    assert [one["type"] for one in value["types"]] == ["tarn", "gale"]
    assert len(value["pairs"]) == 10
    assert {pair["answer"] for pair in value["pairs"]} == {"yes", "only if"}
    assert "planning and training aid" in value["cautions"][0]
    unknown = answer_of("table", "--type", "tern", at=tmp_path, status=2)
    assert unknown["error"]["faults"][0]["nearest"] == "tarn"


def test_the_table_writes_nothing_where_one_file_cannot_be_written(tmp_path: Path) -> None:
    done = headstock("table", "--csv", "t.csv", "--html", "no-folder/t.html", at=tmp_path)
    assert done.returncode == 2
    assert "--html" in done.stderr and "no folder" in done.stderr
    assert list(tmp_path.iterdir()) == []
    same = headstock("table", "--csv", "t", "--html", "t", at=tmp_path)
    assert same.returncode == 2 and "written over" in same.stderr
    (tmp_path / "file").write_text("kept", encoding="utf-8")
    blocked = headstock("table", "--sheets", "file", at=tmp_path)
    assert blocked.returncode == 2 and (tmp_path / "file").read_text(encoding="utf-8") == "kept"


def test_a_curve_makes_a_no_of_heads_that_do_not_meet(tmp_path: Path) -> None:
    value = answer_of("join", "gale/1", "gale/2", "--curve-radius", "150", "--curve", "reverse curve", at=tmp_path, status=1)
    assert "not here: on a reverse curve of 150 m the heads stand 455 mm apart" in value["ways"][0]["reasons"][0] + str(value)
    assert answer_of("join", "gale/1", "gale/2", "--curve-radius", "150", "--curve", "one curve", at=tmp_path)["answer"] == "yes"
    for words in (("--curve-radius", "3"), ("--curve", "one curve"), ("--curve-radius", "150", "--place", "harrow-ings-3")):
        assert "error" in answer_of("join", "gale/1", "gale/2", *words, at=tmp_path, status=2)


def test_a_curve_of_the_job_s_place_counts_for_its_units(tmp_path: Path) -> None:
    from headstock.usecases.job_file import PLACES_FOLDER

    place = (PLACES_FOLDER / "harrow-ings-3.yaml").read_text(encoding="utf-8")
    (tmp_path / "bend.yaml").write_text(f"{place}curve_radius_m: 150\ncurve: reverse curve\n", encoding="utf-8")
    job = DEMO.read_text(encoding="utf-8")
    (tmp_path / "job.yaml").write_text(job.replace("place: harrow-ings-3", "place: bend.yaml"), encoding="utf-8")
    value = answer_of("join", "217/2", "226/1", "--job", "job.yaml", at=tmp_path)
    direct = next(way for way in value["ways"] if way["name"] == "direct")
    assert direct["answer"] == "no" and "not here: on a reverse curve of 150 m" in str(direct["reasons"])
    assert value["track"].startswith("Harrow Ings, road 3, a reverse curve")


def test_the_sheet_of_a_pair_is_printed_from_join(tmp_path: Path) -> None:
    done = headstock("join", "tarn/1", "gale/2", "--sheets", "out", at=tmp_path)
    assert done.returncode == 0, done.stderr
    sheet = tmp_path / done.stdout.splitlines()[-1]
    text = " ".join(PdfReader(sheet).pages[0].extract_text().split())
    assert "tarn/1 with gale/2" in text and "All invented for demonstration" in text
    assert "Nobody goes between on the word of a sheet" in text


def test_join_shows_the_wires_pin_by_pin(tmp_path: Path) -> None:
    said = headstock("join", "tarn/1", "crag/2", at=tmp_path).stdout
    assert "jumper T of tarn/1 and C of crag/2: the patterns differ, nothing is joined" in said
    assert re.search(r"^    4 +power 2 +forward +differs$", said, re.MULTILINE)
    assert "prove doors on both sides" in said


def test_a_job_broken_off_is_left_safe_line_by_line_and_on_a_sheet(tmp_path: Path) -> None:
    value = answer_of("plan", DEMO, "--stop-after", "63", at=tmp_path)
    assert (value["answer"], value["after_line"]) == ("yes", 63)
    assert value["steps"][0]["does"].startswith("stop the work")
    assert value["steps"][-1]["words"][0]["to"] == "yard control"
    left = {row["about"]: row["words"] for row in value["left"]}
    assert all(words.endswith("shut and locked") for words in left["Brake pipe and valves"] if "valve" in words)
    reader = PdfReader(tmp_path / value["sheet"])
    front = reader.pages[0].extract_text()
    assert (
        "stop, make safe" in front and "Do this, in this order" in front and "Nobody goes between on the word of a sheet" in front
    )
    said = " ".join(headstock("plan", DEMO, "--stop-after", "63", at=tmp_path).stdout.split())
    assert "broken off after line 63" in said and "give the road back" in said


def test_a_job_handed_over_says_what_is_told_what_is_looked_at_and_what_comes_next(tmp_path: Path) -> None:
    value = answer_of("plan", DEMO, "--stop-after", "63", "--relief", "shunter=T. Wray", at=tmp_path)
    assert (value["going_off"], value["relief"], value["role"]) == ("J. Tolk", "T. Wray", "shunter")
    assert [step["does"] for step in value["ready"]][-1] == "give the protection back"
    assert value["told"] and value["looked_at"] and value["told_by_others"]
    assert any(step["does"].startswith("take over as shunter") for step in value["steps"])
    pages = [page.extract_text().replace("\u00a0", " ") for page in PdfReader(tmp_path / value["sheet"]).pages]
    assert "J. Tolk hands over to T. Wray" in pages[0] and "the rest of the order of work" in pages[1]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--stop-after", "999"), "no such line"),
        (("--relief", "shunter=T. Wray"), "after which line"),
        (("--stop-after", "5", "--relief", "shunter"), "a role and a name"),
        (("--stop-after", "5", "--relief", "fireman=T. Wray"), "nobody of this job has that role"),
        (("--stop-after", "5", "--instruction", "x.yaml"), "not written as an instruction"),
        (("--stop-after", "5", "--pddl", "task"), "not written as PDDL"),
    ],
)
def test_what_cannot_be_stopped_or_handed_over_is_one_error(words: tuple[str, ...], said: str, tmp_path: Path) -> None:
    assert said in answer_of("plan", DEMO, *words, at=tmp_path, status=2)["error"]["message"]
    assert not (tmp_path / "sheets").exists()
