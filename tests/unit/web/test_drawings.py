"""Drawings for a page: in the page's palette only, every part a link to what is said of it, told never solid."""

import re
from pathlib import Path
from types import SimpleNamespace
from xml.etree import ElementTree

import pytest

from headstock.devices.scene import COUPLE, GAP
from headstock.equipment.library import load_fleet
from headstock.sheets.svg import train_svg
from headstock.usecases.job_file import load_job
from headstock.usecases.job_stands import stands_as_found
from headstock.web.drawings.end_front import end_front
from headstock.web.drawings.ink import on_page, part_id
from headstock.web.drawings.joint_side import _between, joint_side
from headstock.web.drawings.ribbon import along_train, pipe_ribbon
from headstock.web.drawings.strip import Beside, train_strip
from headstock.web.drawings.working import working_train

JOBS = Path(__file__).parents[3] / "src" / "headstock" / "usecases" / "jobs"
SVG = "{http://www.w3.org/2000/svg}"
FLEET = load_fleet()


def drawn(job: str) -> dict[str, str]:
    papers = load_job(JOBS / f"{job}.yaml")
    stands = stands_as_found(papers, FLEET)
    joint = stands.train.joint_to_make
    beside = Beside(papers.place, stands.train.outer_ends[0], papers.job.work == "attach")
    return {"strip": train_strip(stands, beside), "narrow": train_strip(stands, beside, narrow=True),
            "first": end_front(stands, joint.first), "second": end_front(stands, joint.second),
            "joint": joint_side(stands, beside.is_apart)}  # fmt: skip


@pytest.mark.parametrize("job", sorted(path.stem for path in JOBS.glob("*.yaml")))
def test_every_drawing_is_well_formed_and_has_no_colour_of_its_own(job: str) -> None:
    for name, picture in drawn(job).items():
        root = ElementTree.fromstring(picture)
        assert root.get("aria-label"), name
        assert not re.findall(r"#[0-9a-fA-F]{3,8}\b(?![-\w])", re.sub(r'href="#[^"]*"|url\(#[\w-]+\)', "", picture)), name
        assert "style=" not in picture and "NaN" not in picture


def test_every_cock_hose_and_jumper_of_the_train_is_on_the_strip_with_its_state() -> None:
    papers = load_job(JOBS / "demo-attach.yaml")
    stands = stands_as_found(papers, FLEET)
    root = ElementTree.fromstring(drawn("demo-attach")["strip"])
    links = {link.get("href"): link.get("aria-label") for link in root.iter(f"{SVG}a")}
    wanted = [(at, spec) for at, spec in stands.train.devices() if spec.kind in ("end cock", "hose", "jumper")]
    assert len(wanted) == 20
    for at, _ in wanted:
        label = links[f"#{part_id(at.key())}"]
        assert label is not None and stands.values[at.key()] in label and label.endswith(", told")


@pytest.mark.parametrize("name", ["strip", "joint"])
def test_nothing_told_is_filled_from_the_side(name: str) -> None:
    root = ElementTree.fromstring(drawn("demo-attach")[name])
    for link in root.iter(f"{SVG}a"):
        assert all(
            one.get("fill") in ("none", "var(--ground)") for one in link.iter() if one.tag in (f"{SVG}rect", f"{SVG}circle")
        )


def test_the_parts_of_an_end_can_be_walked_one_by_one() -> None:
    root = ElementTree.fromstring(drawn("demo-attach")["second"])
    labels = [link.get("aria-label") or "" for link in root.iter(f"{SVG}a")]
    assert len(labels) == 10 and any("brake pipe cock: shut" in label for label in labels)


@pytest.mark.parametrize(("couple", "words"), [("apart", ["gap apart"]), ("locked", ["gap apart", "couple locked"])])
def test_ends_and_couple_that_are_apart_are_said_to_be_so_once(couple: str, words: list[str]) -> None:
    variables = {key: SimpleNamespace(say=f"{name} {{}}".format) for key, name in ((GAP, "gap"), (COUPLE, "couple"))}
    stands = SimpleNamespace(variables=variables, values={GAP: "apart", COUPLE: couple})
    assert _between(stands) == words  # type: ignore[arg-type]


def test_the_joint_shows_both_ends_and_nothing_else() -> None:
    root = ElementTree.fromstring(drawn("demo-attach")["joint"])
    places = {(link.get("href") or "")[len("#about-") :][:5] for link in root.iter(f"{SVG}a")}
    assert places == {"217-2", "226-1"} and len(list(root.iter(f"{SVG}a"))) == 10


def test_a_long_train_is_folded_on_a_phone_and_counted() -> None:
    assert drawn("demo-attach")["narrow"].count("2 more") == 2


def test_the_wedge_is_thick_at_the_high_end() -> None:
    picture = drawn("demo-attach")["strip"]
    assert re.search(r"L0 138[.0]*z", picture), "the road falls towards the second direction"


def test_a_ribbon_is_as_thick_as_its_pressure_and_says_how_it_is_known() -> None:
    told, unknown, empty = (pipe_ribbon("brake pipe", value) for value in (3.4, None, 0.0))
    assert "stroke-dasharray" in told and "V18" in told, "5 px a bar"
    assert "url(#hatch-bp)" in unknown and "2 6" in empty
    assert "front 5.0, rear 3.4" in along_train(5.0, 3.4)


def test_vehicles_done_stand_on_their_blocks_the_others_are_hatched() -> None:
    picture = working_train(8, 0.5)
    assert picture.count("url(#hatch-ink)") == 8 and picture.count('fill="var(--ink)"') == 8


def test_a_drawing_for_paper_gets_the_pages_palette() -> None:
    from headstock.sheets.content import TrainDrawing, VehicleDrawing

    paper = train_svg(TrainDrawing(((VehicleDrawing("1", True, True, 20.0, "H", True, True),),), (True,), "left", "", "", ""))
    assert "#17140f" in paper and "#" not in on_page(paper).replace("url(#", "")
