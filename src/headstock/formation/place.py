"""A place where trains are joined: gradient, sides, light, what stands or moves beside it."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from headstock.base.documents import read_document
from headstock.base.errors import ContentError, InputError
from headstock.base.loading import load_as
from headstock.base.quantities import parse_quantity, slope_from
from headstock.base.sources import Source, missing_source_keys
from headstock.formation.curve_at_joint import BEND_WORDS, Bend, CurveAtJoint
from headstock.physics.atmosphere import standard_atmosphere_pa

Direction = Annotated[str, Field(min_length=1, max_length=20)]


class Place(BaseModel):
    """One road at one place. ``gradient`` is text: ``level``, ``1 in 150`` or ``6.7 per mille``."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    name: str = Field(min_length=1, description="the place and the road, as people call it")
    edition: str = Field(min_length=1, description="edition of this description")
    invented: bool = Field(description="true: made up for demonstration or training; sheets say so")
    sources: dict[str, Source] = Field(min_length=1, description="where the facts come from, by a key of one's own")
    source: str = Field(description="key in `sources`: where gradient, length and the rest come from")
    directions: tuple[Direction, Direction] = Field(
        description="the two directions of the road; a job lists units from the first to the second"
    )
    gradient: str = Field(description="`level`, `1 in 150` or `6.7 per mille`")
    falls_towards: Direction | None = Field(
        default=None, description="the direction in which it falls; left out where it is level"
    )
    curve_radius_m: float | None = Field(
        default=None, ge=25, le=100_000, description="radius of the sharpest curve at the joint [m]; left out on straight track"
    )
    curve: Bend | None = Field(default=None, description=BEND_WORDS)
    usable_length_m: float = Field(gt=10, le=5000, description="length of road that may be used [m]")
    power_supply: Literal["none", "third rail", "overhead"] = Field(description="live rail or wire beside or over the road")
    supply_at_most_a: float | None = Field(
        default=None, gt=0, le=20_000, description="most that a train may draw from wire or rail here [A]"
    )
    pantographs_apart_at_least_m: float | None = Field(
        default=None, gt=0, le=400, description="least between two raised pantographs under the wire here [m]"
    )
    next_road_open: bool = Field(description="whether trains may pass on the next road")
    working_side: str = Field(min_length=1, description="the side from which one works, in a word")
    height_m: float = Field(
        default=0.0, ge=-430, le=5500, description="height above the sea [m]: the air outside is thinner there; left out, 0"
    )
    lit: bool = Field(description="whether one sees a sign at night")
    joining_allowed: bool = Field(description="whether the place's own instructions allow joining here")

    @model_validator(mode="after")
    def _slope_makes_sense(self) -> Place:
        wrong = []
        if self.directions[0] == self.directions[1]:
            wrong.append("directions must be two different words")
        try:
            slope = self.slope
        except InputError as error:
            raise ValueError("; ".join([*wrong, f"gradient: {error.what}"])) from None
        if not 0 <= slope <= 0.1:
            wrong.append(f"gradient {self.gradient} is outside level to 100 per mille")
        if slope and self.falls_towards not in self.directions:
            wrong.append(f"falls_towards must be one of {' and '.join(self.directions)}")
        if not slope and self.falls_towards is not None:
            wrong.append("a level road falls nowhere: leave falls_towards out")
        if (self.curve_radius_m is None) != (self.curve is None):
            wrong.append(
                "curve_radius_m and curve belong together: a curve says its radius and how it bends, straight track neither"
            )
        if wrong:
            raise ValueError("; ".join(wrong))
        return self

    @property
    def curve_at_joint(self) -> CurveAtJoint | None:
        """The curve on which ends meet here; None on straight track."""
        return None if self.curve_radius_m is None else CurveAtJoint(self.curve_radius_m, self.curve)

    @property
    def atmosphere_pa(self) -> float:
        """The pressure of the open air here on a day of the standard atmosphere [Pa]."""
        return standard_atmosphere_pa(self.height_m)

    @property
    def slope(self) -> float:
        """Gradient as a fraction, rise over run, never negative."""
        if self.gradient.strip() == "level":
            return 0.0
        return slope_from(parse_quantity(self.gradient))

    def slope_words(self) -> str:
        """``falls 1 in 150 towards south`` or ``level``."""
        return "level" if not self.slope else f"falls {self.gradient} towards {self.falls_towards}"


def load_place(path: Path) -> Place:
    """A place from its file. Raises InputError with every fault."""
    document = read_document(path)
    place = load_as(document, Place, "place")
    unlisted = missing_source_keys(place, place.sources).faults(document, place.sources)
    if unlisted:
        raise ContentError(unlisted)
    return place
