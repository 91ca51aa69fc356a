"""How much of an axle's weight braking may ask of the rail, by the number of axles of the train and by speed."""

from __future__ import annotations

from headstock.base.errors import OutsideModelError
from headstock.physics.speed_law import KMH, SpeedBand, SpeedLaw, law_through

CURTIUS_UP_TO_M_S = 160.0 * KMH
"""Speed to which the checked table of the dry adhesion goes [m/s]."""
FEW_AXLES, MANY_AXLES, MANY_AXLES_TESTED = 7, 20, 16
"""Up to and from how many axles the limit changes (Regulation (EU) No 1302/2014, 4.2.4.6.1(1))."""


def design_adhesion_law(axles: int, is_least_load: bool = False, slide_tested: bool = False) -> SpeedLaw:
    """Greatest adhesion a brake may count on, each wheelset, by speed.

    0.15; 0.13 with 7 axles or fewer; 0.17 only at minimum load with 20 axles or more (16 if the slide test is passed);
    from 250 to 350 km/h falling by 0.05. Parameter: axles [-], 2 or more. Returns: adhesion [-] up to 350 km/h; published above
    30 km/h and taken below as well. Raises: OutsideModelError below 2 axles. Source: LOCPAS-TSI-1302-2014, 4.2.4.6.1(1).

    >>> design_adhesion_law(6).at(20.0), design_adhesion_law(8).at(20.0), round(design_adhesion_law(8).at(300 / 3.6), 6)
    (0.13, 0.15, 0.125)
    """
    if axles < 2:
        raise OutsideModelError(f"axles: found {axles}, expected 2 or more")
    value = 0.13 if axles <= FEW_AXLES else 0.15
    if is_least_load and axles >= (MANY_AXLES_TESTED if slide_tested else MANY_AXLES):
        value = 0.17
    name = f"adhesion of a train of {axles} axles"
    return law_through(name, [(0.0, value), (250.0 * KMH, value), (350.0 * KMH, value - 0.05)])


def curtius_kniffler_law() -> SpeedLaw:
    """Adhesion of dry rails, as traction uses it; braking counts on far less.

    Equation: mu = 0.161 + 7.5 / (V + 44), V [km/h], 0 to 160. Returns: adhesion [-]. Source: Curtius and Kniffler, from memory.

    >>> round(curtius_kniffler_law().at(0.0), 4), round(curtius_kniffler_law().at(80 / 3.6), 4)
    (0.3315, 0.2215)
    """
    band = SpeedBand(0.0, 0.161 + 7.5 / 44.0, 0.161 * 3.6 / 44.0, 3.6 / 44.0)
    return SpeedLaw("adhesion of dry rails (Curtius and Kniffler)", (band,), CURTIUS_UP_TO_M_S)
