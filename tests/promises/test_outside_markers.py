"""A value held against the outside world says where it comes from and who has seen it."""

from pathlib import Path

import pytest

from tests.outside import NO_SOURCE, faults_of_marker

CONFTEST = Path(__file__).parents[1] / "conftest.py"
GOOD = 'source="49 CFR 232.205", clause="(c)(1)", status="read"'


@pytest.mark.parametrize("status", ["read", "second-hand", "from memory", "computed"])
def test_a_marker_with_source_clause_and_status_is_good(status: str) -> None:
    assert not faults_of_marker((), {"source": "49 CFR 232.205", "clause": "(c)(1)", "status": status})


def test_common_practice_needs_no_clause() -> None:
    assert not faults_of_marker((), {"source": NO_SOURCE, "status": "common practice"})


@pytest.mark.parametrize(
    ("named", "said"),
    [
        ({"source": "s", "clause": "c", "status": "seen"}, "status 'seen'"),
        ({"source": "s", "clause": "c"}, "status None"),
        ({"clause": "c", "status": "read"}, "source None"),
        ({"source": " ", "clause": "c", "status": "read"}, "source ' '"),
        ({"source": "s", "status": "read"}, "clause None"),
        ({"source": "s", "clause": "c", "status": "read", "page": 3}, "'page'"),
        ({"source": "s", "clause": "c", "status": "read", "why": " "}, "why ' '"),
        ({"source": "s", "clause": "c", "status": "common practice"}, "go together"),
        ({"source": NO_SOURCE, "clause": "c", "status": "read"}, "go together"),
    ],
)
def test_a_bad_marker_is_told_what_is_wrong(named: dict[str, object], said: str) -> None:
    assert any(said in fault for fault in faults_of_marker((), named))


def _collect(pytester: pytest.Pytester, folder: str, marker: str) -> pytest.RunResult:
    pytester.makeconftest(CONFTEST.read_text(encoding="utf-8"))
    pytester.path.joinpath(folder).mkdir()
    body = f"import pytest\n\n{marker}\ndef test_nothing():\n    pass\n"
    pytester.path.joinpath(folder, "test_toy.py").write_text(body, encoding="utf-8")
    return pytester.runpytest_inprocess("-p", "no:cacheprovider")


def test_a_good_marker_lets_the_tests_run(pytester: pytest.Pytester) -> None:
    _collect(pytester, "published", f"@pytest.mark.outside({GOOD})").assert_outcomes(passed=1)


def test_a_bad_marker_stops_the_tests(pytester: pytest.Pytester) -> None:
    result = _collect(pytester, "unit", "@pytest.mark.outside(source='x', clause='y', status='sure')")
    assert result.ret == pytest.ExitCode.USAGE_ERROR
    result.stderr.fnmatch_lines(["*outside marker @ unit/test_toy.py::test_nothing*'sure'*"])


def test_a_published_value_without_a_marker_stops_the_tests(pytester: pytest.Pytester) -> None:
    result = _collect(pytester, "published", "")
    assert result.ret == pytest.ExitCode.USAGE_ERROR
    result.stderr.fnmatch_lines(["*found none, expected one on every test under tests/published*"])


def test_an_unmarked_test_elsewhere_is_fine(pytester: pytest.Pytester) -> None:
    _collect(pytester, "unit", "").assert_outcomes(passed=1)
