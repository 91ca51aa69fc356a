"""Lines as people write them are matched to the steps of the demo job: surely, doubtfully or not at all.

What each line means is common practice, no source; which step it must not be taken for, too.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.reasoning.step import Step
from headstock.sheets.blocks import detail_of
from headstock.usecases.instruction_lines import WrittenLine, written_lines
from headstock.usecases.line_matching import LineMatch, match_lines
from headstock.usecases.line_words import WordReader, stem
from headstock.usecases.step_texts import StepTexts
from headstock.usecases.trade_words import BUILT_IN, load_trade_words
from headstock.usecases.written_instruction import names_of
from tests.cases.jobs import DEMO, order_of, planned
from tests.cases.test_attach_plans import each_job

WORDS = load_trade_words(BUILT_IN)


def texts_of(job: Path, by_air: bool = False) -> StepTexts:
    task = planned(job, by_air).assembled.task
    assert task is not None
    return StepTexts(order_of(job, by_air)[1].steps, WordReader(WORDS, names_of(task.train)))


def match(role: str, text: str, **standing: str) -> LineMatch:
    start = {**order_of(DEMO)[1].start, **standing}
    return match_lines([WrittenLine(1, text, text, role)], texts_of(DEMO), start)[0]


def keys(found: LineMatch) -> list[str]:
    return [step.key for step in found.steps]


SURE = (
    ("shunter", "Open BP cock 226/1", "open the brake pipe cock of 226/1"),
    ("shunter", "open the brake pipe cock on 217/2 slowly", "open the brake pipe cock of 217/2 slowly"),
    ("shunter", "Connect the brake pipe hoses of 217/2 and 226/1", "join the brake pipe hoses of 217/2 and 226/1"),
    ("shunter", "Connect the main res hoses", "join the main reservoir pipe hoses of 217/2 and 226/1"),
    ("shunter", "check that the lock is down, both sides", "look at the lock of 217/2 and 226/1"),
    ("shunter", "Close the brake pipe cock of 226/1", "shut the brake pipe cock of 226/1"),
    ("shunter", "call driver up to 0.6 m", "call to 0.6 m"),
    ("driver", "stop at 2 m", "draw up, stop 2 m off"),
    ("shunter", "step in between, coupled", "go between, coupled"),
    ("shunter", "put out the tail lamp of 226/1", "put out the red lamp of 226/1"),
    ("guard", "Light tail lamp on 226/2", "light the red lamp of 226/2"),
    ("guard", "release parking brake 226", "take off the parking brake of 226, cab 226/2"),
    ("driver", "release parking brake 217 in cab 217/1", "take off the parking brake of 217, cab 217/1"),
    ("guard", "inform shunter that brake pipe of 226 is empty", "tell the shunter: brake pipe of 226 empty"),
    ("shunter", "keep an eye on 226 for 60 s", "watch 226 for 60 s: it stands"),
)  # fmt: skip
DOUBTFUL = (
    ("", "open the knuckle of 226/1", "open the knuckle of 226/1", "no role is written"),
    ("shunter", "enter the jumper of 217/2 in 226/1", "enter the jumper of 226/1 in 217/2", "another order"),
    ("shunter", "go between", "go between, ends apart", "can be done"),
    ("shunter", "look at both sides of the joint, ends dressed, before you go on",
     "look at both sides of the joint, ends dressed", "another time"),
    ("driver", "test, charged: leading valve to running",
     "test, charged: leading valve to running, wait until the pipe is charged and steady", "nearly as well"),
    ("shunter", "watch 226 for 90 s: it stands", "watch 226 for 60 s: it stands", "the step has no 90"),
    ("shunter", "look at the cocks: shut, handles across the pipe",
     "look at the cocks of 217/2: shut, handles across the pipe", "several steps"),
)  # fmt: skip
NOTHING = (
    ("shunter", "Do not open the brake pipe cock of 226/1", "it says 'not'"),
    ("shunter", "never go between, coupled", "it says 'never'"),
    ("shunter", "open the brake pipe cock of 999/1", "999/1 is no unit or end"),
    ("guard", "look at the lock of 217/2 and 226/1", "the shunter has"),
    ("shunter", "make tea", ""),
    ("guard", "unlatch the jumper", ""),
)


@pytest.mark.parametrize(("role", "text", "key"), SURE)
def test_a_line_that_says_one_step_in_other_words_is_sure(role: str, text: str, key: str) -> None:
    found = match(role, text)
    assert (found.certainty, keys(found), found.why) == ("sure", [key], ())


@pytest.mark.parametrize(("role", "text", "key", "why"), DOUBTFUL)
def test_a_doubtful_line_is_taken_with_its_reason_and_what_else_it_could_be(role: str, text: str, key: str, why: str) -> None:
    found = match(role, text)
    assert found.certainty == "doubtful"
    assert keys(found)[0] == key
    assert any(why in reason for reason in found.why), found.why


@pytest.mark.parametrize(("role", "text", "why"), NOTHING)
def test_a_line_that_is_no_step_is_taken_for_none(role: str, text: str, why: str) -> None:
    found = match(role, text)
    assert (found.certainty, found.steps) == ("none", ())
    assert why in " ".join(found.why)


def test_the_opposite_is_never_taken_though_every_other_word_agrees() -> None:
    for role, text in (("guard", "put on the parking brake of 226, cab 226/2"), ("shunter", "put the pin keeper of 226/1 out"),
                       ("guard", "lock the brake valve, cab 226/2"), ("shunter", "shut the knuckle of 226/1")):  # fmt: skip
        opposite = match(role, text)
        taken = " ".join(keys(opposite))
        assert "take off" not in taken and "keeper of 226/1 in" not in taken and "unlock" not in taken
        assert not (opposite.certainty == "sure" and "open the knuckle" in taken)


def test_one_word_left_out_of_two_steps_is_not_swallowed() -> None:
    found = match("shunter", "come out and give the protection back")
    assert keys(found) == ["come out from between", "give the protection back"]
    assert found.certainty == "doubtful"


def test_a_bundle_lists_its_steps_and_is_doubtful() -> None:
    found = match("shunter", "Joint hoses brake pipe: cocks seen shut, join")
    assert found.certainty == "doubtful"
    assert {"look at the cocks of 226/1: shut, handles across the pipe",
            "join the brake pipe hoses of 217/2 and 226/1"} <= set(keys(found))  # fmt: skip


def test_the_same_words_mean_what_can_be_done_there() -> None:
    assert keys(match("shunter", "Look both sides.")) == ["look at both sides of the joint, ends dressed"]
    assert keys(match("shunter", "Look both sides.", gap="touching")) == ["look at both sides of the joint, coupled"]


@each_job
def test_every_line_of_an_instruction_means_its_own_step(job: Path, by_air: bool) -> None:
    steps, domain = order_of(job, by_air)
    lines = [WrittenLine(n, step.key, step.key, step.role) for n, step in enumerate(steps, start=1)]
    matches = match_lines(lines, texts_of(job, by_air), domain.start)
    assert [(m.certainty, m.steps) for m in matches] == [("sure", (step,)) for step in steps]


@each_job
def test_the_back_of_the_sheet_written_out_is_the_whole_order(job: Path, by_air: bool, tmp_path: Path) -> None:
    answer = planned(job, by_air)
    task, domain, steps = answer.assembled.task, answer.domain, order_of(job, by_air)[0]
    assert task is not None and domain is not None
    detail = detail_of(task, steps, answer.because)
    text = "".join(f"{number}. {line.letter}: {line.text}\n" for number, line in enumerate(detail, start=1))
    (tmp_path / "back.txt").write_text(text, encoding="utf-8")
    matches = match_lines(written_lines(tmp_path / "back.txt", WORDS, frozenset()), texts_of(job, by_air), domain.start)
    assert [m.line.raw for m in matches if m.certainty != "sure"] == []
    assert tuple(step for m in matches for step in m.steps) == steps


@each_job
def test_the_short_sentences_of_the_sheet_s_front_mean_the_steps_that_they_stand_for(job: Path, by_air: bool) -> None:
    steps, domain = order_of(job, by_air)
    texts = texts_of(job, by_air)
    wrong = []
    for step in steps:
        if step.brief:
            line = WrittenLine(1, step.brief, step.brief, step.role)
            found = match_lines([line], texts, state_before(step, steps, domain.start))[0]
            alike = all((other.brief, other.role) == (step.brief, step.role) for other in found.steps)
            if found.certainty != "sure" or step not in found.steps or not alike:
                wrong.append(f"{step.role}: {step.brief}: {found.certainty} {keys(found)} {found.why}")
    assert wrong == []


def state_before(step: Step, steps: tuple[Step, ...], start: object) -> dict[str, str]:
    """How things stand before the first time a step is done."""
    state = dict(start)  # type: ignore[call-overload]
    for earlier in steps:
        if earlier is step:
            break
        state.update(earlier.effects)
    return state


def test_forms_of_a_word_are_one_word_and_short_words_stay() -> None:
    for forms in (("open", "opens", "opened", "opening"), ("tug", "tugged", "tugging"), ("brake", "brakes", "braked"),
                  ("latch", "latched"), ("shut", "shutting"), ("pull", "pulled", "pulling")):  # fmt: skip
        assert len({stem(form) for form in forms}) == 1
    assert [stem(word) for word in ("off", "on", "in", "out", "across")] == ["off", "on", "in", "out", "across"]


def test_words_of_one_s_own_are_used() -> None:
    assert match("shunter", "wumble the lock of 217/2 and 226/1").certainty != "sure"
    own = WORDS.model_copy(update={"same": {**WORDS.same, "look": (*WORDS.same["look"], "wumble at", "wumble")}})
    task = planned(DEMO).assembled.task
    assert task is not None
    domain = order_of(DEMO)[1]
    texts = StepTexts(domain.steps, WordReader(own, names_of(task.train)))
    line = WrittenLine(1, "", "wumble at the lock of 217/2 and 226/1", "shunter")
    assert match_lines([line], texts, domain.start)[0].certainty == "sure"
