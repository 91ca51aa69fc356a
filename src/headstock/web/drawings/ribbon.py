"""Pressure as a ribbon: its thickness is pressure, its figure stands in it, its edge says how we know."""

from __future__ import annotations

from headstock.web.drawings.ink import path, rect, svg

PX_A_BAR = 5.0
INK = {"brake pipe": "bp", "main reservoir pipe": "mr"}
UNKNOWN_HIGH = 22.0


def pipe_ribbon(pipe: str, shown_bar: float | None, width: float = 640.0) -> str:
    """A portion's pipe as told; hatched where it is not known, dots where it is empty."""
    ink, high = INK[pipe], UNKNOWN_HIGH if shown_bar is None else max(PX_A_BAR * shown_bar, 2.0)
    if shown_bar is None:
        body = rect(1, 1, width - 2, high, ink=ink, line=1.5, fill="hatch")
    elif shown_bar < 0.05:
        body = path(f"M1 3H{width - 1}", ink=ink, wide=2, dash="2 6")
    else:
        body = path(f"M1 1H{width - 1}V{high + 1:.1f}H1z", ink=ink, wide=2, dash="9 5")
    return f'<svg class="ribbon" viewBox="0 0 {width:g} {high + 2:g}" preserveAspectRatio="none" aria-hidden="true">{body}</svg>'


def along_train(front_bar: float, rear_bar: float, width: float = 260.0) -> str:
    """The brake pipe from the front gauge to the rear one as reckoned: broken edges, straight between the two figures."""
    a, b = (max(PX_A_BAR * value, 1.0) / 2 for value in (front_bar, rear_bar))
    middle = PX_A_BAR * 3
    body = path(f"M1 {middle - a:.1f}L{width - 1} {middle - b:.1f}M1 {middle + a:.1f}L{width - 1} {middle + b:.1f}", ink="bp",
                wide=1.6, dash="6 4")  # fmt: skip
    ends = path(f"M1 {middle - a:.1f}V{middle + a:.1f}M{width - 1} {middle - b:.1f}V{middle + b:.1f}", wide=2)
    return svg(width, 2 * middle, [body, ends], f"front {front_bar:.1f}, rear {rear_bar:.1f}", "along")
