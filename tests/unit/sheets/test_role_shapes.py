"""One figure for each role, wherever it is drawn."""

import re
from xml.etree import ElementTree

import pytest

from headstock.sheets.role_shapes import role_shape


@pytest.mark.parametrize("letter", "DSGY")
def test_a_figure_stands_about_its_point_within_ten_units(letter: str) -> None:
    shape = ElementTree.fromstring(role_shape(letter, 100, 50, 'fill="none"'))
    assert shape.get("fill") == "none"
    if letter == "S":
        assert (shape.get("cx"), shape.get("cy")) == ("100", "50")
    elif letter == "D":
        assert (float(shape.get("x", 0)) + 8, float(shape.get("y", 0)) + 8) == (100, 50)
    else:
        points = [(float(x), float(y)) for x, y in re.findall(r"([\d.]+) ([\d.]+)", shape.get("d", ""))]
        assert all(abs(x - 100) <= 10 and abs(y - 50) <= 10 for x, y in points)
        assert sum(x for x, _ in points) / len(points) == pytest.approx(100)


def test_no_other_letter_is_a_role() -> None:
    with pytest.raises(KeyError):
        role_shape("X", 0, 0, "")
