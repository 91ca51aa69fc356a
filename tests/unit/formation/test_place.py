"""A place: its gradient in the words of the trade, and nothing in it that cannot be."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.base.errors import ContentError, InputError
from headstock.formation.place import Place, load_place
from headstock.usecases.job_file import PLACES_FOLDER

TEXT = (PLACES_FOLDER / "harrow-ings-3.yaml").read_text(encoding="utf-8")
GRADIENT, FALLS = "gradient: 1 in 150", "falls_towards: south\n"


def loaded(folder: Path, *changes: tuple[str, str]) -> Place:
    text = TEXT
    for before, after in changes:
        assert before in text
        text = text.replace(before, after, 1)
    (folder / "place.yaml").write_text(text, encoding="utf-8")
    return load_place(folder / "place.yaml")


@pytest.mark.parametrize("path", sorted(PLACES_FOLDER.glob("*.yaml")), ids=lambda path: path.stem)
def test_a_built_in_place_loads_and_says_that_it_is_invented(path: Path) -> None:
    place = load_place(path)
    assert place.invented
    assert 0 <= place.slope <= 0.1


@pytest.mark.parametrize(
    ("gradient", "slope"),
    [("1 in 150", 1 / 150), ("6.7 per mille", 0.0067), ("6.7 ‰", 0.0067), ("1 in 10", 0.1), ("100 per mille", 0.1)],
)
def test_a_gradient_is_read_in_the_words_of_the_trade(gradient: str, slope: float, tmp_path: Path) -> None:
    place = loaded(tmp_path, (GRADIENT, f"gradient: {gradient}"))
    assert place.slope == pytest.approx(slope, rel=1e-12)
    assert place.slope_words() == f"falls {gradient} towards south"


@pytest.mark.parametrize("gradient", ["level", "0 per mille"])
def test_a_level_road_falls_nowhere(gradient: str, tmp_path: Path) -> None:
    place = loaded(tmp_path, (GRADIENT, f"gradient: {gradient}"), (FALLS, ""))
    assert (place.slope, place.falls_towards, place.slope_words()) == (0.0, None, "level")
    with pytest.raises(ContentError, match="a level road falls nowhere: leave falls_towards out"):
        loaded(tmp_path, (GRADIENT, f"gradient: {gradient}"))


@pytest.mark.parametrize("falls", ["falls_towards: up\n", ""])
def test_a_slope_falls_towards_one_of_the_two_directions(falls: str, tmp_path: Path) -> None:
    with pytest.raises(ContentError, match="falls_towards must be one of north and south"):
        loaded(tmp_path, (FALLS, falls))


@pytest.mark.parametrize("gradient", ["1 in 9.9", "100.1 per mille", "1 in 0.5", "-1 in 150", "-6.7 per mille"])
def test_a_slope_too_steep_or_below_nothing_is_refused(gradient: str, tmp_path: Path) -> None:
    with pytest.raises(ContentError, match="is outside level to 100 per mille") as caught:
        loaded(tmp_path, (GRADIENT, f"gradient: {gradient}"))
    assert gradient in caught.value.text()


@pytest.mark.parametrize(
    ("gradient", "words"),
    [
        ("steep", "no number with a unit"),
        ("1 in 0", "slope not understood"),
        ("1 in x", "slope not understood"),
        ("6,7 per mille", "nearest 6.7 per mille"),
        ("6.7", "put it in quotes"),
        ("6.7 per mile", "nearest 6.7 per mille"),
        ("6.7 bar", "not a slope"),
        (".nan", "not a finite number"),
    ],
)
def test_what_is_no_gradient_is_refused_with_the_cure(gradient: str, words: str, tmp_path: Path) -> None:
    with pytest.raises(InputError) as caught:
        loaded(tmp_path, (GRADIENT, f"gradient: {gradient}"))
    assert words in caught.value.text()
    assert caught.value.exit_status == 2


def test_two_directions_are_two_words_and_every_contradiction_is_told(tmp_path: Path) -> None:
    with pytest.raises(ContentError) as caught:
        loaded(tmp_path, ("[north, south]", "[north, north]"))
    said = caught.value.text()
    assert "directions must be two different words" in said
    assert "falls_towards must be one of" in said


def test_a_gradient_not_understood_hides_no_other_fault(tmp_path: Path) -> None:
    with pytest.raises(ContentError, match=r"two different words.*no number with a unit"):
        loaded(tmp_path, ("[north, south]", "[north, north]"), (GRADIENT, "gradient: steep"))


@pytest.mark.parametrize(
    ("before", "after", "path", "words"),
    [
        ("usable_length_m: 240", "usable_length_m: 9", "usable_length_m", "more than 10"),
        ("power_supply: none", "power_supply: third rale", "power_supply", "nearest third rail"),
        ("lit: false", "lit: off", "lit", "nearest false"),
        ("[north, south]", "[north]", "directions[1]", "missing item"),
        ("working_side: east", "workin_side: east", "workin_side", "nearest working_side"),
        ("source: demo\nd", "source: dmeo\nd", "source", "nearest demo"),
    ],
)
def test_a_wrong_entry_is_told_at_its_place(before: str, after: str, path: str, words: str, tmp_path: Path) -> None:
    with pytest.raises(ContentError) as caught:
        loaded(tmp_path, (before, after))
    fault = next(fault for fault in caught.value.faults if fault.path == path)
    assert words in fault.text()
    assert fault.line


def test_a_place_on_a_curve_says_its_radius_and_how_it_bends(tmp_path: Path) -> None:
    assert loaded(tmp_path).curve_at_joint is None
    place = loaded(tmp_path, (GRADIENT, f"{GRADIENT}\ncurve_radius_m: 180\ncurve: reverse curve"))
    assert place.curve_at_joint is not None
    assert place.curve_at_joint.words == "a reverse curve of 180 m"
    for half in ("curve_radius_m: 180", "curve: one curve"):
        with pytest.raises(ContentError, match="belong together"):
            loaded(tmp_path, (GRADIENT, f"{GRADIENT}\n{half}"))


@pytest.mark.parametrize("line", ["curve_radius_m: 24.9", "curve_radius_m: -180", "curve: one curved"])
def test_a_curve_that_cannot_be_is_refused(line: str, tmp_path: Path) -> None:
    with pytest.raises(ContentError, match="curve"):
        loaded(tmp_path, (GRADIENT, f"{GRADIENT}\n{line}"))


def test_a_place_on_a_height_has_thinner_air_and_one_that_says_nothing_lies_at_the_sea(tmp_path: Path) -> None:
    assert loaded(tmp_path).atmosphere_pa == 101325.0
    assert loaded(tmp_path, (FALLS, FALLS + "height_m: 1500\n")).atmosphere_pa == pytest.approx(84559.7, abs=0.1)
    with pytest.raises(InputError, match="height_m"):
        loaded(tmp_path, (FALLS, FALLS + "height_m: 9000\n"))
