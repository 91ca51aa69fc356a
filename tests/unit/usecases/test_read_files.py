"""Reading what people wrote: what it is, every fault with its line and path, and what orders may come to lack."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.equipment.library import BUILT_IN as FLEET
from headstock.equipment.library import load_fleet
from headstock.local_rules.drawn_tests import BUILT_IN as DRAWN
from headstock.local_rules.extra_looks import BUILT_IN as LOOKS
from headstock.local_rules.mistake_plausibility import BUILT_IN as RANKS
from headstock.local_rules.rules import BUILT_IN as RULES
from headstock.local_rules.test_method import BUILT_IN as METHODS
from headstock.local_rules.triggers import BUILT_IN as TRIGGERS
from headstock.usecases.exercise_file import READY
from headstock.usecases.job_file import JOBS_FOLDER, PLACES_FOLDER
from headstock.usecases.people_file import BUILT_IN as PEOPLE
from headstock.usecases.read_files import KINDS, FileRead, read_files
from headstock.usecases.study_file import STUDIES
from headstock.usecases.trade_words import BUILT_IN as WORDS
from tests.cases.jobs import DEMO, SECOND
from tests.promises.formats_page import FORMATS, INSTRUCTION

FOLDERS = (FLEET, RULES, METHODS, TRIGGERS, RANKS, DRAWN, LOOKS, PLACES_FOLDER, JOBS_FOLDER, JOBS_FOLDER.parent / "readings",
           WORDS.parent, PEOPLE, STUDIES, READY)  # fmt: skip
BUILT_IN = [path for folder in FOLDERS for path in sorted(folder.glob("*.yaml"))]
RULES_TEXT = (RULES / "wending-vale.yaml").read_text(encoding="utf-8")
AIR_CASE = Path(__file__).parents[2] / "accuracy" / "air_examples" / "speed-case.json"


def read(path: Path) -> FileRead:
    (answer,) = read_files([path], load_fleet())
    return answer


def written(folder: Path, name: str, text: str, *changes: tuple[str, str]) -> Path:
    for before, after in changes:
        assert before in text
        text = text.replace(before, after)
    (folder / name).write_text(text, encoding="utf-8")
    return folder / name


@pytest.mark.parametrize("path", BUILT_IN, ids=lambda path: path.stem)
def test_every_built_in_file_is_read_without_a_fault_or_a_note(path: Path) -> None:
    answer = read(path)
    assert (answer.faults, answer.notes) == ((), ())
    assert answer.title
    assert answer.invented is (answer.kind != "test method" and not path.stem.startswith("example-"))


def test_every_kind_of_file_has_its_reader_and_says_what_it_is(tmp_path: Path) -> None:
    assert set(KINDS) == {kind for kind, *_ in FORMATS}
    of_each = {path.parent: path for path in reversed(BUILT_IN)} | {path.stem: path for path in STUDIES.glob("*.yaml")}
    kinds = {read(path).kind for path in of_each.values()}
    kinds.add(read(written(tmp_path, "order.yaml", INSTRUCTION)).kind)
    assert kinds == set(KINDS)
    air_case = read(AIR_CASE)
    assert (air_case.kind, air_case.title) == ("air case", "speed-case")


@pytest.mark.parametrize("path", BUILT_IN, ids=lambda path: path.stem)
def test_an_unknown_field_in_any_file_is_named_with_its_line(path: Path, tmp_path: Path) -> None:
    text = path.read_text(encoding="utf-8") + "colour: blue\n"
    (fault,) = read(written(tmp_path, "mine.yaml", text)).faults
    assert (fault.path, fault.line) == ("colour", len(text.splitlines()))
    assert fault.file == str(tmp_path / "mine.yaml")


def test_all_faults_of_all_files_are_given_in_the_order_of_the_files(tmp_path: Path) -> None:
    rules = written(tmp_path, "rules.yaml", RULES_TEXT, ("margin: {value: 1.5", "margin: {value: 0.5"),
                    ("pressure_unit: bar", "pressure_unit: atm"))  # fmt: skip
    place = written(tmp_path, "place.yaml", (PLACES_FOLDER / "harrow-ings-3.yaml").read_text(encoding="utf-8"),
                    ("lit: false", "lit: no"))  # fmt: skip
    answers = read_files([rules, DEMO, place, tmp_path / "nowhere.yaml"], load_fleet())
    assert [[fault.path for fault in answer.faults] for answer in answers] == [
        ["pressure_unit", "holding.margin.value"], [], ["lit"], [""]
    ]  # fmt: skip
    assert [answer.title for answer in answers] == ["Wending Vale", "Attach 217 to 226", "Harrow Ings, road 3", ""]


def test_a_job_brings_the_faults_of_all_its_papers_and_of_what_it_names(tmp_path: Path) -> None:
    written(tmp_path, "rules.yaml", RULES_TEXT, ("pressure_unit: bar", "pressure_unit: atm"))
    written(tmp_path, "place.yaml", (PLACES_FOLDER / "harrow-ings-3.yaml").read_text(encoding="utf-8"), ("lit: false", "lit: no"))
    text = DEMO.read_text(encoding="utf-8")
    job = written(tmp_path, "job.yaml", text, ("wending-vale", "rules.yaml"), ("place: harrow-ings-3", "place: place.yaml"))
    assert {(Path(fault.file).name, fault.path) for fault in read(job).faults} == {
        ("place.yaml", "lit"), ("rules.yaml", "pressure_unit")
    }  # fmt: skip
    job = written(tmp_path, "job.yaml", text, ("wending-vale", "rules.yaml"), ("place: harrow-ings-3", "place: nowhere.yaml"))
    assert {fault.path for fault in read(job).faults} == {"place", "pressure_unit"}
    job = written(
        tmp_path, "job.yaml", text, ("217.parking_brake", "217.parkin_brake"), ("226/1.red_lamp: lit", "226/1.red_lamp: blue")
    )
    assert [fault.path for fault in read(job).faults] == ["as_left.'217.parkin_brake'", "as_left.'226/1.red_lamp'"]


def test_a_time_allowance_that_is_misspelt_is_noted_and_a_fault_where_a_job_needs_it(tmp_path: Path) -> None:
    rules = written(tmp_path, "rules.yaml", RULES_TEXT, ("hand_brake: 45", "hand_break: 45"))
    answer = read(rules)
    assert answer.faults == ()
    assert len(answer.notes) == 2
    assert "no time allowance hand_brake (screw a hand brake on, or off)" in answer.notes[0]
    assert answer.notes[1].endswith("nearest hand_brake")
    job = written(tmp_path, "job.yaml", SECOND.read_text(encoding="utf-8"), ("wending-vale", "rules.yaml"))
    (fault,) = read(job).faults
    assert fault.what == "no time allowance in local rules Wending Vale"
    assert (fault.file, fault.expected) == (str(job), "hand_brake")


def test_a_job_that_cannot_be_done_has_no_fault_but_its_reasons_are_noted(tmp_path: Path) -> None:
    text = DEMO.read_text(encoding="utf-8").split("as_left:")[0]
    job = written(tmp_path, "job.yaml", text, ("type: tarn", "type: beck"))
    answer = read(job)
    assert answer.faults == ()
    assert "has no brake pipe" in answer.notes[0]


def test_a_first_line_of_no_kind_is_a_fault_with_the_nearest_kind(tmp_path: Path) -> None:
    (fault,) = read(written(tmp_path, "mine.yaml", "headstock: jub 1\ntitle: mine\n")).faults
    assert (fault.what, fault.line, fault.nearest) == ("kind of file not known here", 1, "job")
    (fault,) = read(written(tmp_path, "mine.yaml", "title: mine\n")).faults
    assert "does not say what this file is" in fault.what
    assert all(f"headstock: {kind} 1" in (fault.expected or "") for kind in KINDS)


def test_a_reader_takes_its_own_kind_alone(tmp_path: Path) -> None:
    answer = read(written(tmp_path, "mine.yaml", RULES_TEXT, ("headstock: local rules 1", "headstock: place 1")))
    assert answer.kind == "place"
    assert any(fault.path == "duties" for fault in answer.faults)


def test_a_type_that_lacks_what_a_curve_asks_for_is_told_so_and_has_no_fault(tmp_path: Path) -> None:
    text = (FLEET / "gale.yaml").read_text(encoding="utf-8")
    answer = read(written(tmp_path, "bare.yaml", text, ("    bogie_centres_m: 16.0\n", "")))
    assert answer.faults == ()
    assert answer.notes == tuple(
        f"on a curve its heads are refused: the data of gale give no bogie_centres_m for vehicle {suffix}" for suffix in "14"
    )
