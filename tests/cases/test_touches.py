"""A passed test is void from the moment anything in its path is touched, by event; putting it back revives nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.equipment.library import load_fleet
from headstock.usecases.judge_readings import JudgedReadings, judge_readings
from headstock.wiring import read_recorder
from tests.cases.jobs import DEMO

FOLDER = DEMO.parent.parent / "readings"
TEXT = (FOLDER / "demo-attach.yaml").read_text(encoding="utf-8").replace("job: demo-attach", f"job: {DEMO}")


def demo(folder: Path, touches: str = "", since: str = "", at: str = "") -> JudgedReadings:
    text = TEXT.replace("touched_since:", f"{touches}touched_since:") + since
    (folder / "record.yaml").write_text(text, encoding="utf-8")
    return judge_readings(folder / "record.yaml", load_fleet(), read_recorder, at)


def touch(time: str, device: str, part_of: str = "") -> str:
    part = f", part_of: {part_of}" if part_of else ""
    return f'  - {{time: "{time}", device: {device}, who: J. Tolk{part}}}\n'


def test_touches_of_the_method_void_nothing(tmp_path: Path) -> None:
    answer = demo(tmp_path, at="departure")
    assert (answer.judgement.verdict, answer.judgement.void_by) == ("within limits", ())


@pytest.mark.parametrize(
    "touches",
    [
        touch("10:15:00", "217/2.brake_pipe_cock"),
        touch("10:15:00", "217/2.brake_pipe_cock") + touch("10:15:01", "217/2.brake_pipe_cock"),
        touch("10:15:00", "226/1.brake_pipe_hose"),
        touch("10:04:00", "226/1.brake_pipe_cock"),
        touch("10:15:00", "226/2.brake_valve"),
        touch("10:15:00", "226/2.brake_valve", "rear valve shut"),
        touch("10:15:00", "217/2.brake_pipe_cock", "leading valve to lap"),
    ],
    ids=["a cock", "a cock, put back", "a hose", "while testing", "the rear valve", "an exempt touch again", "another device"],
)
def test_a_touch_in_the_path_makes_the_test_void(touches: str, tmp_path: Path) -> None:
    answer = demo(tmp_path, touches).judgement
    assert answer.verdict == "not yet"
    assert answer.void_by
    assert "void" in answer.reasons[0]


@pytest.mark.parametrize("touches", [touch("09:50:00", "217/2.brake_pipe_cock"), touch("10:15:00", "226/2.red_lamp")],
                         ids=["before the test", "a lamp"])  # fmt: skip
def test_a_touch_before_or_beside_the_path_voids_nothing(touches: str, tmp_path: Path) -> None:
    assert demo(tmp_path, touches).judgement.verdict == "within limits"


def test_touched_since_is_asked_at_departure_and_at_handover(tmp_path: Path) -> None:
    assert demo(tmp_path, at="handover").judgement.verdict == "not yet"
    answered = '  - {time: "10:30:00", at: handover, who: P. Oad, touched: false}\n'
    assert demo(tmp_path, since=answered, at="handover").judgement.verdict == "within limits"
    assert demo(tmp_path, since=answered.replace("false", "true")).judgement.verdict == "not yet"
    early = answered.replace("10:30", "10:11")
    assert demo(tmp_path, since=early, at="handover").judgement.verdict == "not yet", "answered before the test was over"


def test_a_touch_of_the_method_that_comes_after_the_test_is_none(tmp_path: Path) -> None:
    late = TEXT.replace('{time: "10:06:40", device', '{time: "10:16:40", device')
    assert late != TEXT
    (tmp_path / "record.yaml").write_text(late, encoding="utf-8")
    answer = judge_readings(tmp_path / "record.yaml", load_fleet(), read_recorder)
    assert [touch.part_of for touch in answer.judgement.void_by] == ["rear valve shut"]


def test_touches_of_an_earlier_try_use_up_nothing(tmp_path: Path) -> None:
    assert demo(tmp_path, touch("09:30:00", "226/2.brake_valve", "rear valve shut")).judgement.verdict == "within limits"


def test_a_train_that_the_readings_cannot_belong_to_is_refused(tmp_path: Path) -> None:
    from headstock.base.errors import ContentError

    for before, after, said in (('units: ["217", "226"]', 'units: ["217", "999"]', "belong to another train"),
                                ("cab: 217/1", "cab: 226/1", "the readings cannot belong to it"),
                                ("device: 226/2.brake_valve", "device: 226/9.brake_valve", "no such device")):  # fmt: skip
        (tmp_path / "record.yaml").write_text(TEXT.replace(before, after, 1), encoding="utf-8")
        with pytest.raises(ContentError, match=said):
            judge_readings(tmp_path / "record.yaml", load_fleet(), read_recorder)
