"""The validation report is whole and of today's checks, shows what is wrong in red letters, and physics names its sources."""

from __future__ import annotations

import ast
import json
from collections.abc import Iterator
from math import inf
from pathlib import Path

import pytest

from headstock.base.errors import ContentError
from headstock.cli.commands.validation import run_validation
from headstock.usecases.not_validated import CLAIMS
from headstock.usecases.validation_report import ValidationReport, load_report
from tests.comparisons import AS_PRINTED, NOT_SAID, ROUND_OFF, reason_of
from tests.gathering import Gathering, key_of
from tests.outside import OUTSIDE_MARKS, Within
from tests.promises.physics_sources import PLUMBING, TOLD, without_source
from tests.promises.tree import ROOT
from tests.promises.validation_page import MAKE_ANEW, PAGE, marked_files, page
from tests.validation_claims import claim_of

Marks = list[tuple[pytest.Mark, str]]
TOY = '''
import pytest
from tests.outside import Within

@pytest.mark.outside(source="statics", clause="by hand", status="computed", why="a toy's")
@pytest.mark.parametrize("mass", [1.0, 2.0])
def test_the_pull_is_mass_times_g(mass):
    assert {factor} * mass == pytest.approx(9.81 * mass, abs=0.013)

@pytest.mark.outside(source="statics", clause="window", status="from memory")
def test_a_time_lies_in_its_window():
    assert 4.0 == Within(3.0, {most})

@pytest.mark.slow
@pytest.mark.outside(source="statics", clause="long", status="computed")
def test_what_takes_long():
    assert 1.0 == pytest.approx(2.0)

def test_unmarked():
    assert 1.0 == pytest.approx(1.0)
'''  # fmt: skip


@pytest.fixture
def marks(request: pytest.FixtureRequest) -> Marks:
    """Every marker of the tests collected in this run."""
    return request.config.stash[OUTSIDE_MARKS]


def _report(pytester: pytest.Pytester, factor: float = 9.81, most: float = 5.0) -> ValidationReport:
    """What becomes of the toy's checks."""
    pytester.makeini("[pytest]\nmarkers =\n    slow: long\n    outside: marked\n")
    pytester.path.joinpath("test_toy.py").write_text(TOY.format(factor=factor, most=most), encoding="utf-8")
    gathering = Gathering()
    pytester.inline_run("-m", "outside and not slow", "-p", "no:cacheprovider", plugins=[gathering])
    (claim, *_) = CLAIMS
    checks = tuple(check.model_copy(update={"claim": claim}) for check in gathering.checks())
    return ValidationReport(made="2000-01-01", files={}, checks=checks)


def test_a_run_gives_expected_computed_tolerance_and_why(pytester: pytest.Pytester) -> None:
    pull, window, long = _report(pytester).checks
    assert (pull.state, pull.passed, window.state, long.state, long.not_run) == ("passed", 2, "passed", "not run", 1)
    first, second = pull.values
    assert (first.expected, first.computed, first.tolerance, first.why) == (9.81, 9.81, 0.013, "a toy's")
    assert (first.what, second.case) == ("9.81 * mass", "2.0")
    assert (window.values[0].expected, window.values[0].computed) == ((3.0, 5.0), 4.0)
    assert pull.against[0].clause == "by hand"


@pytest.mark.parametrize(
    ("factor", "most", "wrong"), [(9.7, 5.0, "the pull is mass times g"), (9.81, 3.5, "a time lies in its window")]
)
def test_a_wrong_value_is_red_everywhere(
    factor: float, most: float, wrong: str, pytester: pytest.Pytester, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    report = _report(pytester, factor, most)
    assert [check.words for check in report.failed] == [wrong]
    assert f"**WRONG**: {wrong}" in page(report) and "| **WRONG** |" in page(report)
    path = tmp_path / "report.json"
    path.write_text(report.model_dump_json(), encoding="utf-8")
    capsys.readouterr()
    assert run_validation(as_json=False, are_all=False, path=path) == 1
    said = capsys.readouterr().out
    assert f"WRONG  {wrong}" in said and "WRONG: " in said and f"Not as the outside says: {wrong}" in said
    assert run_validation(as_json=True, are_all=False, path=path) == 1
    assert json.loads(capsys.readouterr().out)["is_good"] is False


def test_the_report_that_comes_with_the_program_is_good(capsys: pytest.CaptureFixture[str]) -> None:
    report = load_report()
    assert [check.test for check in report.failed] == [], f"mend it, then {MAKE_ANEW}"
    assert run_validation(as_json=False, are_all=True) == 0
    said = capsys.readouterr().out
    assert "WRONG" not in said
    missing = [check.words for check in report.checks if check.words not in said]
    missing += [line for lines in CLAIMS.values() for line in lines if line not in said]
    assert missing == []


def test_a_file_that_is_no_report_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "report.json"
    path.write_text('{"made": "x", "files": {}, "checks": [{"test": 3}]}', encoding="utf-8")
    with pytest.raises(ContentError, match="not a validation report"):
        load_report(path)


def _missing(report: ValidationReport, marks: Marks) -> list[str]:
    """Marked checks of this run that the report lacks, or has with another source, clause or status."""
    known = {(check.test, one) for check in report.checks for one in check.against}
    found = [(nodeid, key_of(nodeid, [mark])) for mark, nodeid in marks]
    return sorted({test for _, (test, against) in found if (test, against[0]) not in known})


def test_every_marked_check_is_in_the_report(marks: Marks) -> None:
    assert _missing(load_report(), marks) == [], MAKE_ANEW


def test_a_marked_check_that_the_report_lacks_is_found(marks: Marks) -> None:
    report = load_report()
    lacking = report.checks[0]
    shorter = report.model_copy(update={"checks": report.checks[1:]})
    mark = pytest.mark.outside(**lacking.against[0].model_dump()).mark
    assert _missing(shorter, [(mark, f"{lacking.test}[3]")]) == [lacking.test]
    other = pytest.mark.outside(**(lacking.against[0].model_dump() | {"clause": "another"})).mark
    assert _missing(report, [(other, lacking.test)]) == [lacking.test]


def test_the_report_is_of_the_checks_as_they_stand() -> None:
    files, known = marked_files(), load_report().files
    changed = [name for name in {*files, *known} if files.get(name) != known.get(name)]
    assert sorted(changed) == [], MAKE_ANEW


def test_the_page_is_made_from_the_report() -> None:
    assert PAGE.read_text(encoding="utf-8") == page(load_report()), f"{MAKE_ANEW} --page"


def test_every_marked_check_speaks_for_a_claim(marks: Marks) -> None:
    nodeids = [nodeid for _, nodeid in marks] + [check.test for check in load_report().checks]
    assert sorted({nodeid for nodeid in nodeids if claim_of(nodeid) is None}) == []
    assert {check.claim for check in load_report().checks} == set(CLAIMS)


@pytest.mark.parametrize(
    ("expected", "tolerance", "why"),
    [(606.5, 0.051, AS_PRINTED), (0.5635, 5e-5, AS_PRINTED), (0.5635, 5e-4, NOT_SAID), (5360.0, 16.0, NOT_SAID),
     (12.0, 1.2e-5, ROUND_OFF), (0.0, 1e-12, ROUND_OFF), (1.0, 0.08, NOT_SAID)],
)  # fmt: skip
def test_the_reason_of_a_tolerance_is_told_where_the_figures_tell_it(expected: float, tolerance: float, why: str) -> None:
    assert reason_of(expected, tolerance) == why


def test_a_window_holds_its_ends_and_nothing_beyond() -> None:
    assert Within(3.0, 5.0) == 3.0 and Within(3.0, 5.0) == 5 and Within(3.0, None) == 9.0 and Within(None, 5.0) == -9.0
    assert Within(3.0, 5.0) != 2.999 and Within(3.0, 5.0) != 5.001 and Within(None, 5.0) != inf - inf and Within(3.0, 5.0) != "4"


# Physics names its sources


def _of_physics() -> Iterator[tuple[str, ast.Module]]:
    for path in sorted((ROOT / "src/headstock/physics").glob("[!_]*.py")):
        yield path.stem, ast.parse(path.read_text(encoding="utf-8"))


def test_every_public_function_of_physics_names_its_source() -> None:
    missing = [f"{module}.{name}" for module, tree in _of_physics() for name in without_source(module, tree)]
    assert missing == [], "say Source: in its docstring or its module's"


def test_what_is_called_plumbing_is_there() -> None:
    found = {f"{module}.{node.name}" for module, tree in _of_physics() for node in tree.body if isinstance(node, ast.FunctionDef)}
    assert sorted((PLUMBING | set(TOLD)) - found) == []


@pytest.mark.parametrize(
    ("text", "missing"),
    [
        ("def pull(m):\n    '''Pull.'''\n", ["pull"]),
        ("def pull(m):\n    '''Pull. Source: statics.'''\n", []),
        ("'''Pulls. Source: statics.'''\ndef pull(m): ...\n", []),
        ("def _pull(m): ...\n", []),
    ],
)
def test_a_function_of_physics_without_a_source_is_found(text: str, missing: list[str]) -> None:
    assert without_source("pulls", ast.parse(text)) == missing
