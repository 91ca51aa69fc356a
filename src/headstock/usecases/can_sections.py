"""The answers of `can` as sections of lines and tables, which the terminal and the sheet both show."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from headstock.base.quantities import whole_up
from headstock.capability.brake_traces import FULL
from headstock.capability.stopping import StoppingResult
from headstock.procedures.rescue import Rescue
from headstock.usecases.can_job import JobCan
from headstock.usecases.can_words import (
    alone_words,
    approach_words,
    brake_words,
    braked_weight_words,
    build_up_words,
    forces_words,
    haul_words,
    metres,
    pull_words,
    release_words,
    reservoir_words,
    seconds,
)
from headstock.usecases.holding_words import holding_words

TITLES = {"stopping": "Stopping", "impact": "Coming together", "pull": "Pull against the joint", "haul": "Hauling",
          "curve": "On a curve", "leak-off": "Leak-off", "main reservoirs": "Main reservoirs joined", "loads": "By load",
          "running test": "Running test"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class CanTable:
    """A table: what it shows, its headings, rows as texts; the first column is words."""

    caption: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class CanSection:
    """A heading with its lines and tables in order."""

    title: str
    parts: tuple[str | CanTable, ...]


def can_sections(answer: JobCan) -> tuple[CanSection, ...]:
    """Everything answered, then what was not, with its reasons."""
    found = [
        CanSection("No", answer.refused),
        CanSection("Stopping", tuple(_stopping(answer))),
        CanSection("By load", tuple(_by_load(answer))),
        CanSection(f"Standing here ({answer.papers.place.slope_words()})", tuple(_standing(answer))),
        CanSection("Pull against the joint", tuple(pull_words(answer.pull)) if answer.pull is not None else ()),
        CanSection("Hauling", tuple(_hauling(answer))),
        CanSection("As brakes come off the whole train here",
                   tuple(release_words(answer.releases)) if answer.releases is not None else ()),
        CanSection("Main reservoirs joined", tuple(_reservoirs(answer))),
        CanSection("Coming together", tuple(_impact(answer))),
        CanSection("Fit", tuple(_fit(answer))),
    ]  # fmt: skip
    found += [CanSection(f"{TITLES[name]}: not answered", reasons) for name, reasons in answer.not_answered.items()]
    if answer.notes:
        found.append(CanSection("Notes", tuple(answer.notes)))
    return tuple(section for section in found if section.parts)


def _hauling(answer: JobCan) -> Iterator[str]:
    if answer.haul is None:
        return
    yield from haul_words(answer.haul)
    yield from alone_words(answer.alone)
    yield from (f"Restriction: {words.rstrip('.')}." for words in answer.join.best.restrictions)


def _stopping(answer: JobCan) -> Iterator[str | CanTable]:
    if not answer.stopping:
        return
    yield from (build_up_words(result) for result in answer.stopping)
    yield from (_stop_table(result) for result in answer.stopping)
    weight, first = answer.braked_weight, answer.stopping[0]
    if answer.stops is not None:
        working, of = answer.stops.in_use
        share = answer.papers.rules.limits.applied_share_at_least
        asks = "" if share is None else f"; the brake test of the local rules asks for {100 * share.value:g} %"
        yield f"Brakes that answer an emergency: {working} of {of} ({100 * working // of} %){asks}."
    if weight is not None:
        yield from braked_weight_words(weight)
    yield from forces_words(first)
    yield _lost_table(first)
    if answer.asked.keep_m is not None:
        speed = "no speed" if first.keeps_kmh is None else f"{first.keeps_kmh:.0f} km/h at most"
        yield f"To stop within {answer.asked.keep_m:g} m here, {first.call}: {speed}."
    if answer.running_test:
        yield _running_table(answer)


def _stop_table(result: StoppingResult) -> CanTable:
    falls = ["level", *(f"{1e3 * fall:g}" for fall in result.falls[1:])]
    rows = tuple(
        (f"{kmh:g} km/h", metres(here), seconds(here), *map(metres, row))
        for kmh, here, row in zip(result.speeds_kmh, result.here, result.table, strict=True)
    )
    caption = f"Stopping distance [m], {result.call}: here with its time [s], and falling by per mille"
    return CanTable(caption, ("from", "here", "s", *falls), rows)


def _by_load(answer: JobCan) -> Iterator[str | CanTable]:
    if answer.stops is None or not answer.stops.by_load:
        return
    if not answer.asked.load.is_usual:
        yield f"All else here is reckoned {answer.asked.load.words()}."
    rows = []
    for case, held in answer.stops.by_load:
        capped = ">" if held.is_held_gradient_capped else ""
        holds = f"{capped}{1e3 * held.held_gradient:.0f}{'' if held.holds else ' (not here)'}"
        rows.append((case.load, f"{case.mass_kg / 1e3:.1f}", *map(metres, case.stops), holds))
    speeds = (f"{kmh:g} km/h" for kmh in answer.stops.load_kmh)
    caption = (
        "Emergency here by load: mass [t], distance [m] from each speed; falls that all hand and parking brakes hold with the "
        "margin [per mille]"
    )
    yield CanTable(caption, ("load", "t", *speeds, "held"), tuple(rows))


def _reservoirs(answer: JobCan) -> Iterator[str]:
    if answer.reservoirs is not None:
        is_rescue = answer.papers.job.work == "rescue"
        rescue = answer.rescue if isinstance(answer.rescue, Rescue) else None
        yield from reservoir_words(answer.reservoirs, is_rescue, rescue)


def _lost_table(result: StoppingResult) -> CanTable:
    rows = []
    for lost in result.lost:
        longer = "-" if lost.longer_m is None else f"{lost.longer_m:.0f}"
        keeps = "-" if lost.keeps_kmh is None else f"{lost.keeps_kmh:.0f}"
        rows.append((lost.lost, metres(lost.stop), longer, keeps))
    caption = (
        f"{result.call.capitalize()} here from {result.at_kmh:g} km/h with a brake lost: distance [m], longer by [m], "
        "speed that keeps the distance of the whole train [km/h]"
    )
    return CanTable(caption, ("without", "stops in", "longer", "keeps"), tuple(rows))


def _running_table(answer: JobCan) -> CanTable:
    first = answer.running_test[0]
    rows = tuple((test.brakes, seconds(test.stop), metres(test.stop)) for test in answer.running_test)
    piped = any(result.call == FULL for result in answer.stopping)
    how = "by the automatic brake alone, full service" if piped else "by wires, friction alone, full service"
    caption = (
        f"Running test from {first.from_kmh:g} to {first.to_kmh:g} km/h here {how}: time [s] and distance [m] to expect; it "
        "slowed is not it passed"
    )
    return CanTable(caption, ("brakes", "s", "m"), rows)


def _standing(answer: JobCan) -> Iterator[str]:
    for result in answer.holding:
        said = "; ".join(holding_words(reason) for reason in result.reasons)
        brakes = ", ".join(map(brake_words, result.smallest_set))
        capped = "more than " if result.is_held_gradient_capped else ""
        held = f"held by {brakes}" if result.holds else "not held"
        lost = result.set_with_one_lost
        one = ""
        if lost is not None:
            one = (
                f"; with {brake_words(lost.lost or '')} lost {lost.force_n / 1e3:.0f} kN are left against "
                f"{result.slope_force_n / 1e3:.0f} kN of the hill"
            )
        yield (
            f"{result.portion}: {held}; {said}{one}; all its hand and parking brakes hold "
            f"{capped}{1e3 * result.held_gradient:.0f} per mille with the margin."
        )


def _impact(answer: JobCan) -> Iterator[str | CanTable]:
    if answer.impact is None:
        return
    rows = []
    for row in answer.impact.at:
        forces = (row.peak_n, row.endless_n, row.lump_n, row.others_n)
        stroke = f"{1e3 * row.stroke_m:.0f}{' shut' if row.shuts else ''}"
        rows.append((f"{row.kmh:g} km/h", *(f"{force / 1e3:.0f}" for force in forces), stroke, f"{row.energy_j / 1e3:.1f}"))
    caption = (
        f"Push at {answer.impact.joint} [kN], never less than endless chains, never more than two rigid lumps; elsewhere in the "
        "train [kN]; stroke [mm]; energy [kJ]"
    )
    yield CanTable(caption, ("comes at", "push", "least", "most", "elsewhere", "stroke", "energy"), tuple(rows))
    yield from approach_words(answer.approach_kmh, answer.impact, answer.papers.rules.approach.join_speed_kmh.value)


def _fit(answer: JobCan) -> Iterator[str | CanTable]:
    for fit in answer.fit:
        said = f"{fit.over_m:.1f} m over" if fit.fits else f"{-fit.over_m:.1f} m too long"
        off = f", standing {fit.stands_off_m:g} m before it" if fit.stands_off_m else ""
        yield f"{fit.train_m:.1f} m against {fit.there_is_m:g} m ({fit.against}{off}): {said}."
    yield from (f"{line[0].upper()}{line[1:]}." for line in answer.geometry.lines())
    if answer.meetings:
        yield _meeting_table(answer)
    supply = answer.supply
    if supply is not None:
        yield f"Draws {supply.standing_a:.0f} A standing, {supply.greatest_a:.0f} A at most."
        yield from (f"Too much: {words}." for words in answer.too_much)
        yield from (f"Pantographs {gap.first} and {gap.second}: {gap.apart_m:.1f} m apart." for gap in supply.gaps)


def _meeting_table(answer: JobCan) -> CanTable:
    rows, gathers = [], answer.geometry.gathers_horizontally_mm
    for met in answer.meetings:
        gaps = ("-" if gap is None else f"{gap:.0f}" for gap in (met.tight_gap_mm, met.wide_gap_mm))
        finds = "-" if gathers is None else "yes" if met.sideways_mm <= gathers else "no"
        rows.append((met.track, f"{whole_up(met.sideways_mm)}", finds, f"{met.angle_deg:.1f}", *gaps))
    caption = (
        f"The joint on curves of {answer.radius_m:g} m: faces apart sideways at worst [mm], whether the heads gather that, their "
        "angle [degrees], gap between the bodies on the inner and outer side [mm]"
    )
    return CanTable(caption, ("track", "apart", "gathered", "angle", "inner gap", "outer gap"), tuple(rows))
