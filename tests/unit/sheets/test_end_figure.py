"""Every part of every end is named once, inside the figure, none over another."""

import itertools
import re
from xml.etree import ElementTree

import pytest

from headstock.equipment.library import load_fleet
from headstock.formation.join_way import TypeEnd
from headstock.sheets.end_figure import PITCH_MM, TOP_MM, coupler_icon, end_figure, named_parts
from headstock.sheets.svg import PRINT

ENDS = [TypeEnd(f"{name}/{end}", unit, end) for name, unit in load_fleet().types.items() for end in ("1", "2")]


@pytest.mark.parametrize("end", ENDS, ids=lambda end: end.name)
def test_every_part_has_its_name_and_place(end: TypeEnd) -> None:
    parts = named_parts(end)
    assert [part.number for part in parts] == list(range(1, len(parts) + 1))
    assert "coupler" in [part.name for part in parts]
    drawn = end_figure(end, PRINT, has_names=True)
    root = ElementTree.fromstring(drawn)
    texts = [one for one in root.iter("{http://www.w3.org/2000/svg}text") if one.get("text-anchor") in ("start", "end")]
    names = [one for one in texts if re.match(r"\d", one.text or "")]
    assert [one.text for one in sorted(names, key=lambda one: int((one.text or "").split()[0]))] == [
        f"{part.number} {part.name}" for part in parts]  # fmt: skip
    for anchor in ("start", "end"):
        heights = [float(one.get("y", "0")) for one in names if one.get("text-anchor") == anchor]
        assert all(-TOP_MM <= y <= 0 for y in heights)
        assert all(later - sooner > PITCH_MM - 35 for sooner, later in itertools.pairwise(heights))


@pytest.mark.parametrize("end", ENDS, ids=lambda end: end.name)
def test_drawings_for_pages_carry_no_style_attribute(end: TypeEnd) -> None:
    for drawn in (end_figure(end, PRINT, True), end_figure(end, PRINT, False), coupler_icon(end, PRINT)):
        ElementTree.fromstring(drawn)
        assert "style=" not in drawn


def test_how_a_part_stands_is_said_in_the_words_of_a_job_s_page() -> None:
    said = {part.name: part.stands for part in named_parts(TypeEnd("tarn/1", load_fleet().find("tarn"), "1"))}
    assert said["coupler"] == "head raised, pin home, keeper in, knuckle shut" and said["brake pipe cock"] == "shut"
