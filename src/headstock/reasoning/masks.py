"""Masks: many yes/no facts, or many steps, in one integer."""

from __future__ import annotations


def bits_of(mask: int) -> list[int]:
    """Numbers of the set bits, lowest first."""
    found = []
    while mask:
        low = mask & -mask
        found.append(low.bit_length() - 1)
        mask ^= low
    return found
