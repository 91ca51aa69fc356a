"""A driver alone with his train: no words to people who are not there, and none about them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from headstock.sheets.compose import sheet_of
from headstock.usecases.plan_job import JobPlan
from headstock.usecases.stop_job import stop_job
from tests.cases.jobs import ALONE, DEMO, order_of, planned

PARTING = """headstock: job 1
title: Part 611 from 604, driver alone
invented: true
work: detach
units: [{name: "611", type: gale}, {name: "604", type: gale}]
joints: [{ends: [611/2, 604/1], part: true}]
moving: {units: ["611"], driven_from: 611/1}
controls_afterwards: 611/1
leaves_from: 611/1
crew: {driver: H. Wain}
place: harrow-ings-3
local_rules: wending-vale
method: rear-application
"""
OTHERS = re.compile(r"alone goes between|all repeat|every|no word|no answer|gives? it back|give the protection back|count people|"
                    r"shunter|guard\b|say to all|said back|All hear|Anybody may call")  # fmt: skip
practice = pytest.mark.outside(source="common practice, no source", clause="a driver alone", status="common practice")


@pytest.fixture(scope="module", params=["attach", "part"])
def alone(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> JobPlan:
    if request.param == "attach":
        return planned(ALONE, True)
    path: Path = tmp_path_factory.mktemp("alone") / "part.yaml"
    path.write_text(PARTING, encoding="utf-8")
    return planned(path, True)


@practice
def test_no_step_speaks_of_or_to_people_who_are_not_there(alone: JobPlan) -> None:
    assert alone.order is not None, alone.reasons
    for step in alone.order.steps:
        text = " ".join((step.key, step.brief, step.caution.replace("No answer: stop, say so.", "")))
        assert not OTHERS.search(text), text
        assert [one.hearer for one in step.said] in ([], ["yard control"]), step.key


@practice
def test_the_sheet_has_no_signals_and_no_count_for_him_and_titles_of_his_own(alone: JobPlan) -> None:
    sheet = sheet_of(alone)
    assert sheet.signals == ()
    titles = [block.title for block in sheet.blocks]
    assert "Go through the job" in titles and "Agree the job" not in titles and "Come out, give it back" not in titles
    assert not any(block.hears for block in sheet.blocks)


@practice
def test_broken_off_he_tells_nobody_but_the_yard(alone: JobPlan) -> None:
    assert alone.order is not None
    for line in range(1, len(alone.order.steps), 9):
        found = stop_job(alone, line)
        assert found.answer == "yes", (line, found.reasons)
        for step in found.steps:
            assert not OTHERS.search(" ".join((step.key, step.brief, step.caution))), step.key


def test_where_others_are_there_they_are_spoken_to() -> None:
    """Else the words looked for above are looked for in vain."""
    steps, _ = order_of(DEMO)
    said = " ".join(f"{step.key} {step.brief} {step.caution}" for step in steps)
    for words in ("alone goes between", "all repeat", "give the protection back", "no word", "count people"):
        assert words in said
    assert sheet_of(planned(DEMO)).signals != ()
