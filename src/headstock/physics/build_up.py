"""How soon a train's brake is there: the free run that would cost as much, and when a share of the push is reached."""

from __future__ import annotations

import numpy as np

from headstock.base.errors import OutsideModelError
from headstock.physics.motion import Traces


def build_up_s(traces: Traces) -> float:
    """Equivalent build-up time of a train's whole push: as long as a free run after which all of it is there at once.

    Equation: the area above the curve, integral of (1 - P(t) / P(end)) dt, for straight build-up dead time plus half the rise.
    Returns: [s]. Raises: OutsideModelError for a push that never comes. Source: EN 14531-1, from memory.
    """
    total = traces.push_n.sum(axis=1)
    if not total[-1] > 0.0:
        raise OutsideModelError("push_n: found none at the end, expected a brake that applies")
    return float(np.trapezoid(1.0 - total / total[-1], dx=traces.sample_s))


def time_to_share_s(traces: Traces, share: float) -> float:
    """When the whole push first reaches a share of what it ends with [s]."""
    total = traces.push_n.sum(axis=1)
    wanted = share * total[-1]
    first = int(np.argmax(total >= wanted))
    if first == 0:
        return 0.0
    before, after = total[first - 1], total[first]
    return float((first - 1 + (wanted - before) / (after - before)) * traces.sample_s)
