"""What is done next where all that is left is what no look from the side shows: a blocked pipe, a reservoir that is not fed.

The steps are common practice, no source; who is told, who looks and what becomes of the train is the local rules' to say.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from headstock.brake_test.causes import Cause
from headstock.brake_test.look_walk import LookWalk
from headstock.devices.gauge import GaugeSpec
from headstock.formation.train import Joint, Train
from headstock.usecases.cause_words import cause_in_words
from headstock.usecases.find_cause import CauseSearch

NOTHING_SEEN: Final = "Nothing is left that a look from the side shows. Next"
STAYS: Final = (
    "The train stays held and does not leave with this brake. Whoever the local rules name is told, and decides what becomes "
    "of it."
)
FITTER: Final = (
    "A fitter, or whoever the local rules name, looks at hoses, heads and cocks there: kinked, crushed, frozen, something in the "
    "bore. Nobody goes between without protection, given and said back; no hose is parted before both cocks of that pipe at the "
    "joint are shut and the air between them is let off: under pressure it whips."
)
PART: Final = (
    "To be sure: the train held on hand or parking brakes, everybody out and clear and said so, charge and apply once more and "
    "read the gauges at {cabs} while the air moves. Seen from the valve that is worked, the first that follows late, or not at "
    "all, is behind the blockage. If all follow alike, it is not there."
)
FEED: Final = "A fitter looks at how it is fed, with a gauge on it: no gauge of a cab shows it."


def next_when_unseen(search: CauseSearch, walk: LookWalk) -> tuple[str, ...]:
    """Steps in their order; none where there is still something to look at, or the readings are within limits."""
    if walk.places or not walk.not_shown or search.judged.judgement.verdict == "within limits":
        return ()
    air = search.test.signatures.task.air
    return (STAYS, *_blocked(search.test.tested.train, air.air.brake_m, walk.not_shown), *_others(walk.not_shown))


def _blocked(train: Train, at_m: Mapping[str, float], causes: Sequence[Cause]) -> Iterator[str]:
    """Between which gauges the blockage lies, which reading parts it from the rest, who looks there."""
    places = {cause.place for cause in causes if cause.kind == "pipe blocked"}
    joints = [joint for joint in train.joints if str(joint) in places]
    if not joints:
        return
    gauges = _gauges(train, at_m)
    found = [(joint, _beside(joint, gauges, at_m)) for joint in joints]
    for joint, ends in found:
        lies = "there is no brake pipe gauge on both sides of it: gauges cannot tell"
        if len(ends) == 2:
            lies = f"it lies between the brake pipe gauges at {' and '.join(ends)}"
        yield f"If the pipe is blocked between {joint}, {lies}."
    read = sorted({end for _, ends in found for end in ends}, key=lambda end: at_m[end])
    if len(read) > 1:
        yield PART.format(cabs=", ".join(read))
    yield FITTER


def _others(causes: Sequence[Cause]) -> Iterator[str]:
    named = sorted(cause_in_words(cause) for cause in causes if cause.kind != "pipe blocked")
    if named:
        words = "; ".join(named)
        yield f"{words[0].upper()}{words[1:]}? {FEED}"


def _gauges(train: Train, at_m: Mapping[str, float]) -> dict[str, float]:
    """Ends with a brake pipe gauge in their cab, and where they are [m from the front]."""
    ends = dict.fromkeys(at.where for at, spec in train.devices() if isinstance(spec, GaugeSpec) and spec.reads == "brake pipe")
    return {end: at_m[end] for end in ends if end in at_m}


def _beside(joint: Joint, gauges: Mapping[str, float], at_m: Mapping[str, float]) -> list[str]:
    """The nearest gauge on either side of a joint, the front one first; those of its own two ends come before all."""
    sides = sorted((str(joint.first), str(joint.second)), key=lambda end: at_m[end])
    ahead = [end for end, m in gauges.items() if m < at_m[sides[1]] and end != sides[1]]
    behind = [end for end, m in gauges.items() if m > at_m[sides[0]] and end != sides[0]]
    nearest = (max(ahead, key=lambda end: gauges[end], default=""), min(behind, key=lambda end: gauges[end], default=""))
    return [end for end in nearest if end]
