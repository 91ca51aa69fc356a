"""``due``: which brake test is due after what happened, and why."""

from __future__ import annotations

from pathlib import Path

from headstock.cli.reply import NO, NOT_YET, YES, print_json
from headstock.local_rules.events import DUE_TESTS, EVENTS, FACTS
from headstock.local_rules.tests_due import Spoken
from headstock.usecases.answers_as_data.due import due_as_json
from headstock.usecases.standing_caution import STANDING_CAUTION
from headstock.usecases.which_tests import WhichTests, which_tests
from headstock.wiring import fleet_from

STATUS = {"yes": YES, "no": NO, "not decided": NOT_YET}
HEADS = {
    "yes": "A test is due.",
    "no": "No test at standstill is due: the entries below say so.",
    "not decided": "Not decided: take it that the strictest test below is due, or find out what is missing.",
}


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
    triggers, result = answer.triggers, answer.result
    marks = [mark for mark, is_so in (("invented", triggers.invented), ("not for use", not triggers.for_use)) if is_so]
    tail = f" ({', '.join(marks)})" if marks else ""
    print(f"Trigger set: {triggers.name}, edition {triggers.edition}{tail}")
    print(f"Caution: {STANDING_CAUTION}")
    print(f"After: {', '.join(answer.events) or 'nothing named'}")
    print(HEADS[result.answer])
    for test in result.due:
        print(f"  due: {DUE_TESTS[test.test]} ({test.covers}), asked for by {', '.join(test.asked_by)}")
    for entry in result.fired:
        print(f"  because {_words(entry)}")
    for entry in result.may_fire:
        print(f"  perhaps, {' and '.join(entry.missing)} not known: {_words(entry)}")
    for event in result.silent:
        print(f"  the set says nothing that holds after: {event}; that never means that no test is due")
    for fact in result.missing:
        print(f"  find out {fact}: {FACTS[fact]}")
    for note in result.notes:
        print(f"Note: {note}")


def _words(entry: Spoken) -> str:
    source = entry.source
    said = "" if source.text.startswith(source.status) else f", {source.status}"
    return f"{'; '.join(entry.because)}: {entry.test}, {entry.words} [{entry.key}: {source.text}{said}]"
