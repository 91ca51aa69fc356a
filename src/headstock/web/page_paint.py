"""The colours of drawings on a page: the page's own, by night and on paper."""

from __future__ import annotations

from typing import Final

from headstock.devices.marks import Ink

PAINT: Final[dict[Ink, str]] = {
    "ink": "var(--ink)", "soft": "var(--soft)", "rule": "var(--rule)", "ground": "var(--ground)", "plate": "var(--plate)",
    "brake_pipe": "var(--bp)", "main_reservoir_pipe": "var(--mr)", "electrical": "var(--el)", "none": "none",
}  # fmt: skip
