"""Ready questions on a study's results: what each asks, and what its answer is and is not."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

WHAT_DRAWN_TESTS_ARE: Final = "Drawn tests of described trains: what the air engine expects, not what a real train will show."


@dataclass(frozen=True, slots=True)
class ReadyQuestion:
    """A question by its name: a title, and how its columns are to be read."""

    name: str
    title: str
    note: str


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
)  # fmt: skip
"""Those that come ready."""


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
