"""`reconstruct` and the band of `forecast` as people take them: words, JSON, page, plots, exit status, bad input."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

import pytest
from pypdf import PdfReader

from headstock.brake_test.causes import Cause
from headstock.wiring import DEMO_JOB
from tests.cases.made_records import written_record, written_run_down
from tests.journeys.commands import answer_of, headstock

SHUT = Cause("cock shut", "217/2.brake_pipe_cock")


def test_a_record_is_explained_with_page_and_plots(tmp_path: Path) -> None:
    record = written_record(tmp_path, (SHUT,), lose=slice(100, 160))
    answer = answer_of("reconstruct", record, "--page", "page.html", "--plots", "plots", "--sheets", "sheets", at=tmp_path)
    assert answer["is_explained"] and answer["candidates"][0]["words"] == "brake pipe cock of 217/2 shut"
    assert "never what happened" in answer["note"] and any("gaps: 10%" in note for note in answer["notes"])
    assert {"plausibility", "odds", "rms_bar", "explains", "cannot_be_told_from"} <= set(answer["candidates"][0])
    page = (tmp_path / "page.html").read_text(encoding="utf-8")
    assert "never what happened" in page and "plausibility" in page and "<script" not in page and 'src="http' not in page
    for plot in (tmp_path / "plots").glob("*.svg"):
        drawn = plot.read_text(encoding="utf-8")
        assert "nan" not in drawn and ElementTree.fromstring(drawn).tag.endswith("svg")
    assert len(tuple((tmp_path / "plots").glob("*.svg"))) >= 2
    (sheet,) = (tmp_path / "sheets").glob("reconstruction-*.pdf")
    reader = PdfReader(sheet)
    text = " ".join(" ".join(page.extract_text() for page in reader.pages).split())
    assert "never what happened" in text and answer["candidates"][0]["words"] in text and "Assumed" in text
    # Every plot is a drawing with words for who cannot see it: PDF/UA asks for it, and the residuals are in them.
    plots = len(tuple((tmp_path / "plots").glob("*.svg")))
    assert text.count("explains the record.") + text.count("does not explain the record.") >= plots
    assert reader.trailer["/Root"]["/MarkInfo"]["/Marked"]


def test_a_run_down_is_explained_from_the_moves_given(tmp_path: Path) -> None:
    record = written_run_down(tmp_path, (SHUT,))
    moves = ("--moved", "10:00:00 217/1.brake_valve=running", "--moved", "10:04:10 217/1.brake_valve=empty")
    answer = answer_of("reconstruct", record, *moves, at=tmp_path)
    assert answer["candidates"][0]["words"] == "brake pipe cock of 217/2 shut" and len(answer["moves"]) == 2
    text = record.read_text(encoding="utf-8").replace('began: "10:00:00"', 'began: "14:00:00"')
    record.write_text(text, encoding="utf-8")
    done = headstock("reconstruct", record, *moves, at=tmp_path)
    assert done.returncode == 2 and "clock_offset_s" in done.stderr, done.stderr


def test_moves_given_apart_take_the_place_of_the_test_s(tmp_path: Path) -> None:
    """A sound train whose leading valve only runs: nothing else explains what the whole test left."""
    record = written_record(tmp_path, ())
    done = headstock("reconstruct", record, "--moved", "10:00:00 217/1.brake_valve=running", at=tmp_path)
    assert done.returncode == 3 and "Nothing that was tried explains this record" in done.stdout


@pytest.mark.parametrize(
    ("before", "after", "words"),
    [
        ('time_column: s\n', 'time_column: seconds\n', "missing column"),
        ('began: "10:00:00"', 'began: "14:00:00"', "the recorder has nothing of"),
        ('time: "10:00:00"', 'time: "10:00"', "not on record to the second"),
        ('units: ["217", "226"]', 'units: ["217", "311"]', "another train"),
        ("spike_bar: 0.5\n", "spike_bar: 0.5\n  clock_offset_s: 100000\n", "the recorder has nothing of"),
    ],
)  # fmt: skip
def test_a_record_that_cannot_be_meant_is_refused_with_a_cure(tmp_path: Path, before: str, after: str, words: str) -> None:
    record = written_record(tmp_path, ())
    text = record.read_text(encoding="utf-8")
    assert before in text
    record.write_text(text.replace(before, after, 1), encoding="utf-8")
    done = headstock("reconstruct", record, at=tmp_path)
    assert done.returncode == 2 and words in done.stderr, done.stderr


def test_a_record_that_is_mostly_gaps_and_a_move_that_cannot_be_are_refused(tmp_path: Path) -> None:
    done = headstock("reconstruct", written_record(tmp_path, (), lose=slice(50, 500)), at=tmp_path)
    assert done.returncode == 2 and ("more gaps than samples" in done.stderr or "the recorder has nothing" in done.stderr)
    record = written_record(tmp_path, ())
    cases = {
        "10:00:00 217/1.brake_valv=running": "nearest 217/1.brake_valve",
        "10:00 217/1.brake_valve=lap": "HH:MM:SS",
        "10:00:00 217/1.brake_valve=open": "a state this device does not have",
    }
    for moved, words in cases.items():
        done = headstock("reconstruct", record, "--moved", moved, at=tmp_path)
        assert done.returncode == 2 and words in done.stderr, done.stderr


def test_the_forecast_says_its_band_and_from_how_many_trains(tmp_path: Path) -> None:
    answer = answer_of("forecast", DEMO_JOB, "--members", "40", at=tmp_path)
    band = answer["band"]
    assert band["members"] == 40 and band["drawn_from"] == "demonstration" and len(band["stages"]) == len(answer["stages"])
    for reading, own in zip(answer["cases"][0]["readings"], band["readings"], strict=True):
        assert own["lowest"] <= own["low"] <= own["high"] <= own["highest"] and own["stage"] == reading["stage"]
    said = headstock("forecast", DEMO_JOB, "--members", "40", at=tmp_path).stdout
    assert "4.80 to 5.20" in said and "gauge still" in said and "40 healthy trains" in said
    assert headstock("forecast", DEMO_JOB, "--members", "3", at=tmp_path).returncode == 2
    done = headstock("forecast", DEMO_JOB, "--drawn", "none.yaml", at=tmp_path)
    assert done.returncode == 2 and "none.yaml" in done.stderr
