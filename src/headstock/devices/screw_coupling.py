"""Screw coupling: a hook's own, or a loose one from its stowage; hung over the other hook, tightened, looked at.

Its variable has the values of `SCREW`; a loose one is `carried` between its stowage and the hook.
"""

from __future__ import annotations

from dataclasses import dataclass

from headstock.devices.kind import Act, At
from headstock.devices.scene import COUPLE, GAP, PULLED, SLACK
from headstock.reasoning.variable import Fact, Variable

SCREW = ("stowed", "hanging", "carried", "over the hook", "tight")


@dataclass(frozen=True, slots=True)
class Screw:
    """A screw coupling in a job: its place, the hook it hangs on, the hook it goes over; ``stowage`` of a loose one in words."""

    at: At
    hangs_on: str
    goes_over: str
    stowage: str = ""

    @property
    def key(self) -> str:
        """Key of its variable."""
        return self.at.key()

    @property
    def rest(self) -> str:
        """The value in which it is at hand: carried, or stowed on its own hook."""
        return "carried" if self.stowage else "stowed"


def screw_variable(screw: Screw) -> Variable:
    """The variable of a loose screw coupling; a hook's own is declared by its hook."""
    phrases = (("stowed", f"screw coupling of {screw.at.unit} stowed: {screw.stowage}"),)
    return Variable(screw.key, SCREW, "device", f"screw coupling of {screw.at.unit}", phrases=phrases)


def joining_acts(screw: Screw) -> tuple[Act, ...]:
    """Fetched if loose, lifted over the hook, tightened, looked at: the look is the proof of this couple."""
    touching = (GAP, "touching")
    seen: tuple[Fact, ...] = ((COUPLE, "locked"), (PULLED, "held"))
    hang = "hang" if screw.stowage else "lift"
    acts = [
        Act(f"{hang} the screw coupling from {screw.hangs_on} over the hook of {screw.goes_over}", "between", "end", "screw",
            "between", needs=((screw.key, screw.rest), touching), effects=((screw.key, "over the hook"),), order=(0, 0),
            at=screw.at, caution="Lift with the legs; stand inside the buffer line only while both portions are held."),
        Act("turn the screw until the slack is out and the buffers bear", "between", "end", "screw", "between",
            needs=((screw.key, "over the hook"), touching), effects=((screw.key, "tight"), (COUPLE, "locked")), order=(0, 1),
            at=screw.at, brief=f"Screw over the hook of {screw.goes_over}, tight, buffers bearing.",
            caution="Fingers clear of the handle and the link."),
        Act("look at the screw coupling: link seated, slack out, handle secured, the other screw stowed", "between", "end",
            "look", "between", needs=((screw.key, "tight"), (COUPLE, "locked")), effects=((PULLED, "held"),), shows=seen,
            order=(0, 2), at=screw.at, brief="Look: link seated, slack out, handle secured."),
    ]  # fmt: skip
    if screw.stowage:
        acts.insert(0, _fetch(screw))
    return tuple(acts)


def parting_acts(screw: Screw) -> tuple[Act, ...]:
    """Slackened with the buffers pressed, lifted off, back where it belongs."""
    touching = (GAP, "touching")
    acts = [
        Act("slacken the screw, the buffers pressed", "between", "end", "screw", "between",
            needs=((screw.key, "tight"), touching, (SLACK, "eased")), order=(8, 0), at=screw.at,
            effects=((screw.key, "over the hook"), (COUPLE, "apart")), brief="Screw slackened, lifted off, stowed.",
            caution="Not while the couple is stretched: ease up first."),
        Act(f"lift the screw coupling off the hook of {screw.goes_over}", "between", "end", "screw", "between",
            needs=((screw.key, "over the hook"), touching), effects=((screw.key, screw.rest),), order=(8, 1), at=screw.at,
            caution="Shoulders over the buffers, not under."),
    ]  # fmt: skip
    if screw.stowage:
        acts.append(put_back(screw))
    return tuple(acts)


def _fetch(screw: Screw) -> Act:
    return Act(f"take the screw coupling of {screw.at.unit} from its stowage: {screw.stowage}", "between", "beside", "loose_gear",
               "dress", needs=((screw.key, "stowed"),), effects=((screw.key, "carried"),), at=screw.at,
               brief=f"Screw coupling from {screw.stowage} of {screw.at.unit}.")  # fmt: skip


def put_back(screw: Screw) -> Act:
    """A loose one into its stowage."""
    return Act(f"put the screw coupling of {screw.at.unit} back in its stowage: {screw.stowage}", "between", "beside",
               "loose_gear", "leave", needs=((screw.key, "carried"),), effects=((screw.key, "stowed"),), at=screw.at,
               brief=f"Screw coupling back in {screw.stowage} of {screw.at.unit}.")  # fmt: skip
