"""The question as a trainer asks it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from headstock.equipment.library import load_fleet
from headstock.local_rules.mistake_plausibility import DEMONSTRATION, load_mistake_plausibility
from headstock.reasoning.mistakes import NOT_LOOKED, Mistake
from headstock.usecases import job_mistakes as asked
from headstock.usecases.job_mistakes import PairsAsked, job_mistakes, pairs_again, rank_of
from headstock.usecases.mistake_words import broken_in_words, end_in_words, mistakes_in_words
from tests.cases.jobs import DEMO, planned

RANKS = load_mistake_plausibility(DEMONSTRATION)


def test_the_worst_stand_first_and_nothing_is_lost() -> None:
    answer = job_mistakes(DEMO, load_fleet())
    gravities = [outcome.gravity for outcome in answer.outcomes]
    assert answer.answer == "yes"
    assert gravities == sorted(gravities, reverse=True)
    assert gravities[0] > 0
    assert all(o.verdict in ("latent", "unseen") and o.mistake.kind == "left out" for o in answer.omissions)
    assert answer.looks
    assert answer.added


def test_ranks_come_from_the_data() -> None:
    other = replace_rank(left_out=1, not_really_looked=2, moved_past_one_step=3)
    assert rank_of(Mistake("left out", 1), other) == 1
    assert rank_of(Mistake("half done", 1, how=NOT_LOOKED), other) == 2
    assert rank_of(Mistake("half done", 1, how="the sign not won"), other) == RANKS.partly_done
    assert rank_of(Mistake("too late", 1, past=3, crossed=1), other) == 3
    assert rank_of(Mistake("too late", 1, past=9, crossed=2), other) == RANKS.moved_past_more


def replace_rank(**ranks: int) -> asked.MistakePlausibility:
    return RANKS.model_copy(update=ranks)


def test_pairs_are_the_same_when_made_again(tmp_path: Path) -> None:
    text = DEMONSTRATION.read_text(encoding="utf-8")
    for name in ("partly_done", "not_said", "wrong_object", "wrong_end", "moved_past_one_step"):
        text = text.replace(f"{name}: 2", f"{name}: 1")
    (tmp_path / "ranks.yaml").write_text(text, encoding="utf-8")
    taken: list[PairsAsked] = []

    def again(question: PairsAsked) -> asked.PairCount:
        taken.append(question)
        pairs = pairs_again(question, load_fleet(), None)
        total = asked.PairCount()
        for part in (1, 0):
            total.add(pairs.count(range(part, len(pairs.mistakes), 2)))
        return total

    here = job_mistakes(DEMO, load_fleet(), None, tmp_path / "ranks.yaml", 3).pairs
    there = job_mistakes(DEMO, load_fleet(), None, tmp_path / "ranks.yaml", 3, again).pairs
    assert here is not None
    assert there is not None
    assert (here.mistakes, here.count.run, here.count.verdicts) == (there.mistakes, there.count.run, there.count.verdicts)
    assert [o.mistakes for o in here.worst] == [o.mistakes for o in there.worst]
    assert len(taken) == 1


def test_a_latch_and_the_tug_that_would_show_it_hide_each_other() -> None:
    pairs = job_mistakes(DEMO, load_fleet(), None, None, 3).pairs
    answer = job_mistakes(DEMO, load_fleet())
    assert pairs is not None
    assert answer.going is not None
    said = [mistakes_in_words(answer.going, outcome) for outcome in pairs.worst]
    assert any("latch the jumper" in text and "tug the jumper" in text for text in said)


def test_an_order_that_the_model_would_stop_is_outside_it() -> None:
    plan = planned(DEMO)
    assert plan.order is not None
    steps = tuple(step for step in plan.order.steps if not step.key.startswith("latch the jumper"))
    short = replace(plan, order=replace(plan.order, steps=steps))
    going, reasons = asked.ready_to_go_wrong(short)
    assert going is None
    assert "somebody would stop at: tug the jumper" in reasons[0]


def test_words_name_line_rule_and_harm() -> None:
    answer = job_mistakes(DEMO, load_fleet())
    assert answer.going is not None
    road = next(o for o in answer.omissions if "road" in answer.going.order[o.mistake.line].key)
    assert mistakes_in_words(answer.going, road) == "line 2, shunter: ask for the road — left out"
    assert broken_in_words(road)[0].endswith("Another movement comes onto the road and runs into people.")
    assert any(words.endswith("Another movement, or people at work, in the way.") for words in broken_in_words(road))
    assert end_in_words(answer.going, road) == "nobody notices; all ends as it should"
