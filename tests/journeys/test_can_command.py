"""``can`` as people run it: words, JSON, a sheet, and what is refused."""

from __future__ import annotations

from pathlib import Path

from pypdf import PdfReader

from headstock.equipment.library import BUILT_IN
from tests.journeys.commands import answer_of, headstock
from tests.journeys.test_command_line import DEMO


def test_what_the_demo_train_can_do_is_said_printed_and_given_as_json(tmp_path: Path) -> None:
    done = headstock("can", DEMO, "--keep", "800", "--curve-radius", "150", "--leak-off", "0.2", "--sheets", "out", at=tmp_path)
    assert done.returncode == 0, done.stderr
    for words in ("Stopping distance [m], emergency", "To stop within 800 m here", "Pull against the joint", "reverse curve",
                  "Push at 217/2 and 226/1", "All invented for demonstration.",
                  "Trapped air counts nothing", "moves off after"):  # fmt: skip
        assert words in done.stdout, words
    text = "".join(page.extract_text() for page in PdfReader(tmp_path / done.stdout.strip().splitlines()[-1]).pages)
    assert "What the train can do" in text
    assert "moves off after" not in text, "trapped air stands on no sheet"
    value = answer_of("can", DEMO, at=tmp_path)
    assert value["answer"] == "yes" and value["not_answered"] == {} and value["sheet"] is None
    assert [result["call"] for result in value["stopping"]] == ["emergency", "full service", "full service by wires"]
    assert {"holding", "pull", "impact", "haul", "alone", "releases", "reservoirs", "fit", "supply", "note"} <= value.keys()


def test_what_cannot_be_meant_is_refused_with_its_option(tmp_path: Path) -> None:
    value = answer_of("can", DEMO, "--profile", "0:-4,0:3", at=tmp_path, status=2)
    assert value["error"]["faults"][0]["path"] == "--profile"
    value = answer_of("can", DEMO, "--speed", "0", "--curve-radius", "3", at=tmp_path, status=2)
    assert [fault["path"] for fault in value["error"]["faults"]] == ["--speed", "--curve-radius"]


def test_a_load_is_said_printed_and_given_as_json_and_an_unknown_one_refused(tmp_path: Path) -> None:
    done = headstock("can", DEMO, "--load", "laden", "--sheets", "out", at=tmp_path)
    assert done.returncode == 0 and "Load: laden." in done.stdout and "All else here is reckoned laden." in done.stdout
    text = PdfReader(tmp_path / done.stdout.strip().splitlines()[-1]).pages[0].extract_text()
    assert "What the train can do, laden" in text
    value = answer_of("can", DEMO, "--load", "laden", "--signal", "100", at=tmp_path, status=1)
    assert value["load"] == "laden" and value["refused"] == ["82.0 m too long (signal)"] and len(value["by_load"]) == 3
    assert value["approach_kmh"] == [1.0, 3.0]
    value = answer_of("can", DEMO, "--load", "laiden", at=tmp_path, status=2)
    assert value["error"]["faults"][0]["path"] == "--load" and value["error"]["faults"][0]["nearest"] == "laden"


def test_old_type_files_without_the_new_data_are_read_and_what_they_lack_is_said(tmp_path: Path) -> None:
    fleet = tmp_path / "fleet"
    fleet.mkdir()
    lines = (BUILT_IN / "tarn.yaml").read_text(encoding="utf-8").splitlines()
    new = ("rotating_mass_share", "friction_brake", "electric_retardation", "draft_gear", "resistance", "supply",
           "greatest_speed", "width_m", "body_behind")  # fmt: skip
    kept = [line for line in lines if not line.strip().startswith(new)]
    start = next(number for number, line in enumerate(kept) if line.startswith("traction:"))
    del kept[start : next(n for n, line in enumerate(kept) if n > start and line.startswith("ends:"))]
    (fleet / "tarn.yaml").write_text("\n".join(kept), encoding="utf-8")
    value = answer_of("can", DEMO, "--fleet", fleet, at=tmp_path, status=3)
    assert value["answer"] == "outside the model" and value["stopping"] == []
    assert "not stated for type tarn: friction_brake of vehicle 1" in value["not_answered"]["stopping"]
    assert len(value["holding"]) == 3, "what old files state is answered"
