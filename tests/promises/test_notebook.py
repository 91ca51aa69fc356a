"""The names for notebooks: quick to import, documented, and the notebook of the tutorial shows what it shows."""

from __future__ import annotations

import copy
import inspect
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

import headstock
from tests.cases.stored_readings import keep_for_commands
from tests.promises import notebook_page, python_page
from tests.promises.tree import ROOT

FIGURES = re.compile(r"[-−]?\d+(?:\.\d+)?")
UNITS = re.compile(r"\b(bar|m|mm|km/h|s|seconds|minutes|psi|per mille|unit|units)\b|--json")


def test_importing_takes_less_than_a_twentieth_of_a_second() -> None:
    call = "import time; began = time.perf_counter(); import headstock; print(time.perf_counter() - began)"
    started = [sys.executable, "-c", call]
    runs = [subprocess.run(started, cwd=ROOT / "src", capture_output=True, text=True, check=True) for _ in range(5)]
    assert min(float(run.stdout) for run in runs) < 0.05


def test_what_is_offered_is_there_and_is_no_floor_s_name() -> None:
    floors = {path.stem for path in (ROOT / "src" / "headstock").iterdir()}
    assert set(headstock.OFFERED) & floors == set()
    assert set(headstock.OFFERED) <= set(dir(headstock))
    assert all(getattr(headstock, name) is not None for name in headstock.OFFERED)
    with pytest.raises(AttributeError, match="has no attribute 'plam'"):
        _ = headstock.plam  # type: ignore[attr-defined]


def test_type_checkers_are_told_the_same_names() -> None:
    text = (ROOT / "src" / "headstock" / "__init__.py").read_text(encoding="utf-8")
    assert set(re.findall(r"import (\w+) as \1", text)) == set(headstock.OFFERED)


def test_no_floor_asks_the_root_for_anything_but_its_version() -> None:
    other = re.compile(r"^\s*(?:from headstock import (?!__version__|notebook\b)|import headstock$)", re.MULTILINE)
    asked = [path for path in (ROOT / "src" / "headstock").rglob("*.py") if other.search(path.read_text(encoding="utf-8"))]
    assert asked == []


@pytest.mark.parametrize("name", python_page.asked())
def test_every_question_is_documented_with_errors_source_and_types(name: str) -> None:
    one = python_page.asked()[name]
    said = inspect.getdoc(one) or ""
    assert "Raises InputError" in said and "Source:" in said
    empty = inspect.Parameter.empty
    parameters = inspect.signature(one).parameters.values()
    assert all(parameter.annotation is not empty for parameter in parameters)
    figures = [parameter for parameter in parameters if "float" in str(parameter.annotation)]
    assert all(re.search(r"_(kmh|m|mm|s|bar)$", parameter.name) for parameter in figures), "units stand in the names"
    assert not figures or UNITS.search(said)


def test_the_page_of_python_is_what_the_docstrings_say() -> None:
    assert python_page.PAGE.read_text(encoding="utf-8") == python_page.page(), (
        "make it anew: python -m tests.promises.python_page"
    )
    assert len(python_page.asked()) > 11


@pytest.fixture(scope="module")
def ran(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """The notebook run now."""
    keep_for_commands(8, "rear-application")
    return notebook_page.run(notebook_page.read(), tmp_path_factory.mktemp("notebook"))


def _without_figures(cells: list[dict[str, Any]]) -> list[Any]:
    """Outputs, drawings without their figures: the last digit of a coordinate may be another machine's."""
    found: list[Any] = []
    for cell in cells:
        for output in cell.get("outputs", ()):
            data = output.get("data", {})
            drawn = {mime: FIGURES.sub("0", "".join(text)) for mime, text in data.items() if mime != "text/plain"}
            found.append((output.get("text"), data.get("text/plain"), drawn))
    return found


def test_the_notebook_shows_what_its_cells_show(ran: dict[str, Any]) -> None:
    kept = notebook_page.read()
    assert _without_figures(ran["cells"]) == _without_figures(kept["cells"]), "run it: python -m tests.promises.notebook_page"
    assert sum(cell["cell_type"] == "code" for cell in kept["cells"]) > 12


def test_every_question_but_those_told_is_in_the_notebook() -> None:
    text = "".join("".join(cell["source"]) for cell in notebook_page.read()["cells"] if cell["cell_type"] == "code")
    left_out = {name for name in python_page.asked() if f"hs.{name}(" not in text}
    assert left_out == {"check", "mistakes", "load_fleet", "due"}


def test_a_cell_that_fails_fails_the_run(tmp_path: Path) -> None:
    broken = copy.deepcopy(notebook_page.read())
    broken["cells"] = [cell for cell in broken["cells"] if cell["cell_type"] == "code"][:1]
    broken["cells"][0]["source"] = ["import headstock as hs\n", "hs.load_job('nowhere')"]
    with pytest.raises(headstock.InputError, match="job not found"):
        notebook_page.run(broken, tmp_path)


def test_the_notebook_carries_the_caution_and_its_links_lead_somewhere() -> None:
    cells = notebook_page.read()["cells"]
    first = "".join(cells[0]["source"])
    assert "planning and training aid" in first and "invented" in first
    words = "".join("".join(cell["source"]) for cell in cells if cell["cell_type"] == "markdown")
    links = re.findall(r"\]\(([^)#]+)\)", words)
    assert links and all((notebook_page.PAGE.parent / link).exists() for link in links)


@pytest.mark.outside(source="NBFORMAT-4.5", clause="notebook, markdown cell, code cell, output", status="from memory")
def test_the_notebook_is_one_of_format_4_5() -> None:
    kept = notebook_page.read()
    assert (kept["nbformat"], kept["nbformat_minor"]) == (4, 5)
    assert set(kept) == {"cells", "metadata", "nbformat", "nbformat_minor"}
    idents = [cell["id"] for cell in kept["cells"]]
    assert len(set(idents)) == len(idents) and all(re.fullmatch(r"[a-zA-Z0-9_-]{1,64}", ident) for ident in idents)
    for cell in kept["cells"]:
        own = {"execution_count", "outputs"} if cell["cell_type"] == "code" else set()
        assert set(cell) == {"cell_type", "id", "metadata", "source"} | own
        for output in cell.get("outputs", ()):
            need = {"stream": {"name", "text"}, "execute_result": {"data", "execution_count", "metadata"}}[output["output_type"]]
            assert set(output) == {"output_type"} | need
