"""``due``: which brake test is due after what happened, and why."""

from __future__ import annotations

from pathlib import Path

from headstock.cli.reply import NO, NOT_YET, YES, print_json
from headstock.local_rules.events import DUE_TESTS, EVENTS, FACTS
from headstock.usecases.answers_as_data.due import due_as_json
from headstock.usecases.due_words import due_lines, trigger_set_words
from headstock.usecases.standing_caution import STANDING_CAUTION
from headstock.usecases.which_tests import WhichTests, which_tests
from headstock.wiring import fleet_from

STATUS = {"yes": YES, "no": NO, "not decided": NOT_YET}


def run_list(as_json: bool) -> int:
    """All events, facts and tests that trigger sets can name."""
    named: dict[str, dict[str, str]] = {
        title: {str(name): meaning for name, meaning in meanings}
        for title, meanings in (("events", EVENTS.items()), ("facts", FACTS.items()), ("tests", DUE_TESTS.items()))
    }
    if as_json:
        print_json(named)
        return YES
    for title, meanings in named.items():
        print(f"{title}:")
        for name, meaning in meanings.items():
            print(f"  {name}: {meaning}")
    return YES


def run_due(
    events: list[str], facts: list[str], triggers: str | None, job: Path | None, as_json: bool, fleet: Path | None
) -> int:
    """Answer and print; 0 a test is due, 1 none is and an entry says so, 3 not decided."""
    answer = which_tests(events, facts, triggers, job, fleet_from(fleet))
    if as_json:
        print_json(due_as_json(answer))
    else:
        _print(answer)
    return STATUS[answer.result.answer]


def _print(answer: WhichTests) -> None:
    print(trigger_set_words(answer))
    print(f"Caution: {STANDING_CAUTION}")
    for line in due_lines(answer):
        print(line)
