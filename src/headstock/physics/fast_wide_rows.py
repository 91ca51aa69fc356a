"""Brake gear of eight lanes as tables: what each row holds; device k of lane w stands at k x 8 + w."""

from __future__ import annotations

from typing import NamedTuple

from headstock.physics.arrays import Floats, Ints

V_VOLUME, V_CHOKE, V_BOTH, V_BACKED, V_VENT, V_LEAK, V_COMPRESSOR, V_STARTS, V_STOPS, V_SAFETY, V_OPENS, V_SHUTS = range(12)
"""Of a vessel, from the network (``fast_gear.GearArrays``)."""
V_SHARE, V_OPENING, V_MAY, V_LEVEL, V_BEFORE, V_RUNNING, V_BLOWING = range(12, 19)
"""Of a vessel: its settings, and what it remembers."""
V_AREA, V_BACKED_AREA, V_OUTLET, V_SEEN, V_CONDUCT, V_OVER_BOTTOM, V_TOP, V_OUT, V_NEW, V_TURNED = range(19, 29)
"""Of a vessel: what is open just now [m2], and room to work in."""
D_DIRECT, D_APPLIES, D_RELEASES, D_GAIN, D_FIRST, D_MOST, D_QUICK, D_FILLS, D_EMPTIES, D_SIZE = range(10)
D_BLOW, D_BLOW_FROM, D_BLOW_TO, D_E_MOST, D_E_FILLS, D_E_EMPTIES, D_ACTS = range(10, 17)
"""Of a distributor, from the network."""
D_ISOLATED, D_APPLICATION, D_HOLDING, D_LEAK, D_MODE, D_AUTO, D_ELECTRIC, D_AIM, D_TURNED_AT = range(17, 26)
"""Of a distributor: its settings, and what it remembers."""
D_BLOWS, D_BLOWN, D_TARGET, D_START, D_FOLLOWED, D_KNEE = range(26, 32)
"""Of a distributor: what it lets out of the pipe [m2], and room to work in."""
P_SUPPLY, P_FEED, P_FEED_TO, P_EXHAUST, P_OUT_TO, P_DROOP, P_OUTSIDE, P_SLOPE, P_FLOW, P_AT, P_BEHIND, P_GIVES = range(12)
"""Of a valve on a branch: its figures, the straight line it is taken as and where, its source without it, how that gives way."""
VESSEL_ROWS, DISTRIBUTOR_ROWS, PORT_ROWS = 29, 32, 12


class WideGear(NamedTuple):
    """Gear of eight lanes. Of one shape (``GearArrays``): cells and numbers; ``rated``: the vessel that tells an emergency,
    ``chamber`` the reference or reservoir; ``governed``: vessels with a compressor or safety valve; ``port``: cells of valves.

    ``flags``: whether any lane has an electric circuit, a leaking cylinder, an open emergency vent, a live valve behind
    ``split``, a feeding fed valve. ``outlets``, ``live``, ``feeding``: the same of each vessel and valve. ``vents``: (2 x gate
    + side, 8) areas; ``vented``: which of them are open (2 x gate + side) x 8 + lane; ``vent_lines``: their conductances.
    """

    cell: Ints
    second: Ints
    opens: Ints
    master: Ints
    place: Ints
    chamber: Ints
    store: Ints
    rated: Ints
    governed: Ints
    feed: Ints
    port_cell: Ints
    split: int
    cells: int
    vessel: Floats
    brake: Floats
    port: Floats
    outlets: Ints
    live: Ints
    feeding: Ints
    flags: Ints
    vents: Floats
    vented: Ints
    vent_lines: Floats


ELECTRIC, LEAKING, BLOWING, LATE, FED_ANY, VENTED, FLAGS = range(7)
"""Places of ``flags``, and how many."""
