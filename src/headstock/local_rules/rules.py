"""Local rules: who does what, distances, limits, words, customary order. Every entry has a source and an edition."""

from __future__ import annotations

from pathlib import Path
from string import Formatter
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationInfo, field_validator

from headstock.base.documents import read_document
from headstock.base.errors import ContentError, Fault, InputError
from headstock.base.loading import load_as
from headstock.base.nearest import nearest_of
from headstock.base.sources import Entry, Source, missing_source_keys
from headstock.local_rules.test_method import Limit, Stage

BUILT_IN = Path(__file__).parent / "rules"
Role = Literal["driver", "shunter", "guard", "yard control"]
Roles = Annotated[tuple[Role, ...], Field(min_length=1)]
Positive = Annotated[float, Field(gt=0)]


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class Duties(_Part):
    """Roles that may have each duty, the first one present in the crew has it."""

    in_charge: Entry[Roles]
    drives: Entry[Roles]
    goes_between: Entry[Roles]
    works_standing_cab: Entry[Roles]
    reads_rear: Entry[Roles]
    holds_moving_portion: Entry[Roles]
    holds_standing_portion: Entry[Roles]
    looks_at_holds: Entry[Roles]
    dresses_front: Entry[Roles]
    dresses_rear: Entry[Roles]


class Approach(_Part):
    """Approach: where the moving portion waits, the stops on the way [m before the joint], speeds [km/h]."""

    waits_m: Entry[Positive]
    stops_m: Entry[dict[str, tuple[Positive, ...]]]
    join_speed_kmh: Entry[Positive]

    @field_validator("stops_m")
    @classmethod
    def _stops_come_closer(cls, entry: Entry[dict[str, tuple[float, ...]]]) -> Entry[dict[str, tuple[float, ...]]]:
        for family, stops in entry.value.items():
            if list(stops) != sorted(stops, reverse=True) or not stops or len(set(stops)) < len(stops):
                raise ValueError(f"stops for {family} must come closer and closer, at least one; found {list(stops)}")
        return entry


class Holding(_Part):
    """Margin [-] of hand and parking brakes, adhesion [-], least count, seconds one watches, and what keeps a proof."""

    margin: Entry[Annotated[float, Field(ge=1, le=5)]]
    adhesion: Entry[Annotated[float, Field(ge=0.001, le=0.4)]]
    least_count: Entry[Annotated[int, Field(ge=1, le=50)]]
    watch_s: Entry[Positive]
    proof_outlasts_release: Entry[bool]


class Limits(_Part):
    """Limits of the brake test [bar, gauge] and [s]; a method names them."""

    charged_at_least_bar: Entry[Positive]
    rear_full_at_most_bar: Entry[Annotated[float, Field(ge=0)]]
    front_full_at_most_bar: Entry[Annotated[float, Field(ge=0)]]
    rise_at_most_bar: Entry[Annotated[float, Field(ge=0)]]
    no_rise_watch_s: Entry[Positive]
    charge_at_least_s: Entry[Positive]


EVERYWHERE = frozenset({"joint", "name", "ends", "rear"})
FILLED_IN = {
    "to_stop": EVERYWHERE | {"stop"},
    "assurance": frozenset({"name"}),
    "give_back": frozenset({"name"}),
    "bell": frozenset[str](),
}
"""What is filled in in words of their own kind; in all others what is filled in everywhere."""


class Words(_Part):
    """Words spoken. {joint}, {name}, {ends} and {rear} are filled in, {stop} in ``to_stop``.

    ``assurance`` and ``give_back`` know {name} only, ``bell`` nothing.
    """

    agree: Entry[str]
    road_asked: Entry[str]
    to_stop: Entry[str]
    couple: Entry[str]
    pull: Entry[str]
    assurance: Entry[str]
    give_back: Entry[str]
    bell: Entry[str]

    @field_validator("*")
    @classmethod
    def _only_what_is_filled_in(cls, entry: Entry[str], info: ValidationInfo) -> Entry[str]:
        allowed = FILLED_IN.get(info.field_name or "", EVERYWHERE)
        said = ", ".join(f"{{{word}}}" for word in sorted(allowed)) or "nothing"
        try:
            parts = list(Formatter().parse(entry.value))
        except ValueError:
            raise ValueError(f"a curly bracket stands alone; filled in are {said}, {{{{ or }}}} is a bracket") from None
        wrong = [name for _, name, form, how in parts if name is not None and (name not in allowed or form or how)]
        if wrong:
            raise ValueError(f"{{{wrong[0]}}} is not filled in here; filled in are {said}")
        return entry


class Restrictions(_Part):
    """What a train joined in an unusual way may not do, in words: in any rescue, through an adapter, by a screw coupling."""

    rescue: str
    adapter: str
    screw: str


class LocalRules(_Part):
    """One railway's rules for this work."""

    name: str = Field(min_length=1)
    edition: str = Field(min_length=1)
    invented: bool
    sources: dict[str, Source] = Field(min_length=1)
    pressure_unit: Literal["bar", "psi"]
    length_unit: Literal["m", "ft"]
    duties: Duties
    approach: Approach
    holding: Holding
    limits: Limits
    words: Words
    key_kept_by: Entry[Literal["driver", "person between"]]
    first_of_the_joint: Entry[Literal["brake pipe", "main reservoir pipe"]]
    opens_knuckle_of: Entry[Literal["moving portion", "standing portion"]]
    levels_without_declaration: Entry[tuple[Literal["same pins"], ...]]
    height_difference_at_most_mm: Entry[Positive]
    walking_m_s: Entry[Annotated[float, Field(gt=0.2, le=3)]]
    climb_s: Entry[Positive]
    entry_weight_s: Entry[Positive]
    allowances_s: Entry[dict[str, Positive]]
    cautions: Entry[tuple[str, ...]]
    restrictions: Entry[Restrictions]
    tell_afterwards: Entry[tuple[str, ...]]

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
        waits = float(getattr(self.limits, stage.waits).value) if stage.waits is not None else 0.0
        return self.allowance_s(stage.allowance) + waits

    def limit_bar(self, limit: Limit) -> float:
        """A limit of the brake test [bar, gauge; a rise: bar]."""
        return float(getattr(self.limits, limit).value)


def load_local_rules(path: Path) -> LocalRules:
    """Local rules from a file. Raises InputError with every fault."""
    document = read_document(path)
    rules = load_as(document, LocalRules, "local rules")
    unlisted = missing_source_keys(rules, rules.sources).faults(document, rules.sources)
    if unlisted:
        raise ContentError(unlisted)
    return rules
