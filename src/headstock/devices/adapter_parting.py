"""Adapter after a rescue: its hose off, let go by the end that met it, taken off with the ends apart, into its stowage."""

from __future__ import annotations

from collections.abc import Iterator

from headstock.devices.adapter import Adapter, adapter_as_found
from headstock.devices.kind import Act
from headstock.devices.scene import COUPLE, GAP


def adapter_in_place(adapter: Adapter) -> dict[str, str]:
    """How it and what it holds stand while it joins two ends."""
    found = {**adapter_as_found(adapter), **dict(adapter.pinned), **dict(adapter.closes), adapter.proof[0]: adapter.proof[1]}
    if adapter.hose is not None and adapter.cock is not None:
        found |= {adapter.own_cock.key(): "open", adapter.cock.key(): "open", adapter.hose.key(): "joined"}
    return found


def hose_off_acts(adapter: Adapter, live: bool) -> Iterator[tuple[Act, bool]]:
    """Both cocks shut, what stays first, the hose off; with whether the pipe is cut by it. ``live``: it hangs on what goes."""
    if adapter.hose is None or adapter.cock is None:
        return
    own, end = (adapter.own_cock, "the adapter"), (adapter.cock, adapter.hangs_on)
    first, last = (own, end) if live else (end, own)
    joined = (adapter.hose.key(), "joined")
    for number, (at, said) in enumerate((first, last)):
        other = (last[0].key(), "open") if number == 0 else (first[0].key(), "shut")
        yield Act(f"shut the joined brake pipe cock of {said}", "between", "end", "cock", "between",
                  needs=((at.key(), "open"), joined, other), effects=((at.key(), "shut"),), order=(3, 0, number), at=at,
                  brief=f"Shut the brake pipe cock of {said}."), number == 0  # fmt: skip
    shut = ((adapter.cock.key(), "shut"), (adapter.own_cock.key(), "shut"))
    yield Act(f"part the brake pipe hose of {adapter.hangs_on} from the adapter's", "between", "end", "join_hoses", "between",
              needs=(joined, *shut), effects=((adapter.hose.key(), "hanging"),), knows=shut, order=(4, 0), at=adapter.hose,
              brief="Brake pipe hose off the adapter's.",
              caution="Shut does not always mean empty: turn the face away."), False  # fmt: skip


def taking_off_acts(adapter: Adapter) -> tuple[Act, ...]:
    """With the ends drawn apart: keeper, pin, its weight taken, off, back where it belongs."""
    where, unit = adapter.hangs_on, adapter.at.unit
    hung, pin, keeper = adapter.pinned
    out, drawn, carried = (keeper[0], "out"), (pin[0], "out"), (adapter.key, "carried")
    parted = ((GAP, "apart"), (COUPLE, "apart"))
    return (
        Act(f"take the pin keeper of the adapter out on {where}", "between", "end", "head_pin", "ends",
            needs=(keeper, hung, *parted), effects=(out,), order=(3, 0), at=adapter.at),
        Act(f"draw the pin of the adapter on {where}, its weight taken", "between", "end", "head_pin", "ends",
            needs=(pin, out, hung, *parted), effects=(drawn,), order=(3, 1), at=adapter.at,
            caution="It hangs on this pin: weight taken first, feet clear."),
        Act(f"take the adapter off {where}", "between", "end", "adapter", "ends", needs=(hung, drawn, *parted),
            effects=(carried,), order=(3, 2), at=adapter.at, brief=f"Adapter off {where}: keeper, pin, off.",
            caution="It is heavy: two hands, feet clear."),
        Act(f"put the adapter of {unit} back in its stowage: {adapter.stowage}", "between", "beside", "loose_gear", "ends",
            needs=(carried,), effects=((adapter.key, "stowed"),), order=(4,), at=adapter.at,
            brief=f"Adapter back in {adapter.stowage} of {unit}."),
    )  # fmt: skip
