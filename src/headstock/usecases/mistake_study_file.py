"""The file of a study of mistakes: which ends come together under which local rules, which mistakes, how many jobs at most."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from pydantic import BaseModel, ConfigDict, Field

from headstock.base.documents import read_document
from headstock.base.errors import ContentError, Fault
from headstock.base.loading import load_as
from headstock.base.located import Document, DocumentPath, path_text
from headstock.base.named import Named
from headstock.base.nearest import nearest_of
from headstock.equipment.library import Fleet
from headstock.formation.place import Place
from headstock.local_rules.mistake_plausibility import DEMONSTRATION, MistakePlausibility, load_mistake_plausibility
from headstock.local_rules.rules import LocalRules
from headstock.local_rules.test_method import BrakeTestMethod, load_test_method, method_path
from headstock.reasoning.mistakes import KINDS
from headstock.usecases.job_file import CrewRole, load_place_beside, load_rules_beside

KIND = "mistake study"


class MistakeStudyFile(BaseModel):
    """A whole study of mistakes as written."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    name: str = Field(min_length=1, max_length=60, description="what the study is called")
    edition: str = Field(min_length=1, description="edition, which answers name")
    invented: bool = Field(description="whether it is about invented trains")
    pairs: tuple[tuple[str, str], ...] = Field(
        default=(), max_length=10_000,
        description="ends that come together, `[tarn/2, moss/1]`: the first moves, the second stands; left out: end 2 of every "
                    "unit type with end 1 of every one",
    )  # fmt: skip
    local_rules: tuple[str, ...] = Field(
        min_length=1, max_length=50, description="local rules, each for all pairs: files beside the study, or built-in ones"
    )
    place: str = Field(description="the place of every job: a file beside the study, or a built-in one")
    method: str = Field(description="the method of the brake test: a file beside the study, or a built-in one")
    crew: tuple[CrewRole, ...] = Field(
        default=("driver", "shunter", "guard"), min_length=1, description="who is there; boards were placed by the last of them"
    )
    mistakes: tuple[str, ...] = Field(
        default=(), description=f"kinds of single mistakes: {', '.join(f'`{kind}`' for kind in KINDS)}; left out: all of them"
    )
    ranks: str | None = Field(
        default=None,
        description="ranks of plausibility: a file beside the study; left out: built-in ones, which are invented",
    )
    most_jobs: int = Field(ge=1, description="the most jobs (a pair under local rules) that it may come to; more is refused")


class MistakePapers(BaseModel):
    """A study of mistakes with the files it names, read; ``rules`` by their names in the results."""

    model_config = ConfigDict(frozen=True, extra="forbid", arbitrary_types_allowed=True)

    study: MistakeStudyFile
    document: Document
    beside: Path
    rules: dict[str, LocalRules]
    place: Place
    method: BrakeTestMethod
    plausibility: MistakePlausibility


def load_mistake_study(path: Path) -> MistakePapers:
    """A study and what it names; its unit types are looked for later. Raises InputError with every fault."""
    document = read_document(path)
    study = load_as(document, MistakeStudyFile, KIND)
    named = Named(document)
    beside = path.parent
    rules = {
        Path(name).stem: named.read(name, ("local_rules", number), partial(load_rules_beside, name, beside))
        for number, name in enumerate(study.local_rules)
    }
    place = named.read(study.place, ("place",), lambda: load_place_beside(study.place, beside))
    method = named.read(study.method, ("method",), lambda: load_test_method(method_path(study.method, beside)))
    ranks_at = beside / study.ranks if study.ranks else DEMONSTRATION
    ranks = named.read(study.ranks or "", ("ranks",), lambda: load_mistake_plausibility(ranks_at))
    faults = [*named.faults, *_twice(study, document), *_unknown_kinds(study, document)]
    known = {name: one for name, one in rules.items() if one is not None}
    if faults or place is None or method is None or ranks is None:
        raise ContentError(faults)
    return MistakePapers(
        study=study, document=document, beside=beside, rules=known, place=place, method=method, plausibility=ranks
    )


def pairs_of(papers: MistakePapers, fleet: Fleet) -> tuple[tuple[str, str], ...]:
    """The ends that come together, moving one first. Raises ContentError with every end that there is not."""
    if not papers.study.pairs:
        return tuple((f"{one}/2", f"{other}/1") for one in fleet.types for other in fleet.types)
    ends = [f"{name}/{end}" for name in fleet.types for end in ("1", "2")]
    faults = [
        _unknown(papers.document, ("pairs", number, place), end, f"an end of the fleet: {', '.join(ends)}", ends)
        for number, pair in enumerate(papers.study.pairs) for place, end in enumerate(pair) if end not in ends
    ]  # fmt: skip
    if faults:
        raise ContentError(faults)
    return papers.study.pairs


def _twice(study: MistakeStudyFile, document: Document) -> list[Fault]:
    """What would be the same in the results."""
    names: dict[str, list[str]] = {
        "local_rules": [Path(name).stem for name in study.local_rules], "mistakes": list(study.mistakes),
        "crew": list(study.crew), "pairs": [" with ".join(pair) for pair in study.pairs],
    }  # fmt: skip
    return [
        Fault("the same twice", document.name, document.line_of((field, number)), path_text((field, number)), name, "each once")
        for field, own in names.items() for number, name in enumerate(own) if name in own[:number]
    ]  # fmt: skip


def _unknown_kinds(study: MistakeStudyFile, document: Document) -> list[Fault]:
    return [
        _unknown(document, ("mistakes", number), name, f"a kind of mistake: {', '.join(KINDS)}", list(KINDS))
        for number, name in enumerate(study.mistakes) if name not in KINDS
    ]  # fmt: skip


def _unknown(document: Document, at: DocumentPath, found: str, expected: str, known: list[str]) -> Fault:
    return Fault("not known", document.name, document.line_of(at), path_text(at), found, expected, nearest_of(found, known))
