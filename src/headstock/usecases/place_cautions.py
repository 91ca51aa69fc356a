"""What a place adds to the cautions: the usual ones for its road, never less than the local rules say."""

from __future__ import annotations

from headstock.formation.place import Place


def place_cautions(place: Place) -> tuple[str, ...]:
    """Cautions for working at a place, in the order in which they can hurt."""
    found = []
    if place.power_supply == "third rail":
        found.append("Third rail: treat all of it and every shoe as live.")
    if place.power_supply == "overhead":
        found.append("Overhead line: never climb, carry long things level, keep clear.")
    if place.next_road_open:
        found.append(f"The next road is open to traffic: work from the {place.working_side} side.")
    if not place.lit:
        found.append("No light: a sign that you cannot see is not made.")
    if place.slope:
        found.append(f"The road {place.slope_words()}: prove each hold before another comes off.")
    return tuple(found)
