"""The train while something is worked out: vehicles done stand on their blocks, the rest is hatched, for it is not known yet."""

from __future__ import annotations

from headstock.web.drawings.ink import path, rect

LONG, HIGH = 36.0, 44.0


def working_train(vehicles: int, share: float) -> str:
    """``share``: of the work, 0 to 1. Nothing turns, nothing pulses."""
    width, known = vehicles * LONG + 8, int(share * vehicles)
    parts = [path(f"M0 38H{width}", wide=2), path(f"M0 42H{width}", wide=1)]
    for number in range(vehicles):
        left = 4 + number * LONG
        parts.append(path(f"M{left + 1} 4h{LONG - 3}v20h{-(LONG - 3)}z", wide=1.4))
        for at in (left + 5, left + LONG - 14):
            parts.append(rect(at, 31, 9, 6, line=0 if number < known else 1, fill="ink" if number < known else "hatch"))
    frame = f'viewBox="0 0 {width:g} {HIGH:g}" width="{width:g}" height="{HIGH:g}"'
    return f'<svg class="working-train" {frame} aria-hidden="true">{"".join(parts)}</svg>'
