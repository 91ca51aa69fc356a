"""For every test: the marker `outside`, calm property tests, how the house stands, what ./test had to say before pytest began."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

from tests.compiled import CACHE
from tests.outside import OUTSIDE_MARKS, faults_of_marker

HOUSE = "figures of the house"
"""Under this name a test gives lines that stand at the end of the run."""
PUBLISHED = Path(__file__).parent / "published"

os.environ["HEADSTOCK_CACHE"] = str(CACHE)  # before anything of ours is imported

# Shared machines stall: a slow example is no fault. In CI the same examples every time.
settings.register_profile("headstock", deadline=None, derandomize=bool(os.environ.get("CI")))
settings.load_profile("headstock")


@pytest.fixture(scope="session", autouse=True)
def orders_searched_once() -> Iterator[None]:
    """The order of one and the same job is searched once in each process of the tests."""
    from tests.plans_kept import plans_kept

    with plans_kept():
        yield


def _faults(item: pytest.Item) -> Iterator[str]:
    marks = list(item.iter_markers("outside"))
    for mark in marks:
        for fault in faults_of_marker(mark.args, mark.kwargs):
            yield f"outside marker @ {item.nodeid}: {fault}"
    if not marks and item.path.is_relative_to(PUBLISHED):
        yield f"outside marker @ {item.nodeid}: found none, expected one on every test under tests/published"


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Stop the run, with all faults at once, when a marker does not say where its value comes from."""
    faults = [fault for item in items for fault in _faults(item)]
    if faults:
        raise pytest.UsageError("\n".join(faults))
    config.stash[OUTSIDE_MARKS] = [(mark, item.nodeid) for item in items for mark in item.iter_markers("outside")]


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say above the closing line how the house stands, and which stage of ./test failed before pytest began."""
    reports = [report for how in ("passed", "failed") for report in terminalreporter.stats.get(how, ())]
    lines = [line for report in reports for name, line in getattr(report, "user_properties", ()) if name == HOUSE]
    if lines:
        terminalreporter.section(HOUSE)
        terminalreporter.line("\n".join(lines))
    failed = os.environ.get("HEADSTOCK_FAILED_STAGES", "").split()
    if failed:
        terminalreporter.section("failed before the tests", red=True, bold=True)
        terminalreporter.line(", ".join(failed) + ": see above; ./test ends with a fault even if every test passed")
