"""The study file: which trains, methods, faults, weather and limits a fleet study lays together, and how large it may be."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path

from pydantic import BaseModel, ConfigDict, Field

from headstock.base.documents import is_file, read_document
from headstock.base.errors import ContentError, Fault, InputError
from headstock.base.loading import load_as
from headstock.base.located import Document, DocumentPath, path_text
from headstock.base.named import Named
from headstock.base.nearest import nearest_of
from headstock.local_rules.drawn_tests import DEMONSTRATION, FAULT_KINDS, DrawnTests, Range, load_drawn_tests
from headstock.local_rules.limit_figures import is_pressure
from headstock.local_rules.method_stage import Stage
from headstock.local_rules.test_method import BrakeTestMethod, load_test_method, method_path
from headstock.usecases.job_file import job_path

STUDIES = Path(__file__).parent / "studies"
NAME = r"^[a-z][a-z0-9_-]{0,39}$"
LIMITS_NAME = r"^[a-z][a-z0-9_]{0,39}$"
"""The name of a set of limits is a column's in the results, and stands in questions on them."""


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class StudyWeather(_Part):
    """One sort of weather."""

    name: str = Field(pattern=NAME, description="what it is called in the results")
    low_c: float = Field(ge=-60, le=60, description="the lowest air temperature [degrees C]")
    high_c: float = Field(ge=-60, le=60, description="the highest air temperature [degrees C]")


class StudyLimits(_Part):
    """One set of limits, by how far it is off the local rules."""

    name: str = Field(pattern=LIMITS_NAME, description="what it is called in the results: column `fails_NAME`")
    moved_bar: dict[str, float] = Field(
        default={},
        description="how far a limit is moved, by stage of the methods [bar, or bar per minute]; none: as the local rules say",
    )


class StudyFile(_Part):
    """A whole study as written."""

    name: str = Field(min_length=1, max_length=60, description="what the study is called")
    edition: str = Field(min_length=1, description="edition, which answers name")
    invented: bool = Field(description="whether it is about invented trains")
    jobs: tuple[str, ...] = Field(
        min_length=1, max_length=500, description="the trains, as jobs make them: files beside the study, or built-in jobs"
    )
    methods: tuple[str, ...] = Field(min_length=1, max_length=50, description="methods of the test: files, or built-in ones")
    drawn: str | None = Field(
        default=None, description="drawn tests: a file beside the study; left out: the built-in ones, which are invented"
    )
    faults: tuple[str, ...] = Field(
        default=(), description="kinds of faults, in the words of the drawn tests; left out: all of them. Healthy trains always"
    )
    severities: dict[str, tuple[float, ...]] = Field(
        default={}, description="how bad, by kind, mildest first, instead of what the drawn tests say; unit by kind"
    )
    weather: tuple[StudyWeather, ...] = Field(
        default=(), max_length=50, description="sorts of weather; left out: one, as the drawn tests say"
    )
    limits: tuple[StudyLimits, ...] = Field(
        default=(StudyLimits(name="as_ruled"),), min_length=1, max_length=50,
        description="sets of limits that each drawn test is judged by; left out: as the local rules say",
    )  # fmt: skip
    draws: int = Field(ge=4, le=1_000_000, description="drawn tests of each fault in each degree at each place")
    pairs: int = Field(default=0, ge=0, le=100_000, description="drawn tests of every two faults at once; 0: none")
    seed: int = Field(default=1, ge=0, description="what is drawn is drawn from this")
    most_scenarios: int = Field(ge=1, description="the most drawn tests it may come to; more is refused")


class StudyPapers(_Part):
    """A study with the files it names, read; ``jobs`` and ``weathers`` by their names in the results."""

    model_config = ConfigDict(frozen=True, extra="forbid", arbitrary_types_allowed=True)

    study: StudyFile
    document: Document
    jobs: dict[str, Path]
    methods: dict[str, BrakeTestMethod]
    weathers: dict[str, DrawnTests]


def load_study(path: Path) -> StudyPapers:
    """A study and what it names; its jobs are only looked for. Raises InputError with every fault."""
    document = read_document(path)
    study = load_as(document, StudyFile, "study")
    named = Named(document)
    beside = path.parent
    jobs = [named.read(name, ("jobs", number), partial(job_path, name, beside)) for number, name in enumerate(study.jobs)]
    methods = [named.read(name, ("methods", number), partial(_method, name, beside)) for number, name in enumerate(study.methods)]
    ranges_at = beside / study.drawn if study.drawn else DEMONSTRATION
    ranges = named.read(study.drawn or "", ("drawn",), lambda: load_drawn_tests(ranges_at))
    faults = [*named.faults, *_twice(study, document), *_unknown(study, ranges, methods, document)]
    chosen = None if ranges is None or faults else _chosen(study, ranges, document, faults)
    if faults or chosen is None:
        raise ContentError(faults)
    return StudyPapers(
        study=study, document=document, weathers=_weathers(study, chosen),
        jobs={Path(name).stem: one for name, one in zip(study.jobs, jobs, strict=True) if one is not None},
        methods={Path(name).stem: one for name, one in zip(study.methods, methods, strict=True) if one is not None},
    )  # fmt: skip


def _method(name: str, beside: Path) -> BrakeTestMethod:
    return load_test_method(method_path(name, beside))


def _twice(study: StudyFile, document: Document) -> list[Fault]:
    """Names that would be the same in the results, and weather the wrong way round."""
    names: dict[str, Sequence[str]] = {
        "jobs": [Path(name).stem for name in study.jobs], "methods": [Path(name).stem for name in study.methods],
        "faults": study.faults, "weather": [one.name for one in study.weather], "limits": [one.name for one in study.limits],
    }  # fmt: skip
    found = [
        Fault("the same name twice", document.name, document.line_of((field, number)), path_text((field, number)), name,
              "a name of its own")
        for field, own in names.items() for number, name in enumerate(own) if name in own[:number]
    ]  # fmt: skip
    return found + [
        Fault("weather the wrong way round", document.name, document.line_of(("weather", number)),
              path_text(("weather", number)), f"{one.low_c:g} to {one.high_c:g}", "low_c not above high_c")
        for number, one in enumerate(study.weather) if one.low_c > one.high_c
    ]  # fmt: skip


def _unknown(
    study: StudyFile, ranges: DrawnTests | None, methods: Sequence[BrakeTestMethod | None], document: Document
) -> list[Fault]:
    """Faults and stages that there are not, each with the nearest."""
    kinds = [fault.kind for fault in ranges.faults] if ranges is not None else list(FAULT_KINDS)
    stages = sorted({stage.key for one in methods if one is not None for stage in one.stages if _is_moved(stage)})
    wanted: list[tuple[DocumentPath, str, Sequence[str], str]] = [
        (("faults", number), kind, kinds, "a fault of the drawn tests") for number, kind in enumerate(study.faults)
    ]
    wanted += [(("severities", kind), kind, kinds, "a fault of the drawn tests") for kind in study.severities]
    if all(one is not None for one in methods):
        wanted += [
            (("limits", number, "moved_bar", stage), stage, stages, "a stage of one of the methods whose limit is a pressure")
            for number, one in enumerate(study.limits) for stage in one.moved_bar
        ]  # fmt: skip
    return [
        Fault("not known", document.name, document.line_of(at), path_text(at), name, f"{what}: {', '.join(known)}",
              nearest_of(name, known))
        for at, name, known, what in wanted if name not in known
    ]  # fmt: skip


def _is_moved(stage: Stage) -> bool:
    """Whether a limit of a stage is a pressure, so that it can be moved in bar."""
    return stage.reading is not None and stage.reading.limit is not None and is_pressure(stage.reading.limit)


def _chosen(study: StudyFile, ranges: DrawnTests, document: Document, faults: list[Fault]) -> DrawnTests | None:
    """The drawn tests with the faults and degrees of the study; what does not belong together is checked as in their own file."""
    chosen = [one for one in ranges.faults if not study.faults or one.kind in (*study.faults, "nothing")]
    written = ranges.model_dump(mode="json")
    written["faults"] = [
        {**one.model_dump(mode="json"), "severities": list(study.severities.get(one.kind, one.severities))} for one in chosen
    ]
    try:
        return load_as(Document(written, document.name, document.lines), DrawnTests)
    except ContentError as error:
        faults += [
            replace(fault, line=document.line_of(("severities",)), path=f"severities ({fault.path})") for fault in error.faults
        ]
        return None


def _weathers(study: StudyFile, ranges: DrawnTests) -> dict[str, DrawnTests]:
    def in_it(one: StudyWeather) -> DrawnTests:
        healthy = ranges.healthy.model_copy(update={"temperature_c": Range(low=one.low_c, high=one.high_c)})
        return ranges.model_copy(update={"healthy": healthy})

    return {one.name: in_it(one) for one in study.weather} or {"as-drawn": ranges}


def study_path(name: str) -> Path:
    """A file, or a study that comes with Headstock by its name. Raises InputError."""
    ready = {path.stem: path for path in sorted(STUDIES.glob("*.yaml"))}
    if name in ready and not is_file(Path(name)):
        return ready[name]
    if is_file(Path(name)):
        return Path(name)
    fault = Fault("no such study", found=name, expected=f"a file, or one of {', '.join(ready)}", nearest=nearest_of(name, ready))
    raise InputError(fault, cure="Give the path of a study file.")
