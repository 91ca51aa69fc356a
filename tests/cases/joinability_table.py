"""What can be joined to what among the demo fleet, worked out by hand from the couplers' families before it was computed.

Hooks: ``moss`` a fixed hook with screw and buffers, ``wold/1`` one that moves and takes buffing loads. Knuckles of contour A:
``tarn`` and ``fell`` drop-heads over hooks that move, ``crag`` rigid ones without a hook. Latches: ``gale`` and ``holm/1`` the
standard face L, ``beck`` and ``wold/2`` another, M, set 150 mm lower. ``holm/2`` is half a semi-permanent bar. ``fell`` and
``moss`` have a brake pipe only, ``beck`` a main reservoir pipe only. ``wold`` carries adapters from a hook to face L and to a
knuckle; nobody else carries one. ``fell`` with ``crag`` is a declared pair, ``tarn`` with ``crag`` is not.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product


@dataclass(frozen=True)
class ExpectedJoin:
    """One pair: a type where both its ends are alike, else a unit end. ``words`` must all be said."""

    pair: tuple[str, str]
    answer: str
    way: str
    level: str
    main_reservoir_through: bool
    words: tuple[str, ...]
    why: str

    def ends(self) -> Iterator[tuple[str, str]]:
        """Every two ends that the row is about."""
        return product(*(ends_of(name) for name in self.pair))


def ends_of(name: str) -> tuple[str, ...]:
    """The unit ends that a name of the table stands for."""
    return (name,) if "/" in name else (f"{name}/1", f"{name}/2")


NONE, RESCUE, BRAKE, FULL = "none", "rescue", "mechanical and automatic brake", "full multiple working"
BRING = ("is brought: neither unit carries one",)
UNBRAKED = ("hauling unbraked", "no brake across the joint")
WORKSHOP = ("holm/2 is made and parted in a workshop only: clamped muff", "no hook for a screw coupling on holm/2",
            "no side buffers on holm/2")  # fmt: skip


def _adapter(one: str, other: str, carried: bool, *words: str, why: str) -> ExpectedJoin:
    """A rescue by an adapter, on board or brought."""
    said = ("wold, ",) if carried else BRING
    return ExpectedJoin((one, other), "yes" if carried else "only if", "adapter", RESCUE, False, ("adapter", *said, *words), why)


def _bar(other: str, *words: str) -> ExpectedJoin:
    """Nothing joins half a semi-permanent bar."""
    return ExpectedJoin((other, "holm/2"), "no", "none", NONE, False, (*WORKSHOP, *words), "refused in operation")


BAR_DIFFERS = "couplers differ"
EXPECTED: tuple[ExpectedJoin, ...] = (
    ExpectedJoin(("tarn", "tarn"), "yes", "direct", FULL, True, ("heads raised",), "knuckle with knuckle raised; declared alike"),
    ExpectedJoin(("tarn", "fell"), "yes", "direct", BRAKE, False, ("main reservoir pipe not through", "electro-pneumatic"),
                 "same knuckle, other jumper, one pipe only: a like face is not a like function"),
    ExpectedJoin(("fell", "fell"), "yes", "direct", BRAKE, False, ("heads raised",), "declared for the automatic brake"),
    ExpectedJoin(("tarn", "moss"), "yes", "screw", BRAKE, False, ("dropped", "buffers of tarn", "screw coupling"),
                 "a raised knuckle takes no hook: head dropped, buffers out"),
    ExpectedJoin(("fell", "moss"), "yes", "screw", BRAKE, False, ("dropped", "buffers of fell"), "as above"),
    ExpectedJoin(("moss", "moss"), "yes", "screw", BRAKE, False, ("on the hook",), "hook and screw with hook and screw"),
    _adapter("tarn", "gale", False, "locked back", "not propelled", "automatic coupler L to knuckle A",
             "automatic coupler L to hook and screw", why="on the raised knuckle or on the bare hook, which moves"),
    _adapter("fell", "gale", False, "locked back", why="as above"),
    ExpectedJoin(("moss", "gale"), "no", "none", NONE, False, ("couplers differ", "no hook", "no side buffers on gale", "fixed"),
                 "faces differ, the latch has no hook, the fixed hook is outside the rescue coupler's scope"),
    ExpectedJoin(("gale", "gale"), "yes", "direct", FULL, True, (), "one face, declared alike"),
    # The rigid knuckle: its own kind, drop-heads of its contour if permitted, all others by an adapter.
    ExpectedJoin(("crag", "crag"), "yes", "direct", FULL, True, ("no hook",), "rigid with rigid; declared alike"),
    ExpectedJoin(("crag", "fell"), "yes", "direct", BRAKE, False, ("head of fell", "no electro-pneumatic", "has none"),
                 "like contours, a permitted pair, one of them with one pipe"),
    ExpectedJoin(("crag", "tarn"), "only if", "direct", BRAKE, True, ("permitted pair", "play and guides",
             "no electro-pneumatic"),
                 "like contours, but play, height and guides differ: somebody must have permitted the pair"),
    _adapter("crag", "moss", False, "hook and screw to knuckle A", "couplers differ", "no hook for a screw coupling on crag",
             "pulled only, never pushed: the hook of moss", why="hook to knuckle; a fixed hook takes no push"),
    _adapter("crag", "gale", False, "automatic coupler L to knuckle A", "locked back", why="knuckle to latch"),
    _adapter("crag", "beck", False, "automatic coupler M to knuckle A", "cannot be locked back", *UNBRAKED,
             why="knuckle to latch; no brake pipe to join"),
    _adapter("crag", "wold/1", True, "hook and screw to knuckle A", "no side buffers on crag", "weakest part of the couple: 380",
             why="the rescue vehicle carries it; the adapter is the weakest part"),
    _adapter("crag", "wold/2", False, "automatic coupler M to knuckle A", why="its adapters are for the hook at the other end"),
    _adapter("crag", "holm/1", False, "automatic coupler L to knuckle A", "locked back", why="knuckle to latch"),
    # The other latch face, without a brake pipe.
    ExpectedJoin(("beck", "beck"), "yes", "direct", FULL, True, ("no hook",),
             "one face, wires declared: no brake pipe is needed"),
    _adapter("beck", "tarn", False, "automatic coupler M to knuckle A", *UNBRAKED, why="latch to knuckle; its brake hears wires"),
    _adapter("beck", "fell", False, "automatic coupler M to knuckle A", *UNBRAKED, why="as above"),
    _adapter("beck", "moss", False, "automatic coupler M to hook and screw", "pulled only", *UNBRAKED,
             why="the scope of EN 15020 is the standard face; on a fixed hook any other adapter only pulls"),
    _adapter("beck", "gale", False, "faces differ", "190 mm apart", "automatic coupler L to automatic coupler M", "locked back",
             *UNBRAKED, why="a latch joins its own family only, and this one stands lower"),
    _adapter("beck", "wold/1", False, "automatic coupler M to hook and screw", *UNBRAKED,
             why="its adapter is for the other face"),
    ExpectedJoin(("beck", "wold/2"), "only if", "direct", RESCUE, True,
                 ("like couplers", "cannot be locked back", "not propelled", *UNBRAKED),
                 "like faces close and join the main reservoir, and the brake is not across all the same"),
    _adapter("beck", "holm/1", False, "faces differ", "190 mm apart", *UNBRAKED, why="as with gale"),
    # The rescue vehicle's hook.
    ExpectedJoin(("wold/1", "wold/1"), "yes", "screw", BRAKE, True, ("on the hook of wold/1", "a hook does not couple by itself"),
                 "hook and screw, both pipes by hose"),
    ExpectedJoin(("wold/1", "tarn"), "yes", "screw", BRAKE, True, ("dropped", "buffers of tarn",
             "weakest part of the couple: 480"),
                 "hook to the bare hook; the drop-head's own is the weaker one"),
    ExpectedJoin(("wold/1", "fell"), "yes", "screw", BRAKE, False, ("dropped", "buffers of fell"), "as above, one pipe"),
    ExpectedJoin(("wold/1", "moss"), "yes", "screw", BRAKE, False, ("on the hook", "weakest part of the couple: 450"),
                 "hook and screw, one pipe"),
    _adapter("wold/1", "gale", True, "automatic coupler L to hook and screw", "locked back",
             "brake pipe joined by the adapter's hose",
             "weakest part of the couple: 400", why="the rescue coupler on a hook that moves"),
    _adapter("wold/1", "wold/2", False, "automatic coupler M to hook and screw", why="hook to the other face"),
    _adapter("wold/1", "holm/1", True, "automatic coupler L to hook and screw", "locked back", why="as gale"),
    # The rescue vehicle's latch.
    ExpectedJoin(("wold/2", "wold/2"), "yes", "direct", BRAKE, True, ("no electro-pneumatic",),
             "one face, declared for the brake"),
    _adapter("wold/2", "tarn", False, "automatic coupler M to knuckle A", why="latch to knuckle"),
    _adapter("wold/2", "fell", False, "automatic coupler M to knuckle A", why="latch to knuckle"),
    _adapter("wold/2", "moss", False, "automatic coupler M to hook and screw", "pulled only",
             why="as beck with moss, brake by hose"),
    _adapter("wold/2", "gale", False, "faces differ", "190 mm apart", "locked back", why="a latch joins its own family only"),
    _adapter("wold/2", "holm/1", False, "faces differ", "locked back", why="as above"),
    # Half a set: its latch joins as gale's, its bar nothing.
    ExpectedJoin(("holm/1", "holm/1"), "yes", "direct", FULL, True, (), "one face, declared alike"),
    ExpectedJoin(("holm/1", "gale"), "yes", "direct", BRAKE, True, ("head of holm/1 locked back", "no electro-pneumatic"),
                 "a like face alone gives pipes, not contacts"),
    _adapter("holm/1", "tarn", False, "automatic coupler L to knuckle A", "locked back", why="as gale"),
    _adapter("holm/1", "fell", False, "automatic coupler L to knuckle A", "locked back", why="as gale"),
    ExpectedJoin(("holm/1", "moss"), "no", "none", NONE, False, ("couplers differ", "no hook", "EN 15020", "fixed"), "as gale"),
    ExpectedJoin(("holm/2", "holm/2"), "no", "none", NONE, False, WORKSHOP, "made in a workshop, never on the road"),
    _bar("tarn", BAR_DIFFERS),
    _bar("fell", BAR_DIFFERS),
    _bar("moss", BAR_DIFFERS),
    _bar("gale", BAR_DIFFERS, "no hook for a screw coupling on gale"),
    _bar("crag", BAR_DIFFERS, "no hook for a screw coupling on crag"),
    _bar("beck", BAR_DIFFERS, "no hook for a screw coupling on beck"),
    _bar("wold/1", BAR_DIFFERS),
    _bar("wold/2", BAR_DIFFERS, "no hook for a screw coupling on wold/2"),
    _bar("holm/1", BAR_DIFFERS, "no hook for a screw coupling on holm/1"),
)  # fmt: skip
