"""The start commands: plain sh, quick the second time, never ready after a failed install. No network is used."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.promises.tree import ROOT

SHELLS = [shell for shell in ("sh", "dash", "bash") if shutil.which(shell)]


@pytest.mark.parametrize("shell", SHELLS)
@pytest.mark.parametrize("script", ["run", "test", "setup.sh"])
def test_a_start_command_is_plain_sh(shell: str, script: str) -> None:
    result = subprocess.run([shell, "-n", script], cwd=ROOT, capture_output=True, text=True, check=False)
    assert (result.returncode, result.stderr) == (0, "")


@pytest.mark.parametrize("script", ["run", "test"])
def test_a_start_command_names_sh_and_can_be_started(script: str) -> None:
    assert (ROOT / script).read_text(encoding="utf-8").startswith("#!/bin/sh\n")
    assert os.access(ROOT / script, os.X_OK)


def test_ci_calls_the_same_command_that_people_run() -> None:
    assert "exec ./test" in (ROOT / ".ci/run").read_text(encoding="utf-8")


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """The start command alone, in a folder with a blank in its name, with a toy in place of the package."""
    folder = tmp_path / "a copy"
    package = folder / "src/headstock"
    package.mkdir(parents=True)
    for name in ("run", "setup.sh"):
        shutil.copy(ROOT / name, folder / name)
    shutil.copytree(ROOT / "requirements", folder / "requirements")
    (package / "__init__.py").touch()
    (package / "__main__.py").write_text("import os, sys\nprint(os.getcwd(), sys.argv[1:])\n", encoding="utf-8")
    return folder


def _start(folder: Path, *arguments: str, **settings: str) -> subprocess.CompletedProcess[str]:
    elsewhere = folder.parent / "elsewhere"
    elsewhere.mkdir(exist_ok=True)
    return subprocess.run(
        [str(folder / "run"), *arguments],
        cwd=elsewhere,
        env=os.environ | settings,
        capture_output=True,
        text=True,
        check=False,
    )


def _stand_in(folder: Path, *lines: str) -> str:
    """A Python that is new enough and obeys the given lines of sh for everything else."""
    script = folder.parent / "stand-in"
    passed_on = f'case "$2" in *version_info*) exec "{sys.executable}" "$@" ;; esac'
    script.write_text("\n".join(["#!/bin/sh", passed_on, *lines, ""]), encoding="utf-8")
    script.chmod(0o755)
    return str(script)


def _makes_a_venv(folder: Path) -> str:
    """A stand-in whose environments are complete at once: its pip installs nothing, and it imports the toy."""
    site = folder / ".venv/site"
    inner = (
        f'#!/bin/sh\ncase "$*" in *pip\\ install*) exit 0 ;; *sysconfig*) echo "{site}"; exit 0 ;; esac\n'
        f'PYTHONPATH="{folder}/src" exec "{sys.executable}" "$@"\n'
    )
    prepared = folder.parent / "inner"
    prepared.write_text(inner, encoding="utf-8")
    prepared.chmod(0o755)
    return _stand_in(
        folder,
        'case "$*" in *ensurepip*) exit 0 ;; esac',
        f'echo made >>"{folder.parent}/made"',
        f'mkdir -p "$3/bin" "{site}" && cp "{prepared}" "$3/bin/python"',
        'printf "#!/bin/sh\\n" >"$3/bin/uv" && chmod +x "$3/bin/uv"',
    )


def _times_made(folder: Path) -> int:
    return len((folder.parent / "made").read_text(encoding="utf-8").splitlines())


def test_the_first_start_says_so_and_the_second_makes_nothing_again(copy: Path) -> None:
    python = _makes_a_venv(copy)
    first = _start(copy, "one two", "", PYTHON=python)
    assert first.returncode == 0, first.stderr
    assert "first start" in first.stderr and "MB to download" in first.stderr
    assert first.stdout.strip() == f"{copy.parent / 'elsewhere'} ['one two', '']"

    second = _start(copy, PYTHON="/nowhere/python")
    assert (second.returncode, second.stderr) == (0, "")
    assert _times_made(copy) == 1
    assert not (copy / ".venv.lock").is_symlink()


def test_a_changed_lock_file_makes_the_environment_anew(copy: Path) -> None:
    python = _makes_a_venv(copy)
    _start(copy, PYTHON=python)
    with (copy / "requirements/run.txt").open("a", encoding="utf-8") as lock:
        lock.write("    # changed\n")
    assert _start(copy, PYTHON=python).returncode == 0
    assert _times_made(copy) == 2


def test_a_moved_copy_makes_its_environment_anew(copy: Path) -> None:
    _start(copy, PYTHON=_makes_a_venv(copy))
    moved = copy.rename(copy.with_name("moved copy"))
    assert _start(moved, PYTHON=_makes_a_venv(moved)).returncode == 0
    assert _times_made(moved) == 2


def test_a_failed_install_is_never_marked_ready(copy: Path) -> None:
    broken = _stand_in(
        copy,
        'case "$*" in *ensurepip*) exit 0 ;; esac',
        'mkdir -p "$3/bin"',
        'printf "#!/bin/sh\\nexit 1\\n" >"$3/bin/python" && chmod +x "$3/bin/python"',
    )
    for _ in range(2):
        result = _start(copy, PYTHON=broken)
        assert result.returncode == 1
        assert "could not fill" in result.stderr
        assert not (copy / ".venv/.ready").exists()
        assert not (copy / ".venv.lock").is_symlink()
    assert _start(copy, PYTHON=_makes_a_venv(copy)).returncode == 0, "the next start begins again"


def test_a_start_that_was_killed_does_not_block_the_next(copy: Path) -> None:
    dead = subprocess.Popen(["true"])
    dead.wait()
    (copy / ".venv.lock").symlink_to(f"pid-{dead.pid}")
    assert _start(copy, PYTHON=_makes_a_venv(copy)).returncode == 0


def test_two_starts_at_once_make_one_environment(copy: Path) -> None:
    python = _makes_a_venv(copy)
    both = [subprocess.Popen([copy / "run"], env=os.environ | {"PYTHON": python}, stderr=subprocess.DEVNULL) for _ in range(2)]
    assert [start.wait(timeout=60) for start in both] == [0, 0]
    assert _times_made(copy) == 1


def test_without_a_python_it_says_what_to_type(copy: Path) -> None:
    tools = copy.parent / "tools"
    tools.mkdir()
    for name in ("sh", "cat", "cksum", "ln", "rm", "dirname", "readlink", "id"):
        (tools / name).symlink_to(str(shutil.which(name)))
    result = _start(copy, PATH=str(tools), PYTHON="")
    assert result.returncode == 1
    assert "apt-get install python3 python3-venv" in result.stderr
    assert "brew install python" in result.stderr


def test_a_module_where_one_stands_does_not_pass_for_ours(copy: Path) -> None:
    python = _makes_a_venv(copy)
    (copy.parent / "elsewhere").mkdir()
    (copy.parent / "elsewhere/headstock.py").write_text("raise SystemExit(7)\n", encoding="utf-8")
    assert _start(copy, PYTHON=python).returncode == 0
