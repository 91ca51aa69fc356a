"""A method of testing the brake: stages with who acts, where, which position, what must be seen, within which limit."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from headstock.base.documents import is_file, read_document
from headstock.base.errors import ContentError, Fault, InputError
from headstock.base.loading import load_as
from headstock.base.nearest import nearest_of
from headstock.base.sources import Source, missing_source_keys
from headstock.local_rules.method_stage import CockMove, End, Reading, Stage, ValveMove
from headstock.local_rules.test_limits import Limit, OwnLimits, Wait

__all__ = [
    "BUILT_IN", "BrakeTestMethod", "CockMove", "End", "Limit", "Reading", "Stage", "ValveMove", "Wait", "built_in_methods",
    "load_test_method", "method_path",
]  # fmt: skip

BUILT_IN = Path(__file__).parent / "methods"
Stock = Literal["multiple unit", "coaches", "freight"]
Release = Literal["direct", "graduated"]
ALL_STOCK: tuple[Stock, ...] = ("multiple unit", "coaches", "freight")
COUNTED = ("brakes applied", "brakes released")
"""Readings that are a count of brakes."""
PLANNED = frozenset(("brake pipe", "brake cylinder", "lamp", "bell", *COUNTED))
"""Readings that a step of an order of work can be."""
ONLY_TOLD = ("second-hand", "from memory")
ALL_RELEASE: tuple[Release, ...] = ("direct", "graduated")


class ExemptTouch(BaseModel):
    """A touch that is part of the method: by name, of which device, in which stage. It makes no test void, once."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    name: str = Field(min_length=3, description="what it is called in a touch log")
    device: Literal["leading brake valve", "rear brake valve", "tail cock", "tail hose", "brake controller"] = Field(
        description="what is touched"
    )
    stage: str = Field(description="the stage that it belongs to")


class BrakeTestMethod(BaseModel):
    """A whole method."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    name: str = Field(min_length=1, description="what the method is called")
    edition: str = Field(min_length=1, description="edition, which sheets name")
    for_use: bool = Field(default=True, description="false: an example with published or remembered figures; judging says so")
    brake: Literal["automatic", "electro-pneumatic", "wires"] = Field(default="automatic", description="what is tested")
    tests: Literal["continuity", "every brake", "leakage", "electric brake", "running", "wires"] = Field(
        default="continuity", description="what it answers; continuity needs readings both ways"
    )
    for_stock: tuple[Stock, ...] = Field(default=ALL_STOCK, min_length=1, description="stock that it belongs to")
    for_release: tuple[Release, ...] = Field(
        default=ALL_RELEASE, min_length=1, description="release of the automatic brakes that it belongs to"
    )
    one_person: bool = Field(default=False, description="true: one person alone does all of it, and each walk is timed")
    nothing_with_electric_brake: bool = Field(
        default=False, description="true: with an electric or electrically controlled brake in use it proves nothing"
    )
    sources: dict[str, Source] = Field(min_length=1, description="where the method comes from, by a key of one's own")
    limits: OwnLimits = Field(default=OwnLimits(), description="limits that the method states itself")
    retest_charge: bool = Field(
        default=True,
        description="true: begun anew after an application, stock with direct release is charged for the whole time again",
    )
    exempt_touches: tuple[ExemptTouch, ...] = Field(default=(), description="touches that are part of the method")
    shows: tuple[str, ...] = Field(min_length=1, description="what a passed test shows, in words")
    cannot_show: tuple[str, ...] = Field(min_length=1, description="what it can never show, in words; sheets say it")
    stages: tuple[Stage, ...] = Field(min_length=2, max_length=30, description="the stages in order")

    @model_validator(mode="after")
    def _hangs_together(self) -> BrakeTestMethod:
        keys = [stage.key for stage in self.stages]
        twice = sorted({key for key in keys if keys.count(key) > 1})
        if twice:
            raise ValueError(f"stages must have names of their own; twice: {', '.join(twice)}")
        if not self.readings:
            raise ValueError("a method reads something")
        wrong = [touch.stage for touch in self.exempt_touches if touch.stage not in keys]
        if wrong:
            raise ValueError(f"an exempt touch belongs to a stage of the method; found {wrong[0]}")
        self._check_moves()
        return self

    def _check_moves(self) -> None:
        """What is moved goes on from where it was left."""
        stands: dict[tuple[str, str], str] = {}
        for stage in self.stages:
            for what, move in (("valve", stage.valve), ("cock", stage.cock)):
                if move is None:
                    continue
                left = stands.get((what, move.at), move.before)
                if left != move.before:
                    raise ValueError(
                        f"stage {stage.key}: the {move.at} {what} is moved from {move.before}, but was left at {left}"
                    )
                stands[what, move.at] = move.after

    @property
    def readings(self) -> tuple[Stage, ...]:
        """Stages in which something is read, in order."""
        return tuple(stage for stage in self.stages if stage.reading is not None)

    @property
    def not_planned_because(self) -> str | None:
        """Why no order of work can have it: orders know valves and a tail cock moved, wires tried, gauges read, brakes counted.

        One that does not say whether the pipe is through can still be a further test after one that does.
        """
        reasons = (self._acts_not_planned(), self._answer_not_planned(), self._moves_not_planned())
        return next((reason for reason in reasons if reason is not None), None)

    def _acts_not_planned(self) -> str | None:
        if self.tests == "running":
            return "it is made on the move, after the work"
        others = {stage.reading.reads for stage in self.stages if stage.reading is not None} - PLANNED
        return f"it reads {' and '.join(sorted(others))}" if others else None

    def _moves_not_planned(self) -> str | None:
        cocks = [stage.cock for stage in self.stages if stage.cock is not None]
        lead = [stage.valve for stage in self.stages if stage.valve is not None and stage.valve.at == "front"]
        rear = [stage.valve for stage in self.stages if stage.valve is not None and stage.valve.at == "rear"]
        if any(move.at == "front" for move in cocks) or (cocks and (cocks[0].before, cocks[-1].after) != ("shut", "shut")):
            return "the tail cock alone is opened in a test, and is shut before and after it"
        if not lead or (lead[0].before, lead[-1].after) != ("full", "running"):
            return "an order of work comes to the test with the leading valve at full and goes on with it at running"
        if rear and (rear[0].before, rear[-1].after) != ("locked", "locked"):
            return "the rear valve is locked before and after the test"
        return None

    def _answer_not_planned(self) -> str | None:
        if self.tests not in ("continuity", "every brake"):
            return f"it answers {self.tests}, not whether the pipe is through; after a test that does it can follow (then_tests)"
        return None if "multiple unit" in self.for_stock else f"it belongs to {' and '.join(self.for_stock)}"


def load_test_method(path: Path) -> BrakeTestMethod:
    """A method from a file. Raises InputError with every fault."""
    document = read_document(path)
    method = load_as(document, BrakeTestMethod, "test method")
    unlisted = missing_source_keys(method, method.sources).faults(document, method.sources)
    if unlisted:
        raise ContentError(unlisted)
    told = [key for key, source in method.sources.items() if method.for_use and source.status in ONLY_TOLD]
    if told:
        what = "a method for use rests on a source that is only told or remembered"
        raise ContentError([Fault(what, document.name, document.line_of(("sources", key)), f"sources.{key}",
                                  method.sources[key].status, "for_use: false, or a source that was read")
                            for key in told])  # fmt: skip
    return method


def built_in_methods() -> dict[str, Path]:
    """Files of the built-in methods by name."""
    return {path.stem: path for path in sorted(BUILT_IN.glob("*.yaml"))}


def method_path(name: str, beside: Path) -> Path:
    """A file beside another, or a built-in method by its name. Raises InputError."""
    known = built_in_methods()
    for candidate in (beside / name, known.get(name)):
        if candidate is not None and is_file(candidate):
            return candidate
    expected = f"a file, or one of {', '.join(known)}"
    raise InputError(Fault("test method not found", found=name, expected=expected, nearest=nearest_of(name, known)),
                     cure="headstock methods list names them.")  # fmt: skip
