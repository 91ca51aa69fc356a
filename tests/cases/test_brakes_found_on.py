"""A brake that somebody left on drags: whatever the hold rests on, it is seen, comes off, and the driver knows it.

The brakes are listed here from the unit files, not from the hold that the program works out.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.reasoning.checker import check
from tests.cases.jobs import DEMO, SECOND, order_of, planned

BRAKES = (
    (DEMO, "2172.hand_brake"), (DEMO, "2173.hand_brake"), (DEMO, "2262.hand_brake"), (DEMO, "2263.hand_brake"),
    (SECOND, "5083.hand_brake"), (SECOND, "2312.hand_brake"), (SECOND, "2313.hand_brake"), (SECOND, "231.parking_brake"),
)  # fmt: skip


def with_lines(job: Path, lines: str, folder: Path) -> Path:
    text = job.read_text(encoding="utf-8")
    for line in lines.splitlines():
        key = line.strip().split(":")[0]
        text = "\n".join(kept for kept in text.splitlines() if not kept.strip().startswith(f"{key}:"))
    (folder / "job.yaml").write_text(f"{text}\n{lines}\n", encoding="utf-8")
    return folder / "job.yaml"


@pytest.mark.parametrize(("job", "brake"), BRAKES, ids=lambda value: getattr(value, "stem", value))
def test_a_brake_found_on_comes_off_and_the_driver_knows(job: Path, brake: str, tmp_path: Path) -> None:
    path = with_lines(job, f'  {brake}: "on"', tmp_path)
    steps, domain = order_of(path)
    assert check(steps, domain).holds
    state = dict(domain.start)
    assert state[brake] == "on"
    for step in steps:
        state.update(step.effects)
    assert [key for key, value in state.items() if key.endswith(("hand_brake", "parking_brake")) and value != "off"] == []
    assert ("driver", (brake, "off")) in domain.goal_knows


def test_an_order_for_brakes_off_leaves_a_hole_where_one_was_on(tmp_path: Path) -> None:
    steps, _ = order_of(DEMO)
    _, domain = order_of(with_lines(DEMO, '  2262.hand_brake: "on"', tmp_path))
    complaints = check(steps, domain).complaints
    assert "2262.hand_brake=off" in {complaint.about for complaint in complaints}


def test_a_portion_that_other_brakes_hold_is_not_called_unheld(tmp_path: Path) -> None:
    lines = '  5081.hand_brake: "off"\n  5082.hand_brake: "on"\n  5083.hand_brake: "on"'
    path = with_lines(SECOND, lines, tmp_path)
    assert planned(path).as_found == ()
    assert not any("5081" in step.key and "hand brake" in step.key for step in order_of(path)[0])


def test_too_few_brakes_found_on_are_joined_by_those_that_suffice(tmp_path: Path) -> None:
    path = with_lines(SECOND, '  5081.hand_brake: "off"\n  5082.hand_brake: "off"\n  5083.hand_brake: "on"', tmp_path)
    assert any("508 is not held" in text for text in planned(path).as_found)
    assert sum(step.key.startswith("screw on the hand brake of 508") for step in order_of(path)[0]) >= 1


def test_the_main_reservoir_pipe_goes_first_where_the_local_rules_say_so(tmp_path: Path) -> None:
    from headstock.local_rules.rules import BUILT_IN

    rules = (BUILT_IN / "wending-vale.yaml").read_text(encoding="utf-8")
    rules = rules.replace("first_of_the_joint: {value: brake pipe", "first_of_the_joint: {value: main reservoir pipe")
    (tmp_path / "rules.yaml").write_text(rules, encoding="utf-8")
    text = DEMO.read_text(encoding="utf-8").replace("local_rules: wending-vale", "local_rules: rules.yaml")
    (tmp_path / "job.yaml").write_text(text, encoding="utf-8")
    for path, first in ((tmp_path / "job.yaml", "main reservoir pipe"), (DEMO, "brake pipe")):
        opened = [step.key for step in order_of(path)[0] if step.key.startswith("open the") and "cock" in step.key]
        assert opened[0].startswith(f"open the {first} cock")
