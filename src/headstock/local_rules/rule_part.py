"""What every part of local rules is, and the figures that several of them have."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

Positive = Annotated[float, Field(gt=0)]


class RulePart(BaseModel):
    """Values as they were read; unknown keys are refused."""

    model_config = ConfigDict(frozen=True, extra="forbid")
