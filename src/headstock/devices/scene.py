"""Names of the facts between and around the ends that devices rest on. One name, one place."""

from __future__ import annotations

GAP = "gap"
COUPLE = "couple"
PULLED = "couple.pulled"
SLACK = "couple.slack"
AUTHORITY = "authority"
AIR_THROUGH = "air_through"
TEST = "brake_test"
ELECTRIC = "electric brake"
"""What the leading cab commands of the brake worked by wires: release, apply or hold. Without it nothing is commanded."""

SIDE_CAUTION = "Watched from the side."
"""Beside whoever looks at a fresh couple and watches the pull: one that does not hold lets go (common practice, no source)."""


def pipe_key(portion: str) -> str:
    """How far the brake pipe of a portion is charged: charged, drawn (full application made) or empty."""
    return f"{portion}.brake_pipe"


def supply_key(portion: str) -> str:
    """Whether the electric supply of a portion's train lines is on."""
    return f"{portion}.supply"


def proved_key(portion: str) -> str:
    """Whether the hold of a portion on its hand and parking brakes has been proved on this road."""
    return f"{portion}.hold"
