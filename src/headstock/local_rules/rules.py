"""Local rules: who does what, distances, limits, words, customary order. Every entry has a source and an edition."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, field_validator

from headstock.base.documents import read_document
from headstock.base.errors import ContentError, Fault, InputError
from headstock.base.loading import load_as
from headstock.base.nearest import nearest_of
from headstock.base.sources import Entry, Source, missing_source_keys
from headstock.local_rules.afterwards import Afterwards
from headstock.local_rules.broken_off import BrokenOff
from headstock.local_rules.coming_up import Approach, CoupleTries, Family, Holding
from headstock.local_rules.duties import Duties, Roles
from headstock.local_rules.limit_figures import is_pressure, limit_read_bar
from headstock.local_rules.looking import Looking
from headstock.local_rules.movement_figures import HaulFigures, PullFigures, RunningTestFigures
from headstock.local_rules.rescue_rules import RescueRules
from headstock.local_rules.rule_faults import rule_faults
from headstock.local_rules.rule_part import Positive, RulePart
from headstock.local_rules.signals import Signals
from headstock.local_rules.spoken import SpeedUnit, speed_at_most
from headstock.local_rules.test_limits import Limits, with_own_limits
from headstock.local_rules.test_method import BrakeTestMethod, Limit, Stage, Wait
from headstock.local_rules.triggers import TriggerSet, load_trigger_set, trigger_path
from headstock.local_rules.words_spoken import Words
from headstock.local_rules.yard_calls import YardCalls

BUILT_IN = Path(__file__).parent / "rules"
Habit = Literal[
    "brake pipe hoses", "main reservoir pipe hoses", "brake pipe cocks", "main reservoir pipe cocks", "jumpers", "lamps",
    "moving portion", "standing portion",
]  # fmt: skip


class Restrictions(RulePart):
    """What a train joined in an unusual way may not do, in words: in any rescue, through an adapter, by a screw coupling."""

    rescue: str = Field(description="joined for a rescue, in words")
    adapter: str = Field(description="joined through an adapter, in words")
    screw: str = Field(description="joined by a screw coupling, in words")


class LocalRules(RulePart):
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
    yard_calls: YardCalls | None = Field(
        default=None, description="how yard control calls again in an exercise; left out, after 60 s and three times in all"
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
