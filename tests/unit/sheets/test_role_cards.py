"""Pocket cards: everyone's own part of the order, what they say and hear, the limits they read; both sides fit."""

from __future__ import annotations

import io
from functools import cache
from pathlib import Path

import pytest
from pypdf import PdfReader

from headstock.compute.kept_runs import KeptRuns
from headstock.sheets.card_content import BOARD, TOUCHED, CardsContent, cards_of
from headstock.sheets.role_cards import render_role_cards
from headstock.usecases.plan_job import JobPlan, plan_job
from headstock.wiring import fleet_from

JOBS = Path(__file__).parents[3] / "src" / "headstock" / "usecases" / "jobs"
NAMES = ("demo-attach", "demo-detach", "alone-attach", "screw-attach")


@cache
def planned(name: str) -> JobPlan:
    return plan_job(JOBS / f"{name}.yaml", fleet_from(None), KeptRuns())


@cache
def cards(name: str) -> CardsContent:
    return cards_of(planned(name))


def squeezed(text: str) -> str:
    return "".join(text.replace("\u00a0", " ").split())


def printed(content: CardsContent) -> list[str]:
    return [squeezed(page.extract_text()) for page in PdfReader(io.BytesIO(render_role_cards(content))).pages]


@pytest.mark.parametrize("name", NAMES)
def test_all_titles_words_limits_and_cautions_of_each_role_are_on_paper(name: str) -> None:
    pages = "".join(printed(cards(name)))
    for card in cards(name).cards:
        said = [f"{line.title}." for line in card.lines] + [spoken.text for spoken in card.words]
        said += [f"{reading.name}{reading.limit}{reading.limit_tail}" for reading in card.readings] + list(card.cautions)
        assert [text for text in said if squeezed(text) not in pages] == []
    assert squeezed("never between") in pages and squeezed("not a permission") in pages


@pytest.mark.parametrize("name", NAMES)
def test_a_card_has_a_line_for_each_block_in_which_its_role_acts_and_at_most_twelve(name: str) -> None:
    answer = planned(name)
    assert answer.order is not None
    for card in cards(name).cards:
        assert 1 <= len(card.lines) <= 12
        briefs = {brief for line in card.lines for brief in line.briefs}
        own = {step.brief for step in answer.order.steps if step.role == card.role and step.brief}
        assert own <= briefs


def test_two_roles_stand_on_one_page_and_three_on_two() -> None:
    assert [len(printed(cards(name))) for name in ("demo-attach", "alone-attach")] == [2, 1]


def test_what_one_says_the_other_hears() -> None:
    by_role = {card.role: card for card in cards("demo-attach").cards}
    said = {spoken.text for spoken in by_role["shunter"].words if not spoken.is_heard}
    heard = {spoken.text for spoken in by_role["driver"].words if spoken.is_heard}
    assert said == heard and len(said) >= 4
    assert all(spoken.is_said_back for spoken in by_role["shunter"].words)


def test_the_limits_stand_on_the_card_of_whoever_reads_the_gauge() -> None:
    by_role = {card.role: [reading.where for reading in card.readings] for card in cards("demo-attach").cards}
    assert set(by_role["driver"]) == {"front"} and set(by_role["guard"]) == {"rear"} and by_role["shunter"] == []
    alone = cards("alone-attach").cards
    assert len(alone) == 1 and {reading.where for reading in alone[0].readings} == {"front", "rear"}


def test_only_whoever_goes_between_has_the_picture_and_it_shows_the_end_state() -> None:
    done = {card.role: card.done for card in cards("demo-attach").cards}
    assert done["driver"] is None and done["guard"] is None and done["shunter"] is not None
    assert "brake pipe hose joined" in done["shunter"].caption
    parted = {card.role: card.done for card in cards("demo-detach").cards}["shunter"]
    assert parted is not None and "All else stowed" in parted.caption


def test_that_a_touch_voids_the_test_is_on_every_card_and_the_board_where_something_comes_up() -> None:
    assert all(TOUCHED in card.cautions and BOARD in card.cautions for card in cards("demo-attach").cards)
    assert all(TOUCHED in card.cautions and BOARD not in card.cautions for card in cards("demo-detach").cards)


def test_the_card_of_whoever_goes_between_carries_the_cautions_of_work_between() -> None:
    """They are the first on the card: a picture gives way before them."""
    for name in ("demo-attach", "screw-attach", "demo-detach"):
        steps = planned(name).order
        assert steps is not None
        between = {step.caution for step in steps.steps if step.role == "shunter" and step.phase == "between" and step.caution}
        own = {card.role: card.cautions for card in cards(name).cards}["shunter"]
        assert between and set(own[: len(between)]) == between


def test_the_same_job_gives_the_same_bytes() -> None:
    assert render_role_cards(cards("screw-attach")) == render_role_cards(cards("screw-attach"))


def test_a_job_without_an_order_has_no_cards() -> None:
    answer = planned("demo-attach")
    refused = JobPlan("no", answer.papers, answer.assembled, None, None, (), None, (), ("why not",))
    with pytest.raises(ValueError, match="no order of work"):
        cards_of(refused)
