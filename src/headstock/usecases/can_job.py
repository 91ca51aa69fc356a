"""A driver, planner or trainer asks: what can the train of this job do, and what will the coupling take?

Answered from the unit types, the local rules and the air engine. What the types do not state is not answered. Nothing here is
leave to move, and no figure is a limit: those are the local rules' and the maintainer's.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from headstock.base.errors import OutsideModelError
from headstock.capability.brake_traces import has_valve
from headstock.capability.coupling_impact import SPEEDS_KMH, ImpactResult, lacking_to_meet, predict_impact
from headstock.capability.fit import Fit, Supply, predict_fit, predict_supply
from headstock.capability.geometry import MeetingOnTrack, lacking_on_curves, predict_meetings
from headstock.capability.holding import HoldingResult, predict_holding
from headstock.capability.leak_off import LeakOff, predict_leak_off
from headstock.capability.main_reservoirs import ReservoirsQuestion, ReservoirsResult, predict_reservoirs
from headstock.capability.pull_away import PullResult
from headstock.capability.rescue import HaulResult, ReleaseOrder
from headstock.capability.stopping import BrakedWeight, RunningTest, StoppingResult
from headstock.equipment.library import Fleet
from headstock.formation.curve_at_joint import CurveAtJoint
from headstock.formation.join_way import type_end
from headstock.formation.joinability import JoinResult
from headstock.formation.joint_geometry import JointGeometry, joint_geometry
from headstock.formation.train import Train, UnitEnd
from headstock.formation.train_on_rail import lacking_to_stop
from headstock.formation.way_rescue import main_can_join
from headstock.physics.air_run import AirEngine
from headstock.procedures.cab_work import pipe_bar
from headstock.procedures.rescue import Rescue
from headstock.usecases.can_as_read import JobAsRead, read_job
from headstock.usecases.can_question import CanQuestion
from headstock.usecases.can_stops import JobStops, stops_of_job
from headstock.usecases.haul_and_pull import haul_of, pull_of, releases_of
from headstock.usecases.job_file import JobPapers, load_job
from headstock.usecases.portion_holds import portion_here


@dataclass(slots=True)
class JobCan:
    """Everything answered; what could not be stands in ``not_answered`` by question, with every reason."""

    papers: JobPapers
    train: Train
    leaves: Train
    join: JoinResult
    asked: CanQuestion
    fit: tuple[Fit, ...]
    supply: Supply | None
    rescue: Rescue | tuple[str, ...] | None = None
    holding: tuple[HoldingResult, ...] = ()
    stops: JobStops | None = None
    impact: ImpactResult | None = None
    pull: PullResult | None = None
    haul: HaulResult | None = None
    releases: ReleaseOrder | None = None
    reservoirs: ReservoirsResult | None = None
    meetings: tuple[MeetingOnTrack, ...] = ()
    radius_m: float | None = None
    curve: JointGeometry | None = None
    leak_off: tuple[tuple[str, LeakOff], ...] = ()
    notes: list[str] = field(default_factory=list)
    not_answered: dict[str, tuple[str, ...]] = field(default_factory=dict)

    @property
    def geometry(self) -> JointGeometry:
        """The joint on the curve that is asked for, or where the place's joint lies."""
        return self.curve or self.join.geometry

    @property
    def stopping(self) -> tuple[StoppingResult, ...]:
        """Each call for the brake; none where it is not answered."""
        return () if self.stops is None else self.stops.stopping

    @property
    def braked_weight(self) -> BrakedWeight | None:
        """Braked weight percentage."""
        return None if self.stops is None else self.stops.braked_weight

    @property
    def running_test(self) -> tuple[RunningTest, ...]:
        """The running test, whole and with brakes lost."""
        return () if self.stops is None else self.stops.running_test

    @property
    def alone(self) -> RunningTest | None:
        """The emergency stop by the moving portion's brakes alone."""
        return None if self.stops is None else self.stops.alone

    @property
    def approach_kmh(self) -> tuple[float, float]:
        """Least and greatest approach speed [km/h] (`ImpactResult.window_kmh`), the local rules' included."""
        allowed = self.papers.rules.approach.join_speed_kmh.value
        return (0.0, allowed) if self.impact is None else self.impact.window_kmh(allowed)

    @property
    def too_much(self) -> tuple[str, ...]:
        """What of its supply goes beyond what the place allows."""
        place = self.papers.place
        if self.supply is None:
            return ()
        return self.supply.too_much(place.supply_at_most_a, place.pantographs_apart_at_least_m)

    @property
    def refused(self) -> tuple[str, ...]:
        """What the train cannot do here, in words: not joined, held, hauled, or at no speed; too long, too much drawn."""
        joins = self.papers.job.work != "detach"
        found = ["the two ends cannot be joined"] if joins and self.join.answer == "no" else []
        found += [f"{result.portion} is not held here with the margin" for result in self.holding if not result.holds]
        if self.haul is not None and self.haul.verdict == "no":
            found.append("the moving portion cannot haul the other here")
        if not self.approach_kmh[0] <= self.approach_kmh[1]:
            found.append("no approach speed both closes the couplers and is allowed")
        found += [f"{-fit.over_m:.1f} m too long ({fit.against})" for fit in self.fit if not fit.fits]
        return (*found, *self.too_much)

    @property
    def answer(self) -> str:
        """No with every reason in ``refused``; only if hauling has conditions; outside the model if not all is answered; yes."""
        if self.refused:
            return "no"
        if self.haul is not None and self.haul.verdict == "only if":
            return "only if"
        return "outside the model" if self.not_answered else "yes"


def can_job(path: Path, fleet: Fleet, engine: AirEngine, asked: CanQuestion | None = None) -> JobCan:
    """What the job's train can do. Raises InputError for a file that cannot be meant."""
    question = asked or CanQuestion()
    found = read_job(load_job(path), fleet, engine, question.load)
    fit = predict_fit(found.leaves, _lengths(found, question))
    can = JobCan(found.papers, found.train, found.leaves, found.join, question, fit, predict_supply(found.leaves), found.rescue)
    can.holding = _holdings(found)
    _answer(can, "stopping", lacking_to_stop(found.leaves.units), lambda: _stops(can, found, engine))
    if question.leak_mm2 is not None:
        _answer(can, "leak-off", lacking_to_stop(found.train.units), lambda: _leaks_off(can, found))
    if found.joins:
        _answer(can, "impact", lacking_to_meet(found.train), lambda: _meets(can, found))
        for name, ask in (("pull", _pulls), ("haul", _hauls)):
            _answer(can, name, (), lambda ask=ask: ask(can, found))  # type: ignore[misc]
        if _mains_can_join(found):
            _answer(can, "main reservoirs", (), lambda: _reservoirs(can, found, engine))
        _geometry(can, found)
    return can


def _lengths(found: JobAsRead, asked: CanQuestion) -> list[tuple[str, float, float]]:
    """What there is to fit, and how far before its end one stands [m]."""
    place, off = found.papers.place, found.papers.rules.stands_off_signal_m
    lengths = [(place.name, place.usable_length_m, 0.0)]
    if asked.platform_m:
        lengths.append(("platform", asked.platform_m, 0.0))
    if asked.signal_m:
        lengths.append(("signal", asked.signal_m, off.value if off is not None else 0.0))
    return lengths


def _mains_can_join(found: JobAsRead) -> bool:
    joint = found.train.joint_to_make
    ends = (type_end(found.train, joint.first), type_end(found.train, joint.second))
    return found.join.best.answer != "no" and main_can_join(found.join.best, *ends)


def _geometry(can: JobCan, found: JobAsRead) -> None:
    """The joint on a curve of the radius asked for, or of the place's."""
    curve = found.papers.place.curve_at_joint
    radius_m = can.asked.radius_m or (curve.radius_m if curve is not None else None)
    if radius_m is None:
        return
    joint = found.train.joint_to_make
    ends = (type_end(found.train, joint.first), type_end(found.train, joint.second))
    can.radius_m = radius_m
    bend = curve.bend if curve is not None and can.asked.radius_m is None else None
    can.curve = joint_geometry(*ends, CurveAtJoint(radius_m, bend))

    def meets() -> tuple[str, ...] | None:
        can.meetings = predict_meetings(ends, radius_m)
        return None

    _answer(can, "curve", lacking_on_curves(ends), meets)


def _answer(can: JobCan, name: str, lacking: tuple[str, ...], ask: Callable[[], tuple[str, ...] | None]) -> None:
    """Ask, unless data are lacking; what lies outside the model is told beside the other answers."""
    if lacking:
        can.not_answered[name] = lacking
        return
    try:
        refused = ask()
    except OutsideModelError as error:
        refused = (error.what,)
    if refused:
        can.not_answered[name] = refused


def _holdings(found: JobAsRead) -> tuple[HoldingResult, ...]:
    """Both portions, and the whole train, each on its own hand and parking brakes."""
    first, second = found.train.portions()
    groups = [first, second, found.train.units]
    return tuple(predict_holding(portion_here(found.papers, units, units)) for units in groups)


def _stops(can: JobCan, found: JobAsRead, engine: AirEngine) -> tuple[str, ...] | None:
    can.stops = stops_of_job(found, can.asked, engine)
    can.notes += can.stops.notes
    for name, lacking in (("loads", can.stops.not_loaded), ("running test", can.stops.no_running_test)):
        if lacking:
            can.not_answered[name] = lacking
    return None


def _leaks_off(can: JobCan, found: JobAsRead) -> tuple[str, ...] | None:
    """Both portions on trapped air alone: for investigators, on no sheet."""
    assert can.asked.leak_mm2 is not None
    outside_pa = found.papers.place.atmosphere_pa
    adhesion, slope = found.papers.rules.holding.adhesion.value, found.papers.place.slope
    can.leak_off = tuple(
        ("+".join(unit.name for unit in units), predict_leak_off(units, slope, adhesion, can.asked.leak_mm2, outside_pa))
        for units in found.train.portions()
    )
    return None


def _reservoirs(can: JobCan, found: JobAsRead, engine: AirEngine) -> tuple[str, ...] | None:
    """As if the standing portion's main reservoirs were empty and the moving one came to help it; in a rescue they are."""
    cab = found.ends["moving.driven_from"]
    brake_bar = pipe_bar(found.train, cab, "drawn") if has_valve(found.train, cab) else 0.0
    couplers = [spec for end in _joint_ends(found) for _, spec in found.train.end_devices(end)]
    by_the_blow = found.join.best.name == "direct" and any("brake pipe" in getattr(spec, "ports", ()) for spec in couplers)
    asked = ReservoirsQuestion(
        found.train, *found.portions, brake_bar, by_the_blow, found.papers.place.atmosphere_pa
    )  # fmt: skip
    can.reservoirs = predict_reservoirs(asked, engine)
    return None


def _joint_ends(found: JobAsRead) -> tuple[UnitEnd, UnitEnd]:
    joint = found.train.joint_to_make
    return joint.first, joint.second


def _meets(can: JobCan, found: JobAsRead) -> tuple[str, ...] | None:
    join_kmh = found.papers.rules.approach.join_speed_kmh.value
    speeds = sorted({*SPEEDS_KMH, join_kmh})
    can.impact = predict_impact(found.train, found.moving_first, speeds, found.join.best.name == "direct")
    return None


def _pulls(can: JobCan, found: JobAsRead) -> tuple[str, ...] | None:
    moving, standing = found.portions
    held = can.holding[1 if found.moving_first else 0]
    answer = pull_of(
        found.papers, found.join, (moving, standing), found.ends["moving.driven_from"].unit, held, found.moving_first
    )
    if isinstance(answer, tuple):
        return answer
    can.pull = answer
    return None


def _hauls(can: JobCan, found: JobAsRead) -> tuple[str, ...] | None:
    moving, standing = found.portions
    alone = can.alone.stop.is_stopped if can.alone is not None else None
    answer = haul_of(found.papers, found.join, (moving, standing), found.ends["moving.driven_from"].unit, alone, found.refused)
    if isinstance(answer, tuple):
        return answer
    can.haul = answer
    holding = (can.holding[0], can.holding[1]) if found.moving_first else (can.holding[1], can.holding[0])
    can.releases = releases_of(found.papers, found.train.units, holding)
    return None
