"""Words as they are spoken, and what is filled in in each."""

from __future__ import annotations

from pydantic import Field, ValidationInfo, field_validator

from headstock.base.sources import Entry
from headstock.local_rules.filled_words import only_filled
from headstock.local_rules.rule_part import RulePart

EVERYWHERE = frozenset({"joint", "name", "ends", "rear"})
FILLED_IN = {
    "to_stop": EVERYWHERE | {"stop"},
    "draw_away": frozenset({"stop"}),
    "ease_up": frozenset[str](),
    "assurance": frozenset({"name"}),
    "give_back": frozenset({"name"}),
    "bell": frozenset[str](),
    "count_down": frozenset({"distance", "joint"}),
    "lost_contact": frozenset[str](),
}
"""What is filled in in words of their own kind; in all others what is filled in everywhere."""


class Words(RulePart):
    """Words spoken. {joint}, {name}, {ends} and {rear} are filled in, {stop} in ``to_stop`` and ``draw_away``.

    ``assurance`` and ``give_back`` know {name} only, ``count_down`` {distance} and {joint}; ``bell`` and ``lost_contact``
    nothing.
    """

    agree: Entry[str] = Field(description="who is in charge, to everybody: what is done and who goes between")
    road_asked: Entry[str] = Field(description="who is in charge, to the yard control")
    to_stop: Entry[str] = Field(description="who is in charge, to the driver: come up to the next stop")
    count_down: Entry[str] = Field(description="who is in charge, to the driver, at each distance counted down")
    lost_contact: Entry[str] = Field(description="what everybody knows: when contact is lost, and what is done")
    couple: Entry[str] = Field(description="who is in charge, to the driver")
    pull: Entry[str] = Field(description="who is in charge, to the driver: pull lightly")
    ease_up: Entry[str] = Field(description="who is in charge, to the driver: press lightly before parting")
    draw_away: Entry[str] = Field(description="who is in charge, to the driver: draw away and stop")
    assurance: Entry[str] = Field(description="the driver, to the one who goes between")
    give_back: Entry[str] = Field(description="the one who was between, to the driver")
    bell: Entry[str] = Field(description="said when the bell has answered both ways")

    @field_validator("*")
    @classmethod
    def _only_what_is_filled_in(cls, entry: Entry[str], info: ValidationInfo) -> Entry[str]:
        allowed = FILLED_IN.get(info.field_name or "", EVERYWHERE)
        only_filled(entry.value, allowed)
        return entry
