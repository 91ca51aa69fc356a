"""The package root is light, and says which version it is."""

import re
import subprocess
import sys

import headstock
from tests.promises.tree import ROOT

HEAVY = ("pydantic", "yaml", "rich", "typer", "typst", "pint", "numpy")


def test_importing_the_package_root_loads_nothing_heavy() -> None:
    call = f"import sys, headstock; print([name for name in {HEAVY!r} if name in sys.modules])"
    result = subprocess.run([sys.executable, "-c", call], cwd=ROOT / "src", capture_output=True, text=True, check=True)
    assert result.stdout.strip() == "[]"


def test_the_version_is_one_that_a_changelog_can_name() -> None:
    assert re.fullmatch(r"\d+\.\d+\.\d+(\.dev\d+)?", headstock.__version__)
    assert headstock.__version__ in (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")


def test_the_types_of_the_package_are_offered_to_others() -> None:
    assert (ROOT / "src/headstock/py.typed").is_file()
