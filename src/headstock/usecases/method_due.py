"""The method of a job held against the test that is due after the job: what it answers, what it does not, which methods do."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from headstock.devices.distributor import DistributorSpec
from headstock.local_rules.events import DUE_TESTS, FACTS, Covers, DueTest
from headstock.local_rules.method_answers import answers, belongs_to
from headstock.local_rules.test_method import BrakeTestMethod, built_in_methods, load_test_method
from headstock.local_rules.tests_due import TestsDueResult, tests_due
from headstock.procedures.task import AttachTask
from headstock.usecases.events_of_job import events_and_facts
from headstock.usecases.job_file import JobPapers

SHORT: dict[DueTest, str] = {
    "full": "full brake test, every vehicle", "continuity": "continuity test", "cab": "cab test",
    "wires": "test of the through wires", "running": "running test", "none": "none",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class DueLine:
    """A due test: on what, why, whether the job's method answers it, built-in methods that do."""

    test: DueTest
    covers: Covers
    why: tuple[str, ...]
    answered: bool
    methods: tuple[str, ...]

    @property
    def is_later(self) -> bool:
        """Whether it is made after moving off, not before."""
        return self.test == "running"

    def words(self, method: str) -> str:
        """The line in words; ``method`` is the job's."""
        on = "" if self.covers == "the whole train" else f" ({self.covers})"
        head = f"Due: {DUE_TESTS[self.test]}{on}. {' '.join(self.why)}"
        if self.answered:
            return f"{head} The method of this job answers it."
        if self.is_later:
            return head
        named = ", ".join(self.methods) or "no built-in one"
        return f"{head} Not answered by {method}: only if made as well before it leaves. Methods that do: {named}."


@dataclass(frozen=True, slots=True)
class MethodDue:
    """The tests due after a job; ``missing`` facts could bring more, ``silent`` are events that the set does not decide."""

    method: str
    trigger_set: str
    lines: tuple[DueLine, ...]
    missing: tuple[str, ...]
    silent: tuple[str, ...]

    @property
    def lacking(self) -> tuple[DueLine, ...]:
        """Tests due at standstill that the job's method does not answer."""
        return tuple(line for line in self.lines if not line.answered and not line.is_later)

    def words(self) -> tuple[str, ...]:
        """Every line, and what is not decided, in words."""
        said = [line.words(self.method) for line in self.lines]
        said += [f"{self.trigger_set} says nothing that holds after: {event}; that never means that no test is due."
                 for event in self.silent]  # fmt: skip
        if self.missing:
            asked = "; ".join(FACTS[fact] for fact in self.missing)
            said.append(f"Not decided whether more is due. Find out: {asked}.")
        return tuple(said)

    def only_if(self) -> str:
        """What the front of a sheet says; nothing where the method answers every test due at standstill."""
        names = list(dict.fromkeys(SHORT[line.test] for line in self.lacking))
        return f"Only if made as well before it leaves: {' and '.join(names)} (see back)." if names else ""


def method_due(papers: JobPapers, task: AttachTask | None) -> MethodDue:
    """Hold the method of a job against what is due after it; without a task by what the job's file alone says."""
    events, facts = events_and_facts(papers, task)
    result = tests_due(events, facts, papers.triggers)
    lines = tuple(_line(papers.method, result, number, task) for number in range(len(result.due)))
    return MethodDue(papers.method.name, papers.triggers.name, lines, result.missing, result.silent)


def _line(method: BrakeTestMethod, result: TestsDueResult, number: int, task: AttachTask | None) -> DueLine:
    due = result.due[number]
    asking = [entry for entry in result.fired if entry.key in due.asked_by]
    why = tuple(dict.fromkeys(entry.words for entry in asking if entry.test == due.test))  # milder ones are answered with it
    return DueLine(due.test, due.covers, why, answers(method, due.test, due.covers), methods_for(due.test, due.covers, task))


@cache
def _built_in() -> dict[str, BrakeTestMethod]:
    """The methods that come with the program, by name."""
    return {name: load_test_method(path) for name, path in built_in_methods().items()}


def methods_for(test: DueTest, covers: Covers, task: AttachTask | None) -> tuple[str, ...]:
    """Built-in methods that answer a due test on this train, those that an order of work can have first."""
    releases = frozenset(_releases(task)) if task is not None else frozenset()
    found = _built_in()
    fitting = [name for name, one in found.items() if belongs_to(one, releases) and answers(one, test, covers)]
    return tuple(sorted(fitting, key=lambda name: (found[name].not_planned_because is not None, name)))


def other_methods(papers: JobPapers) -> tuple[str, ...]:
    """For a method that no order of work can have: those that it can have, and which due test each answers."""
    if papers.method.not_planned_because is None:
        return ()
    found = _built_in()
    named = [name for name, one in found.items() if belongs_to(one, frozenset()) and one.not_planned_because is None]
    due = [line.test for line in method_due(papers, None).lines if not line.is_later]
    words = ", ".join(SHORT[test] for test in due) or "not decided"
    return (f"due after this job: {words}; methods that an order of work can have: {', '.join(named)}",)


def _releases(task: AttachTask) -> list[str]:
    return [spec.release for _, spec in task.train.devices() if isinstance(spec, DistributorSpec)]
