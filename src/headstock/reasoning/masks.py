"""Masks: many yes/no facts, or many steps, in one integer."""

from __future__ import annotations

from collections.abc import Sequence


def bits_of(mask: int) -> list[int]:
    """Numbers of the set bits, lowest first."""
    found = []
    while mask:
        low = mask & -mask
        found.append(low.bit_length() - 1)
        mask ^= low
    return found


def turned(masks: Sequence[int], width: int) -> list[int]:
    """For each of so many bits the numbers of the masks that have it, as a mask."""
    table = [0] * width
    for number, mask in enumerate(masks):
        for bit in bits_of(mask):
            table[bit] |= 1 << number
    return table
