"""Who may have which duty."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from headstock.base.sources import Entry
from headstock.local_rules.rule_part import RulePart

Role = Literal["driver", "shunter", "guard", "yard control"]
Roles = Annotated[tuple[Role, ...], Field(min_length=1)]


class Duties(RulePart):
    """Roles that may have each duty, the first one present in the crew has it."""

    in_charge: Entry[Roles] = Field(description="agrees the job, asks for the road, calls each movement")
    drives: Entry[Roles] = Field(description="drives the moving portion, and the train in the test")
    goes_between: Entry[Roles] = Field(description="goes between, alone, on their own protection")
    handles_jumpers: Entry[Roles] | None = Field(
        default=None, description="goes between for the jumpers, where `most_between` is 2 or more; left out: who goes between"
    )
    works_standing_cab: Entry[Roles] = Field(description="works the cab of the standing portion")
    reads_rear: Entry[Roles] = Field(description="works and reads the rear cab in the test")
    holds_moving_portion: Entry[Roles] = Field(
        description="works those hand and parking brakes of the moving portion that the driver cannot reach"
    )
    holds_standing_portion: Entry[Roles] = Field(description="works the hand and parking brakes of the standing portion")
    looks_at_holds: Entry[Roles] = Field(description="looks at braked wheels and watches whether a portion stands")
    dresses_front: Entry[Roles] = Field(description="lamps, hoses and cocks of the outer end that leads")
    dresses_rear: Entry[Roles] = Field(description="lamps, hoses and cocks of the outer end at the rear")
