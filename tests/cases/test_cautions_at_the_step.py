"""Where a step can hurt somebody its caution stands at that step (common practice of the trade, no source)."""

from __future__ import annotations

import re

import pytest

from headstock.reasoning.step import Step
from tests.cases.jobs import DEMO, JOBS_FOLDER, planned, steps_of

CAUTIONS = (
    (r"assure the .* brake is on and locked", "Nobody goes between before this is said and said back"),
    (r"take protection for oneself", "nobody else may be able to move either portion"),
    (r"go between", "Only on your own protection"),
    (r"open the (brake|main reservoir) pipe cock of", "a hose under pressure swings hard"),
    (r"join the .* hoses", "Shut does not always mean empty"),
    (r"part the .* hoses of", "swings hard"),
    (r"shut the joined .* cock of", "It may vent hard as it shuts"),
    (r"(take|enter|latch|tug|unlatch) the jumper", "Supply off and proved off"),
    (r"switch the electric supply of .* on,", "Nobody at a jumper"),
    (r"hold the button until the electrical heads", "Nobody near the heads"),
    (r"couple .* and", "Nobody between"),
    (r"look at both sides of the joint", "Nobody reaches in|nobody walks through"),
    (r"(look at the (lock|couple) of|watch the pull at)", "Watched from the side"),
    (r"watch .* for 60 s", "Prove the hold|held by its brakes"),
    (r"test, .*(to running|full application)", "Blocks and brake gear move"),
    (r"take off the (parking|hand) brake", "what holds it then"),
    (r"lay scotches", "secured first. No fingers between"),
    (r"take the scotches away", "what holds it then"),
    (r"pull the release cord", "Never on a vehicle that is not secured"),
    (r"release the springs", "No parking brake there any more"),
    (r"(draw up|draw away|pull lightly|press lightly)", "stop"),
)
"""A step by its words, and what stands beside it."""
SHOWN_IN_THE_CAB = "as the cab shows it"


@pytest.fixture(scope="module")
def steps() -> list[Step]:
    names = ("demo-detach", "demo-rescue", "screw-attach", "alone-attach", "failed-release")
    orders = [planned(path, by_air=True) for path in (DEMO, *(JOBS_FOLDER / f"{name}.yaml" for name in names))]
    found = [step for order in orders for step in steps_of(order)]
    assert len(found) > 500
    return found


@pytest.mark.parametrize(("words", "caution"), CAUTIONS)
def test_its_caution_stands_at_every_such_step(steps: list[Step], words: str, caution: str) -> None:
    such = [step for step in steps if re.match(words, step.key) and SHOWN_IN_THE_CAB not in step.key]
    lacking = [(step.key, step.caution) for step in such if not re.search(caution, step.caution)]
    assert such and not lacking, lacking
