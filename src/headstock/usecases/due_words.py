"""Which brake test is due, in words, line by line."""

from __future__ import annotations

from collections.abc import Iterator

from headstock.local_rules.events import DUE_TESTS, FACTS
from headstock.local_rules.tests_due import Spoken
from headstock.usecases.which_tests import WhichTests

HEADS = {
    "yes": "A test is due.",
    "no": "No test at standstill is due: the entries below say so.",
    "not decided": "Not decided: take it that the strictest test below is due, or find out what is missing.",
}


def trigger_set_words(answer: WhichTests) -> str:
    """Which trigger set was asked, and what is to be known of it."""
    triggers = answer.triggers
    marks = [mark for mark, is_so in (("invented", triggers.invented), ("not for use", not triggers.for_use)) if is_so]
    tail = f" ({', '.join(marks)})" if marks else ""
    return f"Trigger set: {triggers.name}, edition {triggers.edition}{tail}"


def due_lines(answer: WhichTests) -> Iterator[str]:
    """The answer, every entry that fired, what may fire, what must still be known."""
    result = answer.result
    yield f"After: {', '.join(answer.events) or 'nothing named'}"
    yield HEADS[result.answer]
    for test in result.due:
        yield f"  due: {DUE_TESTS[test.test]} ({test.covers}), asked for by {', '.join(test.asked_by)}"
    for entry in result.fired:
        yield f"  because {_words(entry)}"
    for entry in result.may_fire:
        yield f"  perhaps, {' and '.join(entry.missing)} not known: {_words(entry)}"
    for event in result.silent:
        yield f"  the set says nothing that holds after: {event}; that never means that no test is due"
    for fact in result.missing:
        yield f"  find out {fact}: {FACTS[fact]}"
    for note in result.notes:
        yield f"Note: {note}"


def _words(entry: Spoken) -> str:
    source = entry.source
    said = "" if source.text.startswith(source.status) else f", {source.status}"
    return f"{'; '.join(entry.because)}: {entry.test}, {entry.words} [{entry.key}: {source.text}{said}]"
