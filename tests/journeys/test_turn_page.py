"""A supervisor's turn: an empty book, a new job by its three choices, a ready job, a job file, in a browser."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.journeys.browser import axe_faults, each_look

Visit = Callable[..., Any]


def fits(page: Any) -> bool:
    return bool(page.evaluate("document.documentElement.scrollWidth <= innerWidth"))


def test_an_empty_book_has_one_sentence_and_one_way_on(visit: Visit) -> None:
    page = visit("/")
    assert "No job is on the book" in page.inner_text("main")
    page.get_by_role("link", name="New job").click()
    page.get_by_role("heading", name="New job").wait_for()


@each_look
@pytest.mark.parametrize("path", ["/jobs/new", "/jobs/file"])
def test_everybody_can_use_the_forms(visit: Visit, path: str, size: dict[str, int], theme: str) -> None:
    page = visit(path, size, theme)
    assert axe_faults(page) == [] and fits(page)


def chosen(page: Any) -> None:
    page.get_by_label("Unit 1: number or name").fill("217")
    page.get_by_label("Unit 2: number or name").fill("226")
    page.get_by_role("button", name="How it was left").click()
    page.get_by_role("heading", name="How it was left").wait_for()


@each_look
def test_three_choices_and_how_it_was_left_make_a_job(visit: Visit, size: dict[str, int], theme: str) -> None:
    page = visit("/jobs/new", size, theme)
    chosen(page)
    assert axe_faults(page) == [] and fits(page)
    assert page.get_by_role("group", name="Brake pipe cock").first.get_by_label("shut").is_checked()
    page.get_by_label("What the job is called").fill(f"Made on {theme} {size['width']}")
    for role, name in (("Driver", "M. Iden"), ("Shunter", "J. Tolk"), ("Guard", "P. Oad")):
        page.get_by_label(role, exact=True).fill(name)
    page.get_by_role("button", name="Make the job").click()
    page.get_by_role("heading", name="Made on").wait_for()
    page.goto("/")
    assert page.get_by_role("link", name=f"Made on {theme} {size['width']}").count() == 1
    assert axe_faults(page) == [] and fits(page)


def test_faults_stand_beside_their_fields_and_nothing_is_lost(visit: Visit) -> None:
    page = visit("/jobs/new")
    chosen(page)
    page.get_by_label("What the job is called").fill("Kept")
    page.get_by_label("Driver", exact=True).fill("M. Iden")
    page.get_by_label("Controls the finished train").select_option("226/1")
    page.get_by_role("button", name="Make the job").click()
    page.get_by_role("alert").wait_for()
    field = page.get_by_label("Controls the finished train")
    assert field.get_attribute("aria-invalid") == "true"
    assert "not an outer end" in page.locator(f"#{field.get_attribute('aria-describedby')}").inner_text()
    assert page.get_by_label("What the job is called").input_value() == "Kept"
    assert page.get_by_label("Driver", exact=True).input_value() == "M. Iden"
    assert axe_faults(page) == []
    visit.said.clear()  # type: ignore[attr-defined]


def test_the_form_needs_no_script(visit: Visit) -> None:
    page = visit("/jobs/new", scripts=False)
    chosen(page)
    page.get_by_role("button", name="Back to the choices").click()
    assert page.get_by_label("Unit 2: number or name").input_value() == "226"


def test_a_wrong_job_file_says_where_and_keeps_its_text(visit: Visit, tmp_path: Path) -> None:
    page = visit("/jobs/file")
    page.get_by_label("Or paste its text").fill("headstock: job 1\ntitle: x\n")
    page.get_by_role("button", name="Put it on the book").click()
    page.get_by_role("alert").wait_for()
    assert "the job file" in page.inner_text("main") and "Nothing was saved" in page.inner_text("main")
    assert "title: x" in page.get_by_label("Or paste its text").input_value()
    sent = tmp_path / "tonight.yaml"
    sent.write_text("headstock: place 1\n", encoding="utf-8")
    page.set_input_files("#file", sent)
    page.get_by_role("button", name="Put it on the book").click()
    page.get_by_text("tonight.yaml").first.wait_for()
    assert axe_faults(page) == []
    visit.said.clear()  # type: ignore[attr-defined]
