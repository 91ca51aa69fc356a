"""Signals as words: what a hand, a lamp or a horn shows for one meaning; never drawn from memory, never coded."""

from __future__ import annotations

from typing import Final

from pydantic import BaseModel, ConfigDict, Field, model_validator


class Signal(BaseModel):
    """One meaning: how it is shown by hand, with a lamp, by horn; at least one of them."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    hand: str | None = Field(default=None, min_length=3, description="by day, with hand or flag, in words")
    lamp: str | None = Field(default=None, min_length=3, description="by night, with a lamp, in words")
    horn: str | None = Field(default=None, min_length=3, description="by horn or whistle, in words")

    @model_validator(mode="after")
    def _is_shown_somehow(self) -> Signal:
        if self.hand is None and self.lamp is None and self.horn is None:
            raise ValueError("a signal is shown by hand, lamp or horn: say at least one")
        return self

    def ways(self) -> dict[str, str]:
        """How it is shown, by way."""
        return {way: said for way in ("hand", "lamp", "horn") if (said := getattr(self, way)) is not None}


class Signals(BaseModel):
    """Signals by meaning; only stop is needed everywhere."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    stop: Signal = Field(description="stop at once")
    come_on: Signal | None = Field(default=None, description="come towards the joint")
    go_away: Signal | None = Field(default=None, description="go away from the joint")
    slow_down: Signal | None = Field(default=None, description="slow down")
    apply: Signal | None = Field(default=None, description="apply the brake, for a test")
    release: Signal | None = Field(default=None, description="let the brake off, for a test")

    def given(self) -> dict[str, Signal]:
        """The signals that there are, by meaning in words."""
        names = type(self).model_fields
        return {name.replace("_", " "): signal for name in names if (signal := getattr(self, name)) is not None}

    def lines(self) -> tuple[str, ...]:
        """One line a meaning, for sheets."""
        return tuple(
            f"{meaning.capitalize()}: {'; '.join(f'{said} ({way})' for way, said in signal.ways().items())}."
            for meaning, signal in self.given().items()
        )


ALIKE: Final = "two signals that look or sound alike"


def alike(signals: Signals) -> tuple[tuple[str, str, str], ...]:
    """Pairs of meanings shown in the same words, with the way in which they are."""
    seen: dict[tuple[str, str], str] = {}
    found = []
    for meaning, signal in signals.given().items():
        for way, said in signal.ways().items():
            other = seen.setdefault((way, " ".join(said.lower().split())), meaning)
            if other != meaning:
                found.append((other, meaning, way))
    return tuple(found)
