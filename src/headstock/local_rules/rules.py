"""Local rules: who does what, distances, limits, words, customary order. Every entry has a source and an edition."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationInfo, field_validator

from headstock.base.documents import read_document
from headstock.base.errors import ContentError, Fault, InputError
from headstock.base.loading import load_as
from headstock.base.nearest import nearest_of
from headstock.base.sources import Entry, Source, missing_source_keys
from headstock.local_rules.afterwards import Afterwards
from headstock.local_rules.broken_off import BrokenOff
from headstock.local_rules.filled_words import only_filled
from headstock.local_rules.limit_figures import is_pressure, limit_read_bar
from headstock.local_rules.looking import Looking
from headstock.local_rules.movement_figures import HaulFigures, PullFigures, RunningTestFigures
from headstock.local_rules.rescue_rules import RescueRules
from headstock.local_rules.rule_faults import rule_faults
from headstock.local_rules.signals import Signals
from headstock.local_rules.spoken import SpeedUnit, speed_at_most
from headstock.local_rules.test_limits import Limits, with_own_limits
from headstock.local_rules.test_method import BrakeTestMethod, Limit, Stage, Wait
from headstock.local_rules.triggers import TriggerSet, load_trigger_set, trigger_path

BUILT_IN = Path(__file__).parent / "rules"
Role = Literal["driver", "shunter", "guard", "yard control"]
Habit = Literal[
    "brake pipe hoses", "main reservoir pipe hoses", "brake pipe cocks", "main reservoir pipe cocks", "jumpers", "lamps",
    "moving portion", "standing portion",
]  # fmt: skip
Roles = Annotated[tuple[Role, ...], Field(min_length=1)]
Positive = Annotated[float, Field(gt=0)]


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class Duties(_Part):
    """Roles that may have each duty, the first one present in the crew has it."""

    in_charge: Entry[Roles] = Field(description="agrees the job, asks for the road, calls each movement")
    drives: Entry[Roles] = Field(description="drives the moving portion, and the train in the test")
    goes_between: Entry[Roles] = Field(description="goes between, alone, on their own protection")
    handles_jumpers: Entry[Roles] | None = Field(
        default=None, description="goes between for the jumpers, where `most_between` is 2 or more; left out: who goes between"
    )
    works_standing_cab: Entry[Roles] = Field(description="works the cab of the standing portion")
    reads_rear: Entry[Roles] = Field(description="works and reads the rear cab in the test")
    holds_moving_portion: Entry[Roles] = Field(
        description="works those hand and parking brakes of the moving portion that the driver cannot reach"
    )
    holds_standing_portion: Entry[Roles] = Field(description="works the hand and parking brakes of the standing portion")
    looks_at_holds: Entry[Roles] = Field(description="looks at braked wheels and watches whether a portion stands")
    dresses_front: Entry[Roles] = Field(description="lamps, hoses and cocks of the outer end that leads")
    dresses_rear: Entry[Roles] = Field(description="lamps, hoses and cocks of the outer end at the rear")


Family = Literal["drop-head knuckle", "hook and screw", "rigid knuckle", "automatic coupler"]


class Approach(_Part):
    """Approach: where the moving portion waits, the stops on the way [m before the joint], speeds [km/h]."""

    waits_m: Entry[Positive] = Field(description="where the moving portion waits while the ends are dressed [m before the joint]")
    stops_m: Entry[dict[str, tuple[Positive, ...]]] = Field(
        description="where it stops on the way [m before the joint], nearer each time, by kind of coupler"
    )
    join_speed_kmh: Entry[Positive] = Field(description="most at which the ends may touch [km/h]")
    counted_down_m: Entry[tuple[Positive, ...]] = Field(
        description="distances called out on the way, nearer each time [m before the joint]; an empty list: none are"
    )
    lost_contact: Entry[Literal["stop"]] = Field(
        description="what lost sight, or no word for longer than `words.lost_contact` says, means: nothing but stop"
    )

    @field_validator("counted_down_m")
    @classmethod
    def _count_comes_closer(cls, entry: Entry[tuple[float, ...]]) -> Entry[tuple[float, ...]]:
        if list(entry.value) != sorted(set(entry.value), reverse=True):
            raise ValueError(f"distances counted down must come closer and closer; found {list(entry.value)}")
        return entry

    @field_validator("stops_m")
    @classmethod
    def _stops_come_closer(cls, entry: Entry[dict[str, tuple[float, ...]]]) -> Entry[dict[str, tuple[float, ...]]]:
        for family, stops in entry.value.items():
            if list(stops) != sorted(stops, reverse=True) or not stops or len(set(stops)) < len(stops):
                raise ValueError(f"stops for {family} must come closer and closer, at least one; found {list(stops)}")
        return entry


class Holding(_Part):
    """Margin [-] of hand and parking brakes, adhesion [-], least count, seconds one watches, and what keeps a proof."""

    margin: Entry[Annotated[float, Field(ge=1, le=5)]] = Field(
        description="what hand and parking brakes must give over what the hill pulls [-]"
    )
    adhesion: Entry[Annotated[float, Field(ge=0.001, le=0.4)]] = Field(
        description="share of the weight on braked wheels that counts as grip [-]"
    )
    least_count: Entry[Annotated[int, Field(ge=1, le=50)]] = Field(description="fewest brakes put on, whatever the hill")
    watch_s: Entry[Positive] = Field(description="how long one watches a portion to see that it stands [s]")
    proof_outlasts_release: Entry[bool] = Field(
        description="whether a hold once proved stays proved when its brakes come off and the same ones go on again"
    )
    own_brakes_seen: Entry[bool] | None = Field(
        default=None,
        description="whether each brake that then holds the moving portion is seen on before its driver works outside the cab "
        "that it is driven from; left out: not asked",
    )


EVERYWHERE = frozenset({"joint", "name", "ends", "rear"})
FILLED_IN = {
    "to_stop": EVERYWHERE | {"stop"},
    "draw_away": frozenset({"stop"}),
    "ease_up": frozenset[str](),
    "assurance": frozenset({"name"}),
    "give_back": frozenset({"name"}),
    "bell": frozenset[str](),
    "count_down": frozenset({"distance", "joint"}),
    "lost_contact": frozenset[str](),
}
"""What is filled in in words of their own kind; in all others what is filled in everywhere."""


class Words(_Part):
    """Words spoken. {joint}, {name}, {ends} and {rear} are filled in, {stop} in ``to_stop`` and ``draw_away``.

    ``assurance`` and ``give_back`` know {name} only, ``count_down`` {distance} and {joint}; ``bell`` and ``lost_contact``
    nothing.
    """

    agree: Entry[str] = Field(description="who is in charge, to everybody: what is done and who goes between")
    road_asked: Entry[str] = Field(description="who is in charge, to the yard control")
    to_stop: Entry[str] = Field(description="who is in charge, to the driver: come up to the next stop")
    count_down: Entry[str] = Field(description="who is in charge, to the driver, at each distance counted down")
    lost_contact: Entry[str] = Field(description="what everybody knows: when contact is lost, and what is done")
    couple: Entry[str] = Field(description="who is in charge, to the driver")
    pull: Entry[str] = Field(description="who is in charge, to the driver: pull lightly")
    ease_up: Entry[str] = Field(description="who is in charge, to the driver: press lightly before parting")
    draw_away: Entry[str] = Field(description="who is in charge, to the driver: draw away and stop")
    assurance: Entry[str] = Field(description="the driver, to the one who goes between")
    give_back: Entry[str] = Field(description="the one who was between, to the driver")
    bell: Entry[str] = Field(description="said when the bell has answered both ways")

    @field_validator("*")
    @classmethod
    def _only_what_is_filled_in(cls, entry: Entry[str], info: ValidationInfo) -> Entry[str]:
        allowed = FILLED_IN.get(info.field_name or "", EVERYWHERE)
        only_filled(entry.value, allowed)
        return entry


Tries = Annotated[int, Field(ge=1, le=9)]


class CoupleTries(_Part):
    """How often an automatic couple is tried before it is called a failure."""

    from_one_cab: Entry[Tries] = Field(description="tries to join from the cab in use")
    from_the_other_cab: Entry[Tries] = Field(description="further tries from the other portion's cab, it moving")
    of_the_release: Entry[Tries] = Field(description="presses of the button before the latch is turned by hand")


class Restrictions(_Part):
    """What a train joined in an unusual way may not do, in words: in any rescue, through an adapter, by a screw coupling."""

    rescue: str = Field(description="joined for a rescue, in words")
    adapter: str = Field(description="joined through an adapter, in words")
    screw: str = Field(description="joined by a screw coupling, in words")


class LocalRules(_Part):
    """One railway's rules for this work."""

    name: str = Field(min_length=1, description="the railway, or whose rules these are")
    edition: str = Field(min_length=1, description="edition, which sheets and answers name")
    invented: bool = Field(description="true: made up for demonstration or training; sheets say so")
    sources: dict[str, Source] = Field(min_length=1, description="where the rules come from, by a key of one's own")
    pressure_unit: Literal["bar", "psi"] = Field(description="unit in which people read gauges; the file itself is in bar")
    length_unit: Literal["m", "ft"] = Field(description="unit in which people say distances; the file itself is in metres")
    speed_unit: SpeedUnit | None = Field(
        default=None, description="unit in which people say speeds; left out: mph with feet, km/h with metres"
    )
    duties: Duties = Field(description="who may have which duty")
    driver_alone: Entry[tuple[Family, ...]] = Field(description="kinds of coupler that the driver joins and parts alone")
    approach: Approach = Field(description="how one comes up")
    holding: Holding = Field(description="what counts as held")
    limits: Limits = Field(description="limits of the brake test")
    words: Words = Field(description="words as they are spoken")
    signals: Entry[Signals] = Field(description="signals by hand, lamp and horn, in words")
    couple_tries: CoupleTries | None = Field(
        default=None, description="tries of an automatic couple; without it a couple found part made is not planned"
    )
    triggers: str = Field(
        min_length=1, description="which brake test is due after what: a trigger set file beside the rules, or a built-in one"
    )
    may_go_between: Entry[Roles] = Field(description="roles that may go between at all; `duties.goes_between` is of these")
    most_between: Entry[Annotated[int, Field(ge=1, le=4)]] = Field(
        description="how many may be between at once, each with their own protection"
    )
    key_kept_by: Entry[Literal["driver", "person between"]] = Field(
        description="who keeps the driver's key while anybody is between"
    )
    first_of_the_joint: Entry[Literal["brake pipe", "main reservoir pipe"]] = Field(
        description="whose cocks are opened first at the joint"
    )
    opens_knuckle_of: Entry[Literal["moving portion", "standing portion"]] = Field(
        description="which of the two knuckles is opened before the heads meet"
    )
    customary_order: Entry[tuple[Habit, ...]] | None = Field(
        default=None,
        description="what is done before what where the order is free, the first first; it changes no cost and no need",
    )
    levels_without_declaration: Entry[tuple[Literal["same pins"], ...]] = Field(
        description="what is accepted without a declaration: `same pins` is taken for the electro-pneumatic brake"
    )
    standing_shows: Entry[Literal["red", "white", "nothing"]] = Field(
        description="lamps that a portion shows at both ends when it is left standing"
    )
    height_difference_at_most_mm: Entry[Positive] = Field(description="most between two hooks joined by a screw coupling [mm]")
    walking_m_s: Entry[Annotated[float, Field(gt=0.2, le=3)]] = Field(description="walking speed beside the train [m/s]")
    climb_s: Entry[Positive] = Field(description="into a cab, or out of one [s]")
    entry_weight_s: Entry[Positive] = Field(
        description="what each stay between counts in the choice of an order [s], so that there are few"
    )
    allowances_s: Entry[dict[str, Positive]] = Field(description="time for each act [s], by its name")
    looking: Looking | None = Field(
        default=None, description="how long looks take in the search for what is wrong; without it common figures are taken"
    )
    broken_off: BrokenOff | None = Field(default=None, description="when a job is broken off, or handed over, half done")
    cautions: Entry[tuple[str, ...]] = Field(description="cautions over every order and sheet")
    rescue: RescueRules | None = Field(default=None, description="how a rescue is done; without it none is planned")
    running_test: RunningTestFigures | None = Field(
        default=None, description="speeds of the running test; without them none is reckoned"
    )
    pull_proof: PullFigures | None = Field(default=None, description="when a pull proves a joint; without it none is reckoned")
    hauling: HaulFigures | None = Field(default=None, description="hauling a portion; without it none is reckoned")
    stands_off_signal_m: Entry[Annotated[float, Field(ge=0, le=200)]] | None = Field(
        default=None, description="how far before a signal one stops, so as to see it [m]; left out, 0"
    )
    restrictions: Entry[Restrictions] = Field(description="what a train joined in an unusual way may not do")
    tell_afterwards: Entry[tuple[Afterwards, ...]] = Field(description="what is told and entered when the job is done")

    @field_validator("customary_order")
    @classmethod
    def _each_habit_once(cls, entry: Entry[tuple[Habit, ...]] | None) -> Entry[tuple[Habit, ...]] | None:
        if entry is not None and len(set(entry.value)) < len(entry.value):
            raise ValueError("a customary order names each thing once")
        return entry

    def speed_words(self, speed_kmh: float) -> str:
        """A greatest speed [km/h] as people say it here."""
        return speed_at_most(speed_kmh, self.speed_unit or ("mph" if self.length_unit == "ft" else "km/h"))

    def allowance_s(self, name: str) -> float:
        """Seconds allowed for one kind of act; InputError naming what the rules lack."""
        found = self.allowances_s.value.get(name)
        if found is None:
            near = nearest_of(name, self.allowances_s.value)
            fault = Fault("no time allowance", path="allowances_s.value", found="nothing", expected=name, nearest=near)
            raise InputError(fault, where=f"local rules {self.name}", cure=f"Add {name} to the rules' allowances_s.")
        return found

    def stage_s(self, stage: Stage) -> float:
        """Seconds that a stage of a brake test lasts: its allowance and what the limits ask it to wait."""
        waits = self.limit(stage.waits) if stage.waits is not None else 0.0
        return self.allowance_s(stage.allowance) + waits

    def limit(self, name: Limit | Wait) -> float:
        """A limit of the brake test in the unit that its name says; InputError naming what is lacking."""
        entry = getattr(self.limits, name)
        if entry is None:
            fault = Fault("no such limit", path="limits", found="nothing", expected=name)
            raise InputError(
                fault, where=f"local rules {self.name}", cure=f"Add {name} to the limits of the rules or the method."
            )
        return float(entry.value)

    def limit_bar(self, limit: Limit) -> float:
        """A limit of the brake test [bar, gauge; a change: bar], as people read it in their unit."""
        return limit_read_bar(self.limit(limit), limit, self.pressure_unit)

    def limit_read(self, limit: Limit) -> float:
        """A limit of any kind: pressures [bar] as people read them in their unit, others in the unit that their name says."""
        return self.limit_bar(limit) if is_pressure(limit) else self.limit(limit)

    def lacks_for(self, method: BrakeTestMethod) -> tuple[str, ...]:
        """Limits that the method names and neither it nor the rules state."""
        limits = with_own_limits(self.limits, method.limits)
        named = [name for stage in method.stages for name in (stage.waits, *(stage.reading.limits if stage.reading else ()))]
        return tuple(dict.fromkeys(name for name in named if name is not None and getattr(limits, name) is None))

    def using(self, method: BrakeTestMethod) -> LocalRules:
        """The rules with the limits that the method states itself, of two the stricter; their sources by the method's name."""
        own = {name: f"{method.name}: {entry.source}" for name, entry in method.limits if entry is not None}
        limits = with_own_limits(self.limits, method.limits.model_copy(update={
            name: getattr(method.limits, name).model_copy(update={"source": source}) for name, source in own.items()
        }))  # fmt: skip
        sources = self.sources | {f"{method.name}: {key}": source for key, source in method.sources.items()}
        return self.model_copy(update={"limits": limits, "sources": sources})


def load_local_rules(path: Path) -> LocalRules:
    """Local rules from a file. Raises InputError with every fault."""
    document = read_document(path)
    rules = load_as(document, LocalRules, "local rules")
    unlisted = missing_source_keys(rules, rules.sources).faults(document, rules.sources)
    faults = unlisted or tuple(rule_faults(rules, document, path.parent))
    if faults:
        raise ContentError(faults)
    return rules


def trigger_set_of(rules: LocalRules, beside: Path) -> TriggerSet:
    """The trigger set that local rules name; ``beside`` is their folder. Raises InputError."""
    path = trigger_path(rules.triggers, beside)
    return load_trigger_set(path if path is not None else beside / rules.triggers)
