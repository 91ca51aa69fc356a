"""What can be joined to what among the demo fleet, worked out by hand from the couplers' families before it was computed.

``tarn`` and ``fell`` carry drop-head knuckles over hooks that move and take buffing loads, ``moss`` a fixed hook with screw
and buffers, ``gale`` a latch-type automatic coupler. ``fell`` and ``moss`` have a brake pipe only. Nobody carries an adapter.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class ExpectedJoin:
    """One pair of types (any two ends: the ends of each type are alike)."""

    pair: tuple[str, str]
    answer: str
    way: str
    level: str
    main_reservoir_through: bool
    words: tuple[str, ...]
    why: str


NONE, RESCUE, BRAKE, FULL = "none", "rescue", "mechanical and automatic brake", "full multiple working"
EXPECTED: tuple[ExpectedJoin, ...] = (
    ExpectedJoin(("tarn", "tarn"), "yes", "direct", FULL, True, ("heads raised",), "knuckle with knuckle raised; declared alike"),
    ExpectedJoin(("tarn", "fell"), "yes", "direct", BRAKE, False, ("main reservoir pipe not through", "electro-pneumatic"),
                 "same knuckle, other jumper, one pipe only: a like face is not a like function"),
    ExpectedJoin(("fell", "fell"), "yes", "direct", BRAKE, False, ("heads raised",), "declared for the automatic brake"),
    ExpectedJoin(("tarn", "moss"), "yes", "screw", BRAKE, False, ("dropped", "buffers of tarn", "screw coupling"),
                 "a raised knuckle takes no hook: head dropped, buffers out"),
    ExpectedJoin(("fell", "moss"), "yes", "screw", BRAKE, False, ("dropped", "buffers of fell"), "as above"),
    ExpectedJoin(("moss", "moss"), "yes", "screw", BRAKE, False, ("on the hook",), "hook and screw with hook and screw"),
    ExpectedJoin(("tarn", "gale"), "only if", "adapter", RESCUE, False, ("adapter", "locked back", "not propelled"),
                 "knuckle to latch needs an adapter that nobody carries"),
    ExpectedJoin(("fell", "gale"), "only if", "adapter", RESCUE, False, ("adapter", "locked back"), "as above"),
    ExpectedJoin(("moss", "gale"), "no", "none", NONE, False, ("couplers differ", "no hook", "fixed"),
                 "faces differ, the latch has no hook, the fixed hook is outside the rescue coupler's scope"),
    ExpectedJoin(("gale", "gale"), "yes", "direct", FULL, True, (), "one face, declared alike"),
)  # fmt: skip
