"""What is installed is named with its hash and without an address."""

import re
import tomllib
from pathlib import Path

import pytest

from tests.promises.tree import ROOT, kept_files

LOCKS = sorted((ROOT / "requirements").glob("*.txt"))
PIN = re.compile(r"^(?P<name>[A-Za-z0-9._-]+)==(?P<version>\S+)(?P<marker> ;.*?)? \\$")


def _pins(lock: str) -> set[str]:
    text = (ROOT / "requirements" / lock).read_text(encoding="utf-8")
    return {line.removesuffix(" \\") for line in text.splitlines() if PIN.match(line)}


def _names(lock: str) -> set[str]:
    return {pin.split("==")[0] for pin in _pins(lock)}


def test_there_are_lock_files() -> None:
    assert [lock.name for lock in LOCKS] == ["bench.txt", "installer.txt", "proof.txt", "run.txt", "test.txt"]


@pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: lock.name)
def test_a_lock_file_holds_no_address_and_no_index_option(lock: Path) -> None:
    for line in lock.read_text(encoding="utf-8").splitlines():
        assert "://" not in line and " @ " not in line, line
        assert not line.lstrip().startswith("-") or line.lstrip().startswith("--hash=sha256:"), line


@pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: lock.name)
def test_every_line_of_a_lock_file_is_a_pin_a_hash_or_a_remark(lock: Path) -> None:
    lines = lock.read_text(encoding="utf-8").splitlines()
    for line, following in zip(lines, [*lines[1:], ""], strict=True):
        if PIN.match(line):
            assert following.startswith("    --hash=sha256:"), f"no hash after: {line}"
        else:
            assert re.match(r"^    (--hash=sha256:[0-9a-f]{64}( \\)?|#.*)$", line), line


def test_tests_run_with_the_very_packages_that_people_run() -> None:
    assert _pins("run.txt") <= _pins("test.txt")


def test_every_dependency_of_the_package_is_locked() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    run = {re.split(r"[^A-Za-z0-9-]", wanted)[0] for wanted in project["dependencies"]}
    test = {re.split(r"[^A-Za-z0-9-]", wanted)[0] for wanted in project["optional-dependencies"]["test"]}
    assert run <= _names("run.txt")
    assert test <= _names("test.txt")
    assert not test & _names("run.txt"), "what only tests need is not installed for everybody"


def test_no_lock_file_that_names_registries_is_kept() -> None:
    names = {path.name for path in kept_files()}
    assert not {name for name in names if name in ("uv.lock", "poetry.lock", "package-lock.json", "yarn.lock")}
    assert not {name for name in names if name.startswith("pylock")}


@pytest.mark.parametrize("made", ["/sheets/", "uv.lock", "pylock.toml", "/.venv*", "__pycache__/"])
def test_what_is_made_here_is_not_offered_to_git(made: str) -> None:
    assert made in (ROOT / ".gitignore").read_text(encoding="utf-8").splitlines()
