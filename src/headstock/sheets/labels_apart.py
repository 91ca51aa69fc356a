"""Names down one side of a drawing, none over another: the one way in which sheets and pages lay them out."""

from __future__ import annotations

from collections.abc import Sequence


def laid_apart(wanted_mm: Sequence[float], heights_mm: Sequence[float], top_mm: float) -> list[float]:
    """Tops of labels, from the top down: each middle as near as there is room to where it is wanted, all above 0.

    ``wanted_mm``: middles, the highest first [mm above the foot]; ``heights_mm``: how high each label is. Where all
    together are higher than ``top_mm``, the highest stand out above it.

    >>> laid_apart([90.0, 88.0, 10.0], [20.0, 20.0, 20.0], 100.0)
    [100.0, 80.0, 20.0]
    """
    tops, top, below = list[float](), top_mm, sum(heights_mm)
    for wanted, height in zip(wanted_mm, heights_mm, strict=True):
        top = max(min(top, wanted + height / 2), below)
        tops.append(top)
        top, below = top - height, below - height
    return tops
