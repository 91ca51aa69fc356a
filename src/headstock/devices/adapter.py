"""Adapter between unlike couplers: from its stowage, hung on one end and pinned, then the other end comes up to it.

Its pins are proved twice: seen home before anything comes near, and once more with the pull taken. Where it meets a coupler
that joins its pipe by itself it has a hose and a cock of its own.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from headstock.devices.kind import Act, At
from headstock.devices.scene import COUPLE, GAP, PULLED, SIDE_CAUTION
from headstock.reasoning.variable import Fact, Variable


@dataclass(frozen=True, slots=True)
class Adapter:
    """An adapter in a job: carried by a unit, hung by hand on the coupler of one end, taken by that of another.

    ``hangs_on`` and ``meets`` are those ends; ``bare`` what must be so at the first before it is hung; ``closes`` what the blow
    does to the coupler that meets it, ``sign`` what one sees then; ``hose`` of the first end goes to the adapter's own where
    ``has_hose``, with ``cock`` before it.
    """

    at: At
    stowage: str
    hangs_on: str
    meets: str
    bare: tuple[Fact, ...]
    closes: tuple[Fact, ...]
    sign: str
    has_hose: bool
    on_a_hook: bool
    hose: At | None = None
    cock: At | None = None

    @property
    def key(self) -> str:
        """Key of where it is."""
        return self.at.key()

    @property
    def own_cock(self) -> At:
        """The adapter's own cock, as a place."""
        return At(self.at.unit, "adapter_cock")

    @property
    def pinned(self) -> tuple[Fact, ...]:
        """What must be so before anything comes near it."""
        return ((self.key, "hung"), (self.at.key("pin"), "home"), (self.at.key("keeper"), "in"))

    @property
    def proof(self) -> Fact:
        """Its pins seen with the pull taken."""
        return (self.at.key("pulled"), "seen")


def adapter_variables(adapter: Adapter) -> tuple[Variable, ...]:
    """How an adapter stands."""
    name, at = f"adapter of {adapter.at.unit}", adapter.at
    said = (("stowed", f"{name} stowed: {adapter.stowage}"), ("hung", f"{name} hung on {adapter.hangs_on}"))
    seen = (("seen", f"pins of the {name} seen home with the pull taken"),)
    found = [
        Variable(at.key(), ("stowed", "carried", "hung"), "device", name, phrases=said),
        Variable(at.key("pin"), ("out", "home"), "device", f"pin of the {name}", sign=True),
        Variable(at.key("keeper"), ("out", "in"), "device", f"pin keeper of the {name}", sign=True),
        Variable(at.key("pulled"), ("not looked at", "seen"), "device", f"pins of the {name}", sign=True, phrases=seen),
    ]
    if adapter.has_hose:
        found.append(Variable(adapter.own_cock.key(), ("shut", "open"), "device", f"cock of the {name}", fresh=True))
    return tuple(found)


def adapter_as_found(adapter: Adapter) -> dict[str, str]:
    """How it stands when the crew starts."""
    keys = {adapter.key: "stowed", adapter.at.key("pin"): "out", adapter.at.key("keeper"): "out"}
    keys[adapter.at.key("pulled")] = "not looked at"
    return {**keys, **({adapter.own_cock.key(): "shut"} if adapter.has_hose else {})}


def hanging_acts(adapter: Adapter) -> tuple[Act, ...]:
    """Fetched, hung on its end, pinned, looked at: all before anything comes near."""
    where, unit, apart = adapter.hangs_on, adapter.at.unit, (GAP, "apart")
    hung, pin, keeper = adapter.pinned

    def act(key: str, allowance: str, needs: tuple[Fact, ...], effect: Fact, brief: str, caution: str = "") -> Act:
        return Act(key, "between", "end", allowance, "dress", (*needs, apart), (effect,), brief=brief, caution=caution,
                   order=(3,), at=adapter.at)  # fmt: skip

    return (
        Act(f"take the adapter of {unit} from its stowage: {adapter.stowage}", "between", "beside", "loose_gear", "dress",
            needs=((adapter.key, "stowed"),), effects=((adapter.key, "carried"),), at=adapter.at,
            brief=f"Adapter from {adapter.stowage} of {unit}."),
        act(f"hang the adapter on {where}", "adapter", ((adapter.key, "carried"), *adapter.bare), hung,
            f"Adapter hung on {where}, pinned, keeper in.", "It is heavy: two hands, feet clear."),
        act(f"push the pin of the adapter home on {where}", "head_pin", (hung, (pin[0], "out")), pin, ""),
        act(f"put the pin keeper of the adapter in on {where}", "head_pin", (pin, (keeper[0], "out")), keeper, ""),
        Act(f"look at the adapter on {where}: hung, pin home, keeper in", "between", "end", "look", "dress",
            needs=(*adapter.pinned, apart), shows=adapter.pinned, at=adapter.at, order=(4,),
            brief=f"Look at the adapter on {where}: pin home, keeper in."),
    )  # fmt: skip


def meeting_acts(adapter: Adapter, dressed: tuple[Fact, ...]) -> tuple[Act, ...]:
    """The other end comes up and takes it; looked at, pulled, its pins looked at again. ``dressed``: what must be so first."""
    joint = f"{adapter.hangs_on} and {adapter.meets}"
    touching, locked, pulled = (GAP, "touching"), (COUPLE, "locked"), (PULLED, "held")
    return (
        Act(f"couple {joint} by the adapter", "drives", "driving cab", "couple", "join", needs=dressed,
            effects=(touching, locked, *adapter.closes), at=adapter.at, brief="Come on to the adapter, brake on contact."),
        Act(f"look at the couple of {joint}", "in charge", "joint", "look_both_sides", "join", needs=(touching, locked),
            shows=(locked,), brief=f"Look: {adapter.sign}, both sides."),
        Act(f"watch the pull at {joint}", "in charge", "joint", "look_both_sides", "join", needs=(pulled, touching),
            shows=(pulled,), brief="No gap seen, the adapter level.", caution=SIDE_CAUTION),
        Act(f"look at the adapter on {adapter.hangs_on} with the pull taken: pin home, keeper in", "between", "end", "look",
            "between", needs=(*adapter.pinned, pulled, locked), effects=(adapter.proof,), shows=(adapter.proof,), order=(0, 1),
            at=adapter.at, brief="Adapter once more: pin home, keeper in."),
    )  # fmt: skip


def hose_act(adapter: Adapter) -> Iterator[Act]:
    """The brake pipe hose of the end on which it hangs goes to the adapter's own."""
    if adapter.hose is None or adapter.cock is None:
        return
    shut = ((adapter.cock.key(), "shut"), (adapter.own_cock.key(), "shut"))
    yield Act(f"join the brake pipe hose of {adapter.hangs_on} to the adapter's", "between", "end", "join_hoses", "between",
              needs=((adapter.hose.key(), "hanging"), *shut, adapter.proof), effects=((adapter.hose.key(), "joined"),),
              knows=shut[:1], order=(1, 0), at=adapter.hose, brief="Brake pipe hose to the adapter's, seated, no kink.",
              caution="Shut does not always mean empty: turn the face away.")  # fmt: skip


def cock_acts(adapter: Adapter, live: bool) -> Iterator[tuple[Act, bool]]:
    """Its cock and that of the end on which it hangs, dead side first; with whether it is the last. ``live``: that end's pipe."""
    if adapter.hose is None or adapter.cock is None:
        return
    own, end = (adapter.own_cock, "the adapter"), (adapter.cock, adapter.hangs_on)
    first, last = (own, end) if live else (end, own)
    joined = ((adapter.hose.key(), "joined"), (PULLED, "held"), adapter.proof)
    whip = "Body clear of the hose, face turned away: a hose under pressure swings hard."
    yield Act(f"open the brake pipe cock of {first[1]}", "between", "end", "cock", "between",
              needs=((first[0].key(), "shut"), (last[0].key(), "shut"), *joined), effects=((first[0].key(), "open"),),
              brief=f"Brake pipe cocks: {first[1]} first, {last[1]} slowly.", order=(3, 0, 0), at=first[0],
              caution=whip), False  # fmt: skip
    yield Act(f"open the brake pipe cock of {last[1]} slowly", "between", "end", "cock_slowly", "between",
              needs=((last[0].key(), "shut"), (first[0].key(), "open"), *joined), effects=((last[0].key(), "open"),),
              order=(3, 0, 1), at=last[0], caution=whip), True  # fmt: skip
