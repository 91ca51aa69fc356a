"""The figure of each role, on paper and on pages: driver square, shunter circle, guard triangle, yard hexagon."""

from __future__ import annotations


def role_shape(letter: str, x: float, y: float, look: str) -> str:
    """A role's figure about a point, 20 units high at most; ``look``: its colours and lines, as attributes.

    Raises KeyError for a letter that is no role's.
    """
    return {
        "D": f'<rect x="{x - 8:g}" y="{y - 8:g}" width="16" height="16" {look}/>',
        "S": f'<circle cx="{x:g}" cy="{y:g}" r="8.4" {look}/>',
        "G": f'<path d="M{x - 10:g} {y + 8:g}L{x + 10:g} {y + 8:g}L{x:g} {y - 9.5:g}z" {look}/>',
        "Y": (f'<path d="M{x - 5:g} {y - 8.5:g}L{x + 5:g} {y - 8.5:g}L{x + 10:g} {y:g}L{x + 5:g} {y + 8.5:g}'
              f'L{x - 5:g} {y + 8.5:g}L{x - 10:g} {y:g}z" {look}/>'),
    }[letter]  # fmt: skip
