"""The places, local rules and test methods that come with the program, as somebody chooses among them."""

from __future__ import annotations

from dataclasses import dataclass

from headstock.formation.place import load_place
from headstock.local_rules.rules import BUILT_IN as RULES_FOLDER
from headstock.local_rules.rules import load_local_rules
from headstock.local_rules.test_method import BUILT_IN as METHODS_FOLDER
from headstock.local_rules.test_method import BrakeTestMethod, load_test_method
from headstock.usecases.job_file import PLACES_FOLDER


@dataclass(frozen=True, slots=True)
class Paper:
    """The name that a job file has for it, what people call it, and whether it is made up."""

    key: str
    words: str
    invented: bool


@dataclass(frozen=True, slots=True)
class BuiltInPapers:
    """What one can choose; of methods only those that an order of work is made for."""

    places: tuple[Paper, ...]
    rules: tuple[Paper, ...]
    methods: tuple[Paper, ...]

    def invented(self, *keys: str) -> bool:
        """Whether any of these is made up."""
        return any(paper.invented for paper in (*self.places, *self.rules, *self.methods) if paper.key in keys)


def built_in_papers() -> BuiltInPapers:
    """All of them, by name."""
    places = [(path.stem, load_place(path)) for path in sorted(PLACES_FOLDER.glob("*.yaml"))]
    rules = [(path.stem, load_local_rules(path)) for path in sorted(RULES_FOLDER.glob("*.yaml"))]
    methods = [(path.stem, load_test_method(path)) for path in sorted(METHODS_FOLDER.glob("*.yaml"))]
    return BuiltInPapers(
        tuple(Paper(key, f"{place.name}, {place.slope_words()}", place.invented) for key, place in places),
        tuple(Paper(key, f"{rule.name}, edition {rule.edition}", rule.invented) for key, rule in rules),
        tuple(Paper(key, f"{method.name}, edition {method.edition}", _made_up(method)) for key, method in methods
              if method.not_planned_because is None and "multiple unit" in method.for_stock),
    )  # fmt: skip


def _made_up(method: BrakeTestMethod) -> bool:
    """Whether any of its sources is."""
    return any(source.status == "invented" for source in method.sources.values())
