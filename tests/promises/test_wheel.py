"""What is handed out works outside the checkout: wheel and sdist are built, put into a fresh environment, and started there.

Needs uv and an index of packages, or what uv has kept of one; says that it was skipped where neither is.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tarfile
import zipfile
from collections.abc import Iterator
from pathlib import Path
from urllib.request import urlopen

import pytest

import headstock
from tests.cases.jobs import DEMO
from tests.promises.tree import ROOT, kept_files

pytestmark = pytest.mark.slow
DEVELOPMENT = ("pytest", "mypy", "hypothesis", "ruff", "playwright", "distributed", "duckdb", "psycopg", "IPython")
LONGEST_S = 900
Said = subprocess.CompletedProcess[str]


def _uv() -> str:
    beside = Path(sys.executable).with_name("uv")
    found = str(beside) if beside.exists() else shutil.which("uv")
    if found is None:
        pytest.skip("no uv here")
    return found


def _run(*words: str | Path, at: Path, **settings: str) -> Said:
    outer = {key: value for key, value in os.environ.items() if key not in ("PYTHONPATH", "VIRTUAL_ENV")}
    return subprocess.run([str(word) for word in words], cwd=at, env=outer | settings, capture_output=True, text=True,
                          check=False, timeout=LONGEST_S)  # fmt: skip


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the sdist, and the wheel that was made from it."""
    out = tmp_path_factory.mktemp("dist")
    done = _run(_uv(), "build", "--quiet", "--out-dir", out, ROOT, at=out)
    if done.returncode and ("hatchling" in done.stderr or "network" in done.stderr.lower()):
        pytest.skip(f"no index of packages to build with: {done.stderr[-300:]}")
    assert done.returncode == 0, done.stderr
    return out


@pytest.fixture(scope="module")
def fresh(built: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The environment with what the lock file for use names and the wheel, nothing else."""
    folder = tmp_path_factory.mktemp("fresh")
    assert _run(_uv(), "venv", "--quiet", "--python", sys.executable, folder / "venv", at=folder).returncode == 0
    python = folder / "venv" / "bin" / "python"
    install = (_uv(), "pip", "install", "--quiet", "--no-deps", "--python", python)
    needed = _run(*install, "--require-hashes", "-r", ROOT / "requirements" / "run.txt", at=folder)
    if needed.returncode:
        pytest.skip(f"no index of packages to install from: {needed.stderr[-300:]}")
    done = _run(*install, next(built.glob("*.whl")), at=folder)
    assert done.returncode == 0, done.stderr
    return folder


def _headstock(fresh: Path, *words: str | Path) -> Said:
    own = {"HEADSTOCK_DATA": str(fresh / "data"), "HEADSTOCK_CACHE": str(fresh / "cache"), "HOME": str(fresh)}
    return _run(fresh / "venv" / "bin" / "headstock", *words, at=fresh, **own)


def test_every_file_of_the_package_is_in_the_wheel_and_in_the_sdist(built: Path) -> None:
    ours = {path.relative_to(ROOT / "src").as_posix() for path in kept_files() if path.is_relative_to(ROOT / "src")}
    assert len(ours) > 800 and {Path(name).suffix for name in ours} >= {".yaml", ".ttf", ".woff2", ".html", ".css", ".js", ".typ"}
    with zipfile.ZipFile(next(built.glob("*.whl"))) as wheel:
        inside = {name for name in wheel.namelist() if not name.startswith(f"headstock-{headstock.__version__}.dist-info/")}
    assert inside == ours
    with tarfile.open(next(built.glob("*.tar.gz"))) as sdist:
        names = {name.partition("/")[2] for name in sdist.getnames()}
    assert {f"src/{name}" for name in ours} <= names
    assert {"CHANGELOG.md", "LICENSE", "README.md", "docs/tutorial/notebook.ipynb"} <= names


def test_what_is_said_of_the_wheel(built: Path) -> None:
    with zipfile.ZipFile(next(built.glob("*.whl"))) as wheel:
        about = wheel.read(f"headstock-{headstock.__version__}.dist-info/METADATA").decode("utf-8")
    assert f"\nVersion: {headstock.__version__}\n" in about
    assert f"\n## {headstock.__version__}" in (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")
    for extra, package in (("postgres", "psycopg"), ("cluster", "distributed"), ("study", "duckdb")):
        assert f"\nProvides-Extra: {extra}\n" in about
        assert any(package in line and f"extra == '{extra}'" in line for line in about.splitlines())


def test_no_development_package_is_in_the_fresh_environment(fresh: Path) -> None:
    call = f"import importlib.util as u; print([n for n in {DEVELOPMENT!r} if u.find_spec(n)])"
    assert _run(fresh / "venv" / "bin" / "python", "-c", call, at=fresh).stdout.strip() == "[]"


def test_it_says_its_version_and_is_the_one_that_was_installed(fresh: Path) -> None:
    assert _headstock(fresh, "--version").stdout.strip() == headstock.__version__
    where = _run(fresh / "venv" / "bin" / "python", "-c", "import headstock; print(headstock.__file__)", at=fresh).stdout.strip()
    assert Path(where).is_relative_to(fresh / "venv")


def test_it_plans_and_prints_the_sheet(fresh: Path) -> None:
    (fresh / "my-job.yaml").write_text(DEMO.read_text(encoding="utf-8"), encoding="utf-8")
    done = _headstock(fresh, "plan", "my-job.yaml")
    assert done.returncode == 0, done.stderr
    assert "No order of these steps costs less." in " ".join(done.stdout.split())
    assert (fresh / done.stdout.splitlines()[-1]).read_bytes()[:5] == b"%PDF-"


def test_records_are_made_with_their_tables(fresh: Path) -> None:
    assert _headstock(fresh, "records", "note", "defect", "hose chafed", "--who", "P. Oad", "--unit", "217").returncode == 0
    assert "Nothing was altered" in _headstock(fresh, "records", "verify").stdout


def test_a_notebook_s_names_are_there(fresh: Path) -> None:
    call = "import headstock as hs; job = hs.load_job('demo-attach'); print(job.drawing._repr_svg_()[:4], hs.load_fleet().answer)"
    done = _run(fresh / "venv" / "bin" / "python", "-c", call, at=fresh, HEADSTOCK_CACHE=str(fresh / "cache"))
    assert done.stdout.strip() == "<svg 8 types", done.stderr


@pytest.fixture
def served(fresh: Path) -> Iterator[str]:
    """The address at which the installed server answers."""
    own = {"HEADSTOCK_DATA": str(fresh / "data"), "HEADSTOCK_CACHE": str(fresh / "cache"), "HOME": str(fresh)}
    outer = {key: value for key, value in os.environ.items() if key != "PYTHONPATH"}
    command = [str(fresh / "venv" / "bin" / "headstock"), "serve", "--port", "0"]
    with subprocess.Popen(command, cwd=fresh, env=outer | own, stdout=subprocess.PIPE, text=True) as server:
        assert server.stdout is not None
        yield server.stdout.readline().split()[3].rstrip("/")
        server.terminate()
        server.wait(timeout=30)


def test_it_serves_its_pages_with_styles_scripts_and_fonts(served: str, fresh: Path) -> None:
    with urlopen(served, timeout=30) as page:
        text = page.read().decode("utf-8")
    assert "This turn" in text and f"Headstock {headstock.__version__}" in text
    static = fresh / "venv/lib" / f"python{sys.version_info[0]}.{sys.version_info[1]}" / "site-packages/headstock/web/static"
    files = [path for path in static.rglob("*") if path.suffix in (".css", ".js", ".woff2", ".svg")]
    assert len({path.suffix for path in files}) == 4
    for path in files:
        with urlopen(f"{served}/static/{path.relative_to(static).as_posix()}", timeout=30) as one:
            assert one.status == 200 and one.read() == path.read_bytes()
