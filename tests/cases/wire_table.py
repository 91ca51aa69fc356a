"""What every jumper and electrical head of the demo fleet finds on every other, written out by hand from the pin lists.

Jumpers: ``tarn`` T, ``fell`` F, ``crag`` C, ``holm/2`` HI. Heads: ``gale`` G, ``beck`` B, ``holm/1`` H. ``moss`` and ``wold``
have neither. A plug enters a socket of its own pattern only; crossed pins are those that would give one function for
another if somebody forced it.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class ExpectedWires:
    """Two ends: functions at the same pin on both, pins crossed, functions on both at other pins, on one side alone."""

    ends: tuple[str, str]
    device: str
    verdict: str
    same: tuple[str, ...]
    crossed: tuple[str, ...] = ()
    moved: tuple[str, ...] = ()
    first_only: tuple[str, ...] = ()
    second_only: tuple[str, ...] = ()


EP = ("EP apply", "EP hold")
DIFFER = "patterns differ"
T = (*EP, "power 1", "power 2", "forward", "reverse", "doors left", "doors right", "doors shut proof", "bell", "lighting",
     "return")  # fmt: skip
F = ("bell", "lighting", "return")
C = (*EP, "power", "forward", "reverse", "doors left", "doors right", "bell", "return")
H = (*EP, "loop out", "loop back", "power", "forward", "reverse", "doors left", "doors right", "bell", "bus 1", "bus 2",
     "return")  # fmt: skip
G = (*EP, "power", "forward", "reverse", "doors left", "doors right", "loop out", "loop back", "bell", "return")
B = ("brake step 1", "brake step 2", "brake step 3", "loop out", "loop back", "power", "forward", "reverse", "doors left",
     "doors right", "doors shut proof", "bell", "bus", "return")  # fmt: skip
DRIVE = ("forward", "reverse", "doors left", "doors right")

JUMPERS = (
    ExpectedWires(("tarn/1", "tarn/2"), "jumper", "alike", T),
    ExpectedWires(("fell/1", "fell/2"), "jumper", "alike", F),
    ExpectedWires(("crag/1", "crag/2"), "jumper", "alike", C),
    ExpectedWires(("holm/2", "holm/2"), "jumper", "alike", H),
    ExpectedWires(("tarn/1", "fell/1"), "jumper", DIFFER, (), crossed=("1", "2", "3"), moved=("bell", "lighting", "return"),
                  first_only=T[:9]),
    ExpectedWires(("tarn/1", "crag/1"), "jumper", DIFFER, EP, crossed=("3", "4", "5", "6", "7", "8", "9"),
                  moved=(*DRIVE, "bell", "return"),
                  first_only=("power 1", "power 2", "doors shut proof", "lighting"), second_only=("power",)),
    ExpectedWires(("tarn/1", "holm/2"), "jumper", DIFFER, (*EP, "bell"), moved=(*DRIVE, "return"),
                  crossed=("3", "4", "5", "6", "7", "8", "9", "11", "12"),
                  first_only=("power 1", "power 2", "doors shut proof", "lighting"),
                  second_only=("loop out", "loop back", "power", "bus 1", "bus 2")),
    ExpectedWires(("fell/1", "crag/1"), "jumper", DIFFER, (), crossed=("1", "2", "3"), moved=("bell", "return"),
                  first_only=("lighting",), second_only=(*EP, "power", *DRIVE)),
    ExpectedWires(("fell/1", "holm/2"), "jumper", DIFFER, (), crossed=("1", "2", "3"), moved=("bell", "return"),
                  first_only=("lighting",),
                  second_only=(*EP, "loop out", "loop back", "power", *DRIVE, "bus 1", "bus 2")),
    ExpectedWires(("crag/1", "holm/2"), "jumper", DIFFER, EP, crossed=("3", "4", "5", "6", "7", "8", "9"),
                  moved=("power", *DRIVE, "bell", "return"), second_only=("loop out", "loop back", "bus 1", "bus 2")),
)  # fmt: skip
HEADS = (
    ExpectedWires(("gale/1", "gale/2"), "electrical head", "alike", G),
    ExpectedWires(("beck/1", "beck/2"), "electrical head", "alike", B),
    ExpectedWires(("holm/1", "holm/1"), "electrical head", "alike", H),
    ExpectedWires(("gale/1", "holm/1"), "electrical head", DIFFER, (*EP, "bell"),
                  crossed=("3", "4", "5", "6", "7", "8", "9", "11"),
                  moved=("power", *DRIVE, "loop out", "loop back", "return"), second_only=("bus 1", "bus 2")),
    ExpectedWires(("gale/1", "beck/1"), "electrical head", DIFFER, (), crossed=tuple(str(n) for n in range(1, 12)),
                  moved=("power", *DRIVE, "loop out", "loop back", "bell", "return"), first_only=EP,
                  second_only=("brake step 1", "brake step 2", "brake step 3", "doors shut proof", "bus")),
    ExpectedWires(("holm/1", "beck/1"), "electrical head", DIFFER, (), crossed=tuple(str(n) for n in range(1, 14)),
                  moved=("loop out", "loop back", "power", *DRIVE, "bell", "return"), first_only=(*EP, "bus 1", "bus 2"),
                  second_only=("brake step 1", "brake step 2", "brake step 3", "doors shut proof", "bus")),
)  # fmt: skip
