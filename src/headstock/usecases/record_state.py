"""What stands of a filed test now: as judged, void by a touch since, or corrected. Reckoned each time from what is on record.

Nothing of it is stored: whichever of test and touch was recorded first, the answer is the same.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from headstock.brake_test.touches import TestPath, Touch, touched_since
from headstock.local_rules.test_method import ExemptTouch
from headstock.usecases.moments import moment_s
from headstock.usecases.records_port import Filed, Records, Search

State = Literal["stands", "void", "corrected", "path not known"]


def state_words(verdict: str, state: State) -> str:
    """Verdict and state in a few words: that a test stands is said only of one within its limits."""
    return verdict if state == "stands" and verdict != "within limits" else f"{verdict}, {state}"


MANY = 10_000


@dataclass(frozen=True, slots=True)
class TouchOnRecord:
    """A touch of a device in a test's path since it began; ``code``: of its entry, "" where the test's own record names it."""

    when: str
    device: str
    who: str
    part_of: str
    code: str
    voids: bool


@dataclass(frozen=True, slots=True)
class TestNow:
    """A test, its state, every touch of its path since, entries about it."""

    __test__ = False

    filed: Filed
    state: State
    touches: tuple[TouchOnRecord, ...]
    about: tuple[Filed, ...]

    @property
    def void_by(self) -> tuple[TouchOnRecord, ...]:
        """The touches that make it void."""
        return tuple(touch for touch in self.touches if touch.voids)


def state_of_test(filed: Filed, records: Records) -> TestNow:
    """The state of a filed test. Raises StorageError."""
    body = filed.draft.body
    about = records.search(Search((f"about:{filed.draft.key}",), top=MANY))
    path = _path_of(body["path"])
    touches = _touches(body, path, _later(body, records)) if path is not None else ()
    corrected = any(entry.draft.kind in ("correction", "test") for entry in about)
    void = any(touch.voids for touch in touches) or any(asked["touched"] for asked in body["touched_since"])
    state: State = "corrected" if corrected else "void" if void else "stands" if path is not None else "path not known"
    return TestNow(filed, state, touches, about)


def _path_of(said: Mapping[str, Any] | None) -> TestPath | None:
    if said is None:
        return None
    return TestPath(frozenset(said["devices"]), said["named"], tuple(ExemptTouch(**one) for one in said["exempt"]))


def _later(body: Mapping[str, Any], records: Records) -> dict[str, Filed]:
    """Touches on record of any device of the path, from the day it began."""
    devices = tuple(f"device:{body['scope']}{device}" for device in body["path"]["devices"])
    wanted = Search(from_day=body["began"][:10], top=MANY, any_of=devices)
    return {entry.code: entry for entry in records.search(wanted)} if devices else {}


def _touches(body: Mapping[str, Any], path: TestPath, later: Mapping[str, Filed]) -> tuple[TouchOnRecord, ...]:
    said = [(one["when"], one["device"], one["who"], one["part_of"], "") for one in body["touches"]]
    said += [(entry.draft.at, entry.draft.body["device"], entry.draft.body["who"], entry.draft.body["part_of"], code)
             for code, entry in later.items()]  # fmt: skip
    said.sort()
    touches = [Touch(moment_s(when), device, who, part_of, number) for number, (when, device, who, part_of, _) in enumerate(said)]
    began_s, ended_s = moment_s(body["began"]), moment_s(body["ended"])
    voids = {touch.line for touch in touched_since(touches, path, began_s, ended_s)}
    return tuple(TouchOnRecord(*said[touch.line], touch.line in voids) for touch in touches
                 if touch.when_s >= began_s and touch.device in path.devices)  # fmt: skip
