"""A module imports only from floors below its own."""

import ast
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.promises.tree import ROOT


def _lint_imports(folder: Path) -> subprocess.CompletedProcess[str]:
    call = "import sys; from importlinter.cli import lint_imports_command; lint_imports_command()"
    return subprocess.run(
        [sys.executable, "-c", call, str(ROOT / "pyproject.toml"), "--no-cache"],
        cwd=folder,
        env=os.environ | {"PYTHONPATH": str(folder)},
        capture_output=True,
        text=True,
        check=False,
    )


def test_every_floor_is_kept() -> None:
    result = _lint_imports(ROOT / "src")
    assert result.returncode == 0, result.stdout + result.stderr


@pytest.fixture
def toy(tmp_path: Path) -> Path:
    """A package of the same name with empty floors, which keeps every contract."""
    for name in ("", "base", "physics", "reasoning", "equipment", "formation", "usecases", "practice"):
        (tmp_path / "headstock" / name).mkdir()
        (tmp_path / "headstock" / name / "__init__.py").touch()
    return tmp_path


def test_empty_floors_are_kept(toy: Path) -> None:
    assert _lint_imports(toy).returncode == 0


@pytest.mark.parametrize(
    ("module", "line", "said"),
    [
        ("physics/pipe.py", "import headstock.equipment", "physics.pipe -> headstock.equipment"),
        ("physics/pipe.py", "import headstock.reasoning", "physics.pipe -> headstock.reasoning"),
        ("base/late.py", "def late() -> None:\n    import headstock.physics", "base.late -> headstock.physics"),
        ("helpers/odds.py", "", "helpers"),
        ("equipment/unit_type.py", "import yaml", "equipment.unit_type -> yaml"),
        ("formation/train.py", "import typst", "formation.train -> typst"),
        ("usecases/attach.py", "import rich.table", "usecases.attach -> rich"),
        ("practice/sitting.py", "import fastapi", "practice.sitting -> fastapi"),
        ("usecases/attach.py", "import sqlalchemy", "usecases.attach -> sqlalchemy"),
        ("usecases/air_case.py", "import pyarrow", "usecases.air_case -> pyarrow"),
    ],
)
def test_a_broken_floor_is_noticed(toy: Path, module: str, line: str, said: str) -> None:
    path = toy / "headstock" / module
    path.parent.mkdir(exist_ok=True)
    path.parent.joinpath("__init__.py").touch()
    path.write_text(line + "\n", encoding="utf-8")
    result = _lint_imports(toy)
    assert result.returncode == 1
    assert said in result.stdout, result.stdout


def test_nobody_goes_past_the_doorway_of_wiring() -> None:
    past = [
        f"{path.relative_to(ROOT)}: {module}"
        for path in sorted((ROOT / "src" / "headstock").rglob("*.py"))
        if path.parent.name != "wiring"
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        for module in _imported(node)
        if module.startswith("headstock.wiring.")
    ]
    assert past == []


def _imported(node: ast.AST) -> list[str]:
    if isinstance(node, ast.ImportFrom):
        return [node.module or ""]
    return [name.name for name in node.names] if isinstance(node, ast.Import) else []
