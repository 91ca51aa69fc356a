"""The key to the squares of what joins what: lanes and marks, drawn as in the table."""

from __future__ import annotations

from headstock.sheets.joint_square import Crossing

LANES: tuple[tuple[Crossing, str], ...] = (
    (Crossing("direct", True, True, True, True), "from the top: couplers; main reservoir pipe, two lines; brake pipe, one stout "
     "line; electrical brake, dashes; control, doors and bell, dots"),
    (Crossing("direct", False, True), "short stubs: nothing crosses there"),
)  # fmt: skip
MARKS: tuple[tuple[Crossing, str], ...] = (
    (Crossing("screw", False, True), "by a screw coupling"),
    (Crossing("adapter", False, True), "through an adapter"),
    (Crossing("direct", True, True, wires_apart=True), "hatched: wires on both ends, not joined"),
    (Crossing("no"), "not at all"),
)
