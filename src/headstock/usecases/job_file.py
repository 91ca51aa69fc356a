"""The job file: units and joints in order, what moves, the cab that controls afterwards, crew, place, rules, method."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Literal, TypeVar

from pydantic import BaseModel, ConfigDict, Field

from headstock.base.documents import is_file, read_document
from headstock.base.errors import ContentError, Fault, InputError
from headstock.base.loading import load_as
from headstock.base.located import Document
from headstock.base.nearest import nearest_of
from headstock.formation.place import Place, load_place
from headstock.local_rules.events import Event
from headstock.local_rules.rules import BUILT_IN as RULES_FOLDER
from headstock.local_rules.rules import LocalRules, load_local_rules, trigger_set_of
from headstock.local_rules.test_method import BUILT_IN as METHODS_FOLDER
from headstock.local_rules.test_method import BrakeTestMethod, load_test_method, method_path
from headstock.local_rules.tests_in_a_row import tests_in_a_row
from headstock.local_rules.triggers import TriggerSet

PLACES_FOLDER = Path(__file__).parent.parent / "formation" / "places"
JOBS_FOLDER = Path(__file__).parent / "jobs"
CrewRole = Literal["driver", "shunter", "guard"]
P = TypeVar("P")


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class JobUnit(_Part):
    """One unit: its number or name, its type."""

    name: str = Field(min_length=1, max_length=12, pattern=r"^[A-Za-z0-9 -]+$", description="number or name of the unit")
    type: str = Field(description="its unit type")


class JobJoint(_Part):
    """Two ends that face one another; the one joint to make says so."""

    ends: tuple[str, str] = Field(description="the two ends that face one another, `217/2` and `226/1`")
    make: bool = Field(default=False, description="true at the one joint that the job makes; others are made already")
    part: bool = Field(default=False, description="true at the one joint that a detaching job parts")


class JobMoving(_Part):
    """The portion that moves, by its units, and the cab it is driven from."""

    units: tuple[str, ...] = Field(min_length=1, description="the units of the portion that moves: all on one side of the joint")
    driven_from: str = Field(description="the cab that it is driven from, `217/2`")


class CoupleSigns(_Part):
    """Signs of an automatic couple; what was not looked at is left out."""

    mechanical_lamp: Literal["lit", "dark"] | None = Field(default=None, description="cab: couple shown as mechanically made")
    electrical_lamp: Literal["lit", "dark"] | None = Field(default=None, description="cab: couple shown as electrically made")
    wires: Literal["work", "dead"] | None = Field(
        default=None, description="cab: wired brake, doors and display of the other unit answer, or not"
    )
    mark: Literal["coupled", "not coupled"] | None = Field(default=None, description="mark or pointer on the heads")
    gap: Literal["none", "seen"] | None = Field(default=None, description="gap between the faces")
    rear_brake_pipe: Literal["follows", "does not move"] | None = Field(default=None, description="the last gauge in a test")
    pull: Literal["holds", "parts"] | None = Field(default=None, description="what a light pull has shown")


class CoupleAsFound(_Part):
    """The couple of the job's joint where it was found part made: tried and not right, or not to be parted by the button."""

    signs: CoupleSigns = Field(description="what was seen of it")
    hold_proved: bool = Field(description="whether this crew proved the standing portion's hold, its brakes on since")
    tries: int = Field(ge=0, le=9, description="how often it was tried: joined from this cab, or the release's button pressed")
    tries_from_the_other_cab: int = Field(default=0, ge=0, le=9, description="tries from the other portion's cab")
    without_wires: bool = Field(default=False, description="true: go on with the electrical heads locked back")
    pull_on_it: Literal["stretched", "eased"] = Field(default="stretched", description="whether the couple is stretched")
    main_reservoir_bar: float | None = Field(
        default=None, ge=0, le=15, description="main reservoir of the moving portion [bar gauge]; left out: enough"
    )
    latch: Literal["free", "frozen"] = Field(default="free", description="whether ice holds the latch")


class JoinedByRescue(_Part):
    """How a rescue left the train that the job parts; the way of joining is that of the rescue (`way`)."""

    springs_by_hand: tuple[str, ...] = Field(
        default=(), description="vehicles whose springs were released by hand and not set again since"
    )
    main_reservoirs: Literal["apart", "joined", "by the air inlet"] = Field(
        default="apart", description="by what air of the live portion came to the one that was fetched"
    )


class JobFile(_Part):
    """A whole job as written."""

    title: str = Field(min_length=1, max_length=60, description="what the job is called on the sheet")
    invented: bool = Field(description="true: made up for demonstration or training; the sheet says so")
    work: Literal["attach", "detach", "rescue"] = Field(
        description="what is done; a rescue joins a portion whose compressors are dead (`as_left`)"
    )
    units: tuple[JobUnit, ...] = Field(
        min_length=1, max_length=12, description="units in order, from the place's first direction to its second"
    )
    joints: tuple[JobJoint, ...] = Field(description="one joint between each two neighbours, in the same order")
    way: Literal["direct", "screw", "adapter"] | None = Field(
        default=None, description="by what the ends are joined, or are joined now; left out: the best way there is"
    )
    moving: JobMoving = Field(description="the portion that moves")
    controls_afterwards: str = Field(
        description="the cab that controls the finished train, at an outer end; the test is led from here"
    )
    leaves_from: str = Field(description="the outer end with which the train leaves")
    crew: dict[CrewRole, str] = Field(min_length=1, description="who is there: name by role")
    place: str = Field(description="the place: a file beside the job, or a built-in one")
    local_rules: str = Field(description="the local rules: a file beside the job, or built-in ones")
    method: str = Field(description="the method of the brake test: a file beside the job, or a built-in one")
    then_tests: tuple[str, ...] = Field(
        default=(), max_length=3, description="further tests after it, as of leakage: a file beside the job, or a built-in one"
    )
    boards_placed_by: dict[str, CrewRole] = Field(
        default={}, description="by whom a not-to-be-moved board was placed: role by unit; nobody else takes it off"
    )
    as_left: dict[str, str] = Field(default={}, description="what stands otherwise than the unit types say: state by key")
    couple_as_found: CoupleAsFound | None = Field(
        default=None, description="an automatic couple found part made, with the ends touching; left out: none tried yet"
    )
    joined_by_a_rescue: JoinedByRescue | None = Field(
        default=None, description="the train to be parted was joined by a rescue; left out: by an ordinary joining"
    )


class JobPapers(_Part):
    """A job with the files it names, read."""

    model_config = ConfigDict(frozen=True, extra="forbid", arbitrary_types_allowed=True)

    job: JobFile
    document: Document
    place: Place
    rules: LocalRules
    method: BrakeTestMethod
    triggers: TriggerSet


def load_job(path: Path, method_name: str | None = None) -> JobPapers:
    """A job and the place, local rules and method it names. Raises InputError with every fault of a file.

    With ``method_name`` (a file, or a built-in one) that method instead of the job's.
    """
    return job_papers(read_document(path), path.parent, method_name)


def job_papers(document: Document, beside: Path, method_name: str | None = None) -> JobPapers:
    """The same of a job that is read already; what it names lies in ``beside``, or is built in."""
    job = load_as(document, JobFile, "job")
    faults: list[Fault] = []

    def paper(field: str, folder: Path, load: Callable[[Path], P]) -> P | None:
        found = _find(getattr(job, field), folder, beside, field, document, faults)
        return _read(load, found, faults) if found is not None else None

    place = paper("place", PLACES_FOLDER, load_place)
    rules = paper("local_rules", RULES_FOLDER, _rules_with_triggers)
    if method_name is not None:
        method: BrakeTestMethod | None = load_test_method(method_path(method_name, Path()))
    else:
        method = paper("method", METHODS_FOLDER, load_test_method)
    if place is None or rules is None or method is None:
        raise ContentError(faults)
    unsaid = [event for event in events_of(job) if not rules[1].after(event)]
    if unsaid:
        raise ContentError(_unsaid(event, rules, document) for event in unsaid)
    further = () if method_name is not None else tuple(load_test_method(method_path(name, beside)) for name in job.then_tests)
    own_rules = rules[0]
    for one in (method, *further):
        lacking = own_rules.lacks_for(one)
        if lacking:
            raise ContentError(_lacking(name, rules[0].name, one, document) for name in lacking)
        own_rules = own_rules.using(one)
    whole = _in_a_row(method, further, document)
    return JobPapers(job=job, document=document, place=place, rules=own_rules, method=whole, triggers=rules[1])


def _in_a_row(method: BrakeTestMethod, further: tuple[BrakeTestMethod, ...], document: Document) -> BrakeTestMethod:
    try:
        return tests_in_a_row((method, *further))
    except ValueError as error:
        fault = Fault("these tests do not follow one another", document.name, document.line_of(("then_tests",)), "then_tests",
                      str(error).splitlines()[0], "tests that go on from where the one before left the valves")  # fmt: skip
        raise ContentError([fault]) from None


def _lacking(limit: str, rules: str, method: BrakeTestMethod, document: Document) -> Fault:
    """Neither the local rules nor the method state a limit that the method names."""
    expected = f"{limit} under limits of {rules} or of the method"
    return Fault(f"no limit for {method.name}", document.name, document.line_of(("method",)), "method", "nothing", expected)


def _rules_with_triggers(path: Path) -> tuple[LocalRules, TriggerSet]:
    """Local rules and the trigger set that they name."""
    rules = load_local_rules(path)
    return rules, trigger_set_of(rules, path.parent)


def _unsaid(event: Event, rules: tuple[LocalRules, TriggerSet], document: Document) -> Fault:
    """The trigger set of the rules does not speak of an event that the job has."""
    what = (
        f"the trigger set {rules[1].name} (edition {rules[1].edition}) of the local rules has no entry for an event of this job"
    )
    cure = f"an entry after {event}, with test: none where no test is due"
    return Fault(what, document.name, document.line_of(("local_rules",)), "local_rules", event, cure)


def events_of(job: JobFile) -> tuple[Event, ...]:
    """What the job does to the train, as far as its file alone says it; [] where its joints cannot be meant."""
    cut = next((number for number, joint in enumerate(job.joints, start=1) if joint.make or joint.part), None)
    names = [unit.name for unit in job.units]
    if cut is None or job.moving.units[0] not in names:
        return ()
    moves_first = names.index(job.moving.units[0]) < cut
    leaves_first = job.leaves_from.rpartition("/")[0] in names[:cut]
    events: list[Event] = ["attached at front" if moves_first == leaves_first else "attached at rear"]
    if job.work == "detach":  # seen from the train that leaves: what stays was before it, or behind it
        events = ["detached at front" if job.leaves_from in job.joints[cut - 1].ends else "detached at rear"]
    if job.work == "rescue":
        events += ["rescue coupled", "brakes bled by hand"]
    if job.controls_afterwards != job.moving.driven_from:
        events.append("controlling end changed")
    return tuple(events)


def _read(load: Callable[[Path], P], path: Path, faults: list[Fault]) -> P | None:
    """A paper of a job; its faults join those of the others."""
    try:
        return load(path)
    except InputError as error:
        faults += error.faults
        return None


def _find(name: str, folder: Path, beside: Path, field: str, document: Document, faults: list[Fault]) -> Path | None:
    """A file beside the job by its path, or one of the built-in ones by its name."""
    for candidate in (beside / name, folder / f"{name}.yaml"):
        if is_file(candidate):
            return candidate
    known = sorted(path.stem for path in folder.glob("*.yaml"))
    faults.append(
        Fault(f"{field.replace('_', ' ')} not found", document.name, document.line_of((field,)), field, name,
              f"a file beside the job, or one of {', '.join(known)}", nearest_of(name, known))
    )  # fmt: skip
    return None


def job_path(name: str, beside: Path, document: Document | None = None) -> Path:
    """A job beside another file, or a built-in one by its name; ``document``: whose ``job`` it is. Raises InputError."""
    for candidate in (beside / name, JOBS_FOLDER / f"{name}.yaml"):
        if is_file(candidate):
            return candidate
    known = sorted(path.stem for path in JOBS_FOLDER.glob("*.yaml"))
    file, line = (document.name, document.line_of(("job",))) if document is not None else ("", None)
    expected = f"a file beside it, or one of {', '.join(known)}"
    raise InputError(Fault("job not found", file, line, "job", name, expected, nearest_of(name, known)))


def load_rules_named(name: str) -> LocalRules:
    """Local rules by their file's path or by the name of built-in ones."""
    return load_local_rules(file_named("local rules", name, RULES_FOLDER))


def load_rules_beside(name: str, beside: Path) -> LocalRules:
    """Local rules from a file beside another, or built-in ones by name."""
    return load_local_rules(beside / name) if is_file(beside / name) else load_rules_named(name)


def load_place_beside(name: str, beside: Path) -> Place:
    """A place from a file beside another, or a built-in one by name."""
    return load_place(beside / name) if (beside / name).is_file() else load_place_named(name)


def load_place_named(name: str) -> Place:
    """A place by its file's path or by the name of a built-in one."""
    return load_place(file_named("place", name, PLACES_FOLDER))


def file_named(kind: str, name: str, folder: Path) -> Path:
    """A file by its path, or one of a folder of ``*.yaml`` by its name. Raises InputError naming the nearest."""
    for candidate in (Path(name), folder / f"{name}.yaml"):
        if is_file(candidate):
            return candidate
    known = sorted(path.stem for path in folder.glob("*.yaml"))
    raise InputError(Fault(f"{kind} not found", found=name, expected=", ".join(known), nearest=nearest_of(name, known)))
