"""Tables that the fast solver's stepping works on: what each row holds, and where a place of a lane stands in it.

``pipe``: cell i of lane w stands at LEAD + i x lanes + w, and so does the face behind that cell; the face before the first cell
stands one place earlier. ``side``: brake k at k x lanes + w. ``lane``: one figure a lane, at w. Rows are read and written eight
numbers at a time: with one lane that is eight cells, with eight lanes one cell of each. Room is left at both ends of a row.
"""

from __future__ import annotations

import numpy as np

from headstock.physics.arrays import Floats
from headstock.physics.eight import WIDTH

LEAD = WIDTH
P, P1, Q, Q1, DRAWN = range(5)
"""Of the pipe: pressures [Pa], flows [kg/s], what branches drew in the last step [kg/s]; 1: the level before."""
CAP, MOMENTUM, PULL, SLIM, REYNOLDS, WALL, LOSS, BRANCH, ROUGH, ROUGH_ROOT, ROUGH_FLOW, ROUGH_LAST = range(5, 17)
"""Of the pipe, from the grid."""
GUESS, PUSH, EXTRA, A, B, LOW, HIGH, NEW, FORWARD, BACKWARD, GIVEN, WEIGHT, SUM, SHARE, UNIT, GIVES, BEHIND = range(17, 34)
"""Of the pipe, room to work in."""
PIPE_ROWS, COLUMNS = 34, 12
CHAMBER, CHAMBER1, RESERVOIR, RESERVOIR1, CYLINDER, AIM = range(6)
"""Of a brake: what it remembers."""
CHAMBER_CHOKE, STORE_CHOKE, FED_BY_PIPE, LEAK_AREA, VOLUME, GAIN, MOST, FILLS, RELEASES, OVER_CHAMBER, OVER_STORE = range(6, 17)
"""Of a brake, from the grid."""
HERE, FILL, STORE, LEAK, MORE_LOW, MORE_HIGH, TAKEN = range(17, 24)
"""Of a brake, room to work in."""
SIDE_ROWS = 24
FED, OUT, SPENT, FED1, OUT1, SPENT1 = range(6)
"""Of a lane: what was fed, let out and put into cylinders [kg]; 1: the level before."""
HALF_0, HALF_1, AREA_0, AREA_1 = range(6, 10)
"""Of a lane: friction of the half cells at both ends, and the ends' cross-sections."""
VALVE_0, VALVE_1 = 10, 17
"""Of a lane: seven figures of the valve at either end, as in ``fine_faces``."""
DT, SHORT, RATIO, NOW, BEFORE, OVER_ALPHA, TAKES, LOOKS, ERROR, SUM_OUT, SUM_SPENT, STOP, LANDS = range(24, 37)
SLOPE_0, SLOPE_1, FLOW_0, FLOW_1, AT_0, AT_1 = range(37, 43)
"""Of a lane: the step under way; what the valve at either end passes as a line, and where it is looked at."""
OUTSIDE = 43
"""Of a lane: the atmosphere's pressure [Pa]."""
LANE_ROWS = 44
GRID_OF_BRAKE = (1, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12)
"""Rows of the grid's brakes that the stepping reads, in order of CHAMBER_CHOKE and so on."""
TIME, NEXT_DT, LAST_DT, STEPS = range(4)
"""Of a lane's clock."""
SOME_PA = 1e5
"""What stands where no cell is."""


def pipe_table(cells: int, lanes: int) -> Floats:
    """Room for the pipe of some lanes."""
    table = np.zeros((PIPE_ROWS, LEAD + -(-cells * lanes // WIDTH) * WIDTH + WIDTH))
    table[[P, P1, GUESS, NEW, WEIGHT]] = SOME_PA
    return table


def side_table(brakes: int, lanes: int) -> Floats:
    """Room for the brakes of some lanes."""
    table = np.zeros((SIDE_ROWS, -(-brakes * lanes // WIDTH) * WIDTH))
    table[[CHAMBER, CHAMBER1, RESERVOIR, RESERVOIR1, HERE]] = SOME_PA
    table[[FILLS, RELEASES]] = 1.0
    return table


def lane_table() -> Floats:
    """Room for one figure a lane."""
    return np.zeros((LANE_ROWS, WIDTH))
