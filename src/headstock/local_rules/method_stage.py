"""One stage of a brake test: who acts, at which end, on what, until when, what must be seen, within which limit."""

from __future__ import annotations

from typing import Final, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from headstock.local_rules.test_limits import Limit, Wait

End = Literal["front", "rear"]
Function = Literal["running", "lap", "full", "empty", "locked"]
Reads = Literal["brake pipe", "brake cylinder", "brakes applied", "brakes released", "flow", "speed", "lamp", "bell"]
Way = Literal["front to rear", "rear to front"]
Wire = Literal["doors left", "doors right", "door interlock", "bell", "loop"]
READS_OF: Final[dict[Limit, Reads]] = {
    "cylinder_applied_at_least_bar": "brake cylinder", "cylinder_fall_at_most_bar": "brake cylinder",
    "cylinder_released_at_most_bar": "brake cylinder", "applied_share_at_least": "brakes applied",
    "released_share_at_least": "brakes released", "flow_at_most_l_per_min": "flow", "speed_fall_at_least_kmh": "speed",
}  # fmt: skip
"""What a limit is read on, where that is not the brake pipe."""
CHANGES: Final[frozenset[Limit]] = frozenset(
    ("rise_at_most_bar", "step_at_least_bar", "leak_at_most_bar_per_min", "cylinder_fall_at_most_bar")
)
"""Limits on how far something changes from one look at a gauge to another, not on what stands."""


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class ValveMove(_Part):
    """A valve is moved: at which end of the train, from which function to which."""

    at: End = Field(description="the leading cab, or the rear one")
    before: Function = Field(description="what the valve does before")
    after: Function = Field(description="what it is moved to")


class CockMove(_Part):
    """The brake pipe cock of the outer end is moved, its hose hanging free."""

    at: End = Field(description="the outer end that leads, or the one at the rear")
    before: Literal["open", "shut"] = Field(description="how the cock stands before")
    after: Literal["open", "shut"] = Field(description="how it is put")


class Reading(_Part):
    """Something is read: where, on what, and the limit that decides; a lamp or a bell is seen or heard, or not."""

    at: End = Field(description="the leading cab's gauge, or the rear one's; a count is made by whoever walks from there")
    limit: Limit | None = Field(default=None, description="name of the limit that decides; none where a lamp or a bell does")
    name: str = Field(min_length=3, max_length=24, description="what the reading is called on sheets, 3 to 24 letters")
    reads: Reads = Field(default="brake pipe", description="what is read")
    counts: Literal["all", "last vehicle"] = Field(default="all", description="of which brakes a count is made")
    also: tuple[Limit, ...] = Field(default=(), description="further limits that the same reading must keep")
    shows: Way | None = Field(
        default=None, description="the way in which it shows that the pipe or wire is through; both are needed for a pass"
    )

    @property
    def limits(self) -> tuple[Limit, ...]:
        """All limits of the reading."""
        return (*((self.limit,) if self.limit is not None else ()), *self.also)

    @model_validator(mode="after")
    def _limits_belong(self) -> Reading:
        if (self.limit is None) != (self.reads in ("lamp", "bell")):
            raise ValueError(f"a reading of {self.reads} has {'no limit' if self.limit else 'a limit'}")
        wrong = [limit for limit in self.limits if READS_OF.get(limit, "brake pipe") != self.reads]
        if wrong:
            raise ValueError(f"{wrong[0]} is a limit on {READS_OF.get(wrong[0], 'brake pipe')}, not on {self.reads}")
        return self


class Stage(_Part):
    """One stage. ``waits`` names the limit [s] that it lasts; the pipe stands ``charged`` or ``drawn`` when it has ended."""

    key: str = Field(pattern=r"^[a-z][a-z ]*$", description="name of the stage, in small letters")
    says: str = Field(min_length=3, description="what is done, in words")
    valve: ValveMove | None = Field(default=None, description="the valve that is moved, if one is")
    cock: CockMove | None = Field(default=None, description="the outer cock that is moved, if one is")
    electric: Literal["apply", "hold", "release"] | None = Field(
        default=None, description="what the leading cab commands of the brake worked by wires"
    )
    wire: Wire | None = Field(default=None, description="the through wire that is tried, from the leading cab unless `acts` says")
    acts: End | None = Field(default=None, description="of a wire: the end at which it is tried; left out, the leading cab")
    reading: Reading | None = Field(default=None, description="what is read at the end, if anything is")
    allowance: str = Field(description="name of the time for it in the local rules' `allowances_s`")
    waits: Wait | None = Field(default=None, description="name of the limit [s] that it lasts besides")
    until: str | None = Field(default=None, description="until when, in words")
    said: str | None = Field(default=None, description="what is said, and by whom, in words")
    leaves_pipe: Literal["charged", "drawn"] = Field(description="how the brake pipe stands when it has ended")
    source: str = Field(description="key in `sources`")

    @model_validator(mode="after")
    def _does_something(self) -> Stage:
        acts = [act for act in (self.valve, self.cock, self.electric, self.wire) if act is not None]
        if not acts and self.reading is None:
            raise ValueError("a stage must move a valve or read a gauge, or move a cock, command a brake or try a wire")
        if len(acts) > 1:
            raise ValueError("a stage does one thing: make two stages of it")
        if self.acts is not None and self.wire is None:
            raise ValueError("acts says where a wire is tried: this stage tries none")
        moved = self.valve or self.cock
        if moved is not None and moved.before == moved.after:
            raise ValueError(f"the {'valve' if self.valve else 'cock'} is moved from {moved.before} to where it already is")
        if moved is not None and self.reading is not None and moved.at != self.reading.at:
            raise ValueError("one stage is done at one end: move the valve and read the gauge in two stages")
        return self

    @property
    def at(self) -> End:
        """The end of the train at which the stage is done: of a command or a wire the end where it is read."""
        moved = self.valve or self.cock or self.reading
        return moved.at if moved is not None else self.acts_at

    @property
    def acts_at(self) -> End:
        """The end at which a brake is commanded or a wire tried."""
        return self.acts or "front"

    @property
    def is_wired(self) -> bool:
        """Whether it works by the through wires."""
        return self.electric is not None or self.wire is not None
