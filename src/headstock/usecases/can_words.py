"""What is said beside every answer of `can`, and its answers in words."""

from __future__ import annotations

from collections.abc import Iterator

from headstock.base.quantities import whole_up
from headstock.capability.coupling_impact import ImpactResult
from headstock.capability.leak_off import LeakOff
from headstock.capability.main_reservoirs import ReservoirsResult
from headstock.capability.pull_away import PullResult
from headstock.capability.rescue import HaulResult, ReleaseOrder
from headstock.capability.stopping import SLIDE_PROTECTION_ASKED, BrakedWeight, RunningTest, StoppingResult
from headstock.physics.motion import Stop
from headstock.procedures.rescue import Rescue

CAN_CAUTIONS = (
    "Reckoned on dry, clean rails as the data give them, without running resistance; no figure here is a limit.",
    "Trapped air counts nothing: what stands, stands on hand and parking brakes.",
)


NO_DATA = "no data"
"""Stands where a train gathers more speed on a fall than friction and adhesion are given for."""


def metres(stop: Stop) -> str:
    """A distance in whole metres, rounded up; a dash where it never comes to its end speed, or data end on the way."""
    return f"{whole_up(stop.distance_m)}" if stop.is_stopped else NO_DATA if stop.is_beyond else "-"


def seconds(stop: Stop) -> str:
    """A time to the tenth of a second; a dash where it never comes to its end speed."""
    return f"{stop.time_s:.1f}" if stop.is_stopped else "-"


def brake_words(key: str) -> str:
    """A hand or parking brake by its key, in words."""
    return key.replace(".", " ").replace("_", " ")


def build_up_words(result: StoppingResult) -> str:
    """How the brake builds up."""
    up = result.build_up
    return (
        f"{result.call.capitalize()}: a tenth of the force after {up.begins_s:.1f} s, 95 % after {up.nearly_full_s:.1f} s; "
        f"as long as {up.equivalent_s:.1f} s of free running."
    )


def forces_words(result: StoppingResult) -> Iterator[str]:
    """Vehicles whose brake asks more than the rail gives, and the most that is asked."""
    most = max(result.forces, key=lambda force: force.adhesion_asked)
    more = ", more than it may count on: the rail limits it" if most.is_limited else ""
    if most.adhesion_asked > SLIDE_PROTECTION_ASKED and not most.is_limited:
        more = f"; above {SLIDE_PROTECTION_ASKED:g} slide protection is asked for"
    yield f"At {result.at_kmh:g} km/h {most.vehicle} asks most of the rail: {most.adhesion_asked:.3f} of its weight{more}."


def pull_words(result: PullResult) -> Iterator[str]:
    """How the joint is proved by pulling, and what would fool one."""
    if result.use is None:
        yield "Not here: no pull proves this joint here."
    elif result.proof == "let it hang":
        yield (
            "Let it hang: with the hauling portion's own brake off the hill puts "
            f"{result.use.coupling_n / 1e3:.1f} kN on the joint; watch for {result.use.seconds or 0.0:.0f} s."
        )
    else:
        yield (
            f"Notch {result.use.notch} for {result.use.seconds or 0.0:.0f} s, own brake off: "
            f"{result.use.coupling_n / 1e3:.1f} kN in the joint."
        )
    if result.use is not None:
        if result.use.needs_all_brakes:
            yield "Only with all hand and parking brakes of the standing portion on."
        yield (
            f"A brake of the hauling portion that gives {result.fooled_by_n / 1e3:.1f} kN takes up all of this pull: "
            "then nothing moves whether the joint holds or not, and nothing is proved."
        )
    for tried in result.tried:
        if tried.why_not:
            how = "Not by letting it hang" if tried.notch.startswith("none") else f"Not with notch {tried.notch}"
            yield f"{how}: {tried.why_not}."


def haul_words(result: HaulResult) -> Iterator[str]:
    """Whether the moving portion hauls the other, and on what it rests."""
    said = {"yes": "The moving portion can haul the other here.", "only if": "It may be hauled only if all of this is so:",
            "no": "It cannot be hauled here:"}  # fmt: skip
    yield said[result.verdict]
    yield from (f"  - {text}" for text in (*result.reasons, *result.conditions))
    yield (
        f"It starts on a rise of {1e3 * max(result.steepest_start, 0.0):.0f} per mille at most; starting here puts "
        f"{result.couple_n / 1e3:.0f} kN on the couple, the weakest part is {result.weakest.part}, "
        f"{result.weakest.rated_n / 1e3:.0f} kN."
    )


def alone_words(alone: RunningTest | None) -> Iterator[str]:
    """What the hauling portion's brakes do by themselves."""
    if alone is not None:
        stops = f"stops within {metres(alone.stop)} m" if alone.stop.is_stopped else "does not stop"
        yield f"With the {alone.brakes} an emergency from {alone.from_kmh:g} km/h {stops} here."


def braked_weight_words(weight: BrakedWeight) -> Iterator[str]:
    """Braked weight both ways, and what train control makes of it."""
    rated = "not stated" if weight.rated_percent is None else f"{weight.rated_percent:.0f} %"
    of_stop = [f"{value:.0f} % from {kmh:g} km/h" for kmh, value in weight.of_stop if value is not None]
    yield f"Braked weight: rated {rated}; of the stop on the level {', '.join(of_stop) or 'outside the curve'}."
    if weight.by_curve:
        said = ", ".join(f"{whole_up(distance)} m from {kmh:g} km/h" for kmh, distance in weight.by_curve)
        yield f"The curve makes of the rated figure {said}: a single vehicle, not this train."
    if weight.by_control:
        said = ", ".join(f"{whole_up(distance)} m from {kmh:g} km/h" for kmh, distance in weight.by_control)
        yield f"Train control reckons on the level, from the rated figure and the length, with {said}."
    elif weight.not_by_control is not None:
        yield f"Train control does not reckon with this train: {weight.not_by_control}."


def reservoir_words(result: ReservoirsResult, is_rescue: bool, rescue: Rescue | None) -> Iterator[str]:
    """How low the live main reservoirs fall, and the wait; in a rescue whether they are joined and why."""
    if rescue is not None:
        yield f"Main reservoirs {'joined' if rescue.main_joined else 'not joined'}: {rescue.main_words}."
    if rescue is not None and not rescue.main_joined:
        return
    if is_rescue:
        begin = "The standing portion's main reservoirs are empty, its compressors dead: joining the main reservoir pipes draws"
    else:
        begin = "Were the standing portion's main reservoirs empty, its compressors dead, joining the main pipes would draw"
    yield f"{begin} the moving portion's down to {result.lowest_bar:.1f} bar after {result.lowest_at_s:.0f} s."
    for below in result.below:
        if below.seconds is None:
            yield f"They stay below {below.threshold_bar:g} bar, above which {below.what}, for longer than was watched."
        elif below.seconds > 0.0:
            yield f"For {below.seconds:.0f} s they are below {below.threshold_bar:g} bar, above which {below.what}: wait."
    wait = "longer than was watched" if result.wait_s is None else f"{result.wait_s:.0f} s"
    yield f"Until the standing portion's parking brakes can come off by their air: {wait}."


def approach_words(can_join_kmh: tuple[float, float], result: ImpactResult, allowed_kmh: float) -> Iterator[str]:
    """The speeds at which one may come, both ends of them."""
    yield (
        f"Draft gear not yet shut up to {result.gear_shuts_kmh:.1f} km/h, frames unharmed ({result.frame_n / 1e3:.0f} kN) up to "
        f"{result.frame_kmh:.1f} km/h; the local rules allow {allowed_kmh:g} km/h."
    )
    least, most = can_join_kmh
    closes = result.closes_from_kmh
    if closes is None:
        yield f"Approach speed: to {most:g} km/h; no least speed is stated for these couplers."
    elif least > most:
        yield f"No approach speed does: the couplers close from {closes:g} km/h on, no more than {most:g} km/h may be."
    else:
        yield f"Approach speed: from {least:g} km/h, below which the couplers do not close, to {most:g} km/h."


def leak_off_words(portion: str, result: LeakOff) -> str:
    """For investigators: how long trapped air might have held."""
    bounds = [
        "more than a day" if seconds is None else f"{seconds / 60.0:.0f} min" for seconds in (result.soonest_s, result.latest_s)
    ]
    return (
        f"{portion}, each cylinder leaking through {result.leak_mm2:g} mm2, on trapped air alone: moves off after {bounds[0]} "
        f"(cylinders alone) to {bounds[1]} (with their reservoirs)."
    )


def release_words(order: ReleaseOrder) -> Iterator[str]:
    """The hold as brakes come off, one by one."""
    for step in order.steps:
        least = "" if step.stands else ": too little"
        named = brake_words(step.off)
        yield f"{named} off: {step.force_n / 1e3:.1f} kN hold, {step.needed_n / 1e3:.1f} kN are needed{least}"
    if order.dips is not None:
        named = brake_words(order.dips)
        yield f"Before {named} comes off, a brake worked from the leading cab is on and proved."
