"""Ready questions on a study's results: what each asks, and what its answer is and is not."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final, Literal, cast

Kind = Literal["drawn tests", "mistakes"]
WHAT_DRAWN_TESTS_ARE: Final = "Drawn tests of described trains: what the air engine expects, not what a real train will show."

WHAT_MISTAKES_ARE: Final = "Mistakes in orders of work on described trains: what the model shows, never how often they happen."
SOON: Final = 10
"""A mistake noticed so many lines later, or earlier, is noticed soon."""


@dataclass(frozen=True, slots=True)
class ReadyQuestion:
    """A question by its name: a title, how its columns are to be read, and of which kind of study it is asked."""

    name: str
    title: str
    note: str
    about: Kind = "drawn tests"


READY: Final = (
    ReadyQuestion(
        "blind-spots", "What the tests cannot see, by fault",
        "least_seen and most_seen: share of drawn tests that fail, at the place where it is least and where it is most; healthy: "
        "share of healthy ones that fail. never: at no place more than healthy trains. seen: at every place nearly always. "
        "in part: at some places, or by chance.",
    ),
    ReadyQuestion(
        "by-fault", "What the tests miss, by class of fault, over all trains and weather",
        "missed: share of drawn tests with the fault that pass; least_missed and most_missed: at the train and place where it is "
        "least and where it is most. answer: as in blind-spots, over all trains and places.",
    ),
    ReadyQuestion(
        "limit-curve", "What moving one limit does, the others as the local rules say",
        "moved_bar: how far the limit is moved. missed: share of faults that pass, by how often they are taken to be. "
        "false_alarms: share of healthy tests that fail. Both over all trains and weather.",
    ),
    ReadyQuestion(
        "worst-formations", "Which trains' tests miss most",
        "missed: share of faults that pass, by how often they are taken to be. false_alarms: share of healthy tests that fail.",
    ),
    ReadyQuestion(
        "season", "What the weather does",
        "missed: share of faults that pass, by how often they are taken to be. false_alarms: share of healthy tests that fail.",
    ),
    ReadyQuestion(
        "unit-pairs", "Which two units are one mistake away from harm",
        "one_from_harm: single plausible mistakes by which a rule is broken before anybody notices; harm_unnoticed: those of "
        "them that nobody notices at all. by_nobody: all that nobody notices. Plausible: rank 2 or 3 of 3. answer: whether there "
        "is an order of work; without one there are no mistakes to speak of.",
        "mistakes",
    ),
    ReadyQuestion(
        "unnoticed", "Which single mistakes nobody notices",
        "jobs: in how many of them. into_service: after how many something is wrong in service. breaks_a_rule: by how many a "
        "rule is broken. hurts and wrong_in_service: of the first of them. plausibility: 3 is the most plausible.",
        "mistakes",
    ),
    ReadyQuestion(
        "how-late", "How late a mistake is noticed",
        f"Lines of the order from where it first goes wrong. at_once: at the same or the next line; soon: up to {SOON} lines; "
        "at_handover: when the job is handed over; by_nobody: never. harmless: nothing comes of it.",
        "mistakes",
    ),
)  # fmt: skip
"""Those that come ready."""


def name_in_words(name: str) -> str:
    """A name that a study gives, of limits or weather, as people read it: as_ruled is "as ruled"."""
    return " ".join(name.replace("_", " ").replace("-", " ").split())


@dataclass(frozen=True, slots=True)
class StudyAnswer:
    """A table, and on what it rests: ``parts`` of ``of`` were there; ``limits``: the set of limits asked about."""

    title: str
    note: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Any, ...], ...]
    is_cut: bool
    study: dict[str, Any]
    parts: int
    limits: str

    @property
    def what_it_is(self) -> str:
        """What its figures are and are not."""
        return WHAT_DRAWN_TESTS_ARE if kind_said(self.study) == "drawn tests" else WHAT_MISTAKES_ARE


def kind_said(said: dict[str, Any]) -> Kind:
    """Of which kind a study is, by what its folder says; older folders say nothing and are drawn tests."""
    return cast(Kind, said.get("kind", "drawn tests"))
