"""The pull against a new joint: which notch and for how long proves it, whether hanging on the hill proves it, or not here.

A joint is proved when, had it not closed, one would have seen the hauling portion move off: the net force on it alone must be
well above nothing for so long. The hauling portion's own brake must be off, or the pull is spent on it: a pull against its own
brake is a proof of nothing. The standing portion must hold against the pull with its margin.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from headstock.formation.not_stated import not_stated
from headstock.formation.train import TrainUnit
from headstock.physics.gradient import slope_force_n
from headstock.physics.pull import coupling_pull_n, seconds_to_move

Proof = Literal["in a notch", "let it hang", "not here"]


@dataclass(frozen=True, slots=True)
class PullSeen:
    """By the local rules: movement nobody misses [m], least net force that moves a free portion [N/kg], longest pull [s]."""

    seen_m: float
    least_net_n_per_kg: float
    longest_s: float


@dataclass(frozen=True, slots=True)
class PullQuestion:
    """The hauling portion and what holds the other: masses [kg], gradient positive where the hill draws the hauling one off.

    ``hold_n`` is what the set gives on which the standing portion stands, ``all_hold_n`` all of its hand and parking brakes,
    ``margin`` what local rules ask of them, ``rated_n`` the least rated pull of the couple; notches as (word, pull [N], seconds
    until it is there).
    """

    hauling: str
    hauling_kg: float
    rotating_mass_share: float
    breakaway_n: float
    standing_kg: float
    gradient: float
    hold_n: float
    all_hold_n: float
    margin: float
    rated_n: float
    notches: tuple[tuple[str, float, float], ...]
    seen: PullSeen


@dataclass(frozen=True, slots=True)
class PullTried:
    """One way of pulling: pull in the coupling [N], seconds to hold it, and why it does not do ("" where it does).

    ``needs_all_brakes``: only with all hand and parking brakes of the standing portion on.
    """

    notch: str
    coupling_n: float
    seconds: float | None
    why_not: str
    needs_all_brakes: bool = False


@dataclass(frozen=True, slots=True)
class PullResult:
    """How the joint is proved here, with every way tried; ``fooled_by_n`` is an own brake that would hide a failed joint [N]."""

    proof: Proof
    use: PullTried | None
    tried: tuple[PullTried, ...]
    fooled_by_n: float


def predict_pull(asked: PullQuestion) -> PullResult:
    """Hanging on the hill where that does; else the gentlest notch that does; else not here."""
    hanging = _tried(asked, "none, own brake off", 0.0, 0.0)
    tried = (hanging, *(_tried(asked, word, pull_n, after_s) for word, pull_n, after_s in asked.notches))
    good = next((one for one in tried if not one.why_not), None)
    if good is None:
        return PullResult("not here", None, tried, 0.0)
    return PullResult("let it hang" if good is hanging else "in a notch", good, tried, good.coupling_n)


def _tried(asked: PullQuestion, word: str, pull_n: float, after_s: float) -> PullTried:
    """The force in the joint if it holds, and the seconds that show one that does not."""
    coupling = coupling_pull_n(pull_n, asked.hauling_kg, asked.gradient)
    net = pull_n + slope_force_n(asked.hauling_kg, asked.gradient) - asked.breakaway_n
    if net < asked.seen.least_net_n_per_kg * asked.hauling_kg:
        return PullTried(
            word, coupling, None, f"a joint that is open might not show: {_kn(max(net, 0.0))} is too little to move it"
        )
    seconds = after_s + seconds_to_move(asked.seen.seen_m, net, asked.hauling_kg, asked.rotating_mass_share)
    if seconds > asked.seen.longest_s:
        return PullTried(word, coupling, seconds, f"it would have to be held for {seconds:.0f} s")
    if coupling > asked.rated_n:
        return PullTried(
            word, coupling, seconds, f"{_kn(coupling)} is more than the couplers are rated for ({_kn(asked.rated_n)})"
        )
    # With the joint closed it bears the pull and its own hill; with the joint open its own hill alone.
    own = slope_force_n(asked.standing_kg, asked.gradient)
    asked_of_hold = max(abs(coupling + own), abs(own))
    needed = asked.margin * asked_of_hold
    if asked.all_hold_n < needed:
        why = f"all brakes of the standing portion hold {_kn(asked.all_hold_n)}, {_kn(needed)} are needed with the margin"
        return PullTried(word, coupling, seconds, why)
    return PullTried(word, coupling, seconds, "", asked.hold_n < needed)


def lacking_to_pull(units: Sequence[TrainUnit]) -> tuple[str, ...]:
    """What the hauling portion's types must state, in words."""
    needs = [(unit.unit_type.type, "traction") for unit in units if unit.unit_type.traction is None]
    if any(unit.unit_type.traction is not None for unit in units):
        needs = []
    for unit in units:
        resistance = unit.unit_type.resistance
        if resistance is None or resistance.breakaway_n_per_tonne is None:
            needs.append((unit.unit_type.type, "resistance with breakaway_n_per_tonne"))
        needs += [
            (unit.unit_type.type, f"rotating_mass_share of vehicle {vehicle.suffix}")
            for vehicle in unit.unit_type.vehicles
            if vehicle.rotating_mass_share is None
        ]
    return not_stated(units, needs)


def notches_of(units: Sequence[TrainUnit], driven: str) -> tuple[tuple[str, float, float], ...]:
    """Notches of the unit that is driven from, alone: whether others pull with it depends on wires that are not yet joined."""
    traction = next(unit for unit in units if unit.name == driven).unit_type.traction
    if traction is None:
        return ()
    return tuple((notch.word, 1e3 * notch.pull_kn, notch.after_s) for notch in traction.notches)


def turning_share(units: Sequence[TrainUnit]) -> float:
    """Share of turning parts of a portion, by mass [-]."""
    vehicles = [vehicle for unit in units for vehicle in unit.unit_type.vehicles]
    turning = sum((vehicle.rotating_mass_share or 0.0) * vehicle.mass_t for vehicle in vehicles)
    return turning / sum(vehicle.mass_t for vehicle in vehicles)


def breakaway_n(units: Sequence[TrainUnit]) -> float:
    """What it takes to get a portion rolling [N]."""
    found = 0.0
    for unit in units:
        resistance = unit.unit_type.resistance
        if resistance is not None:
            found += (resistance.breakaway_n_per_tonne or 0.0) * unit.unit_type.mass_kg / 1e3
    return found


def _kn(force_n: float) -> str:
    return f"{force_n / 1e3:.1f} kN"
