"""The two start commands on a system with nothing on it, as root and as somebody who may install nothing. Slow, not everywhere.

A root of its own is laid by ``debootstrap`` (a package of Debian's) and entered by ``chroot``, which only the superuser may.
``HEADSTOCK_BARE_ROOT=whole`` runs all of ``./test`` in it, a quarter of an hour more.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.promises.tree import ROOT

BUNDLE = Path("/etc/ssl/certs/ca-certificates.crt")
ENTER = """set -e
mount -t proc proc {root}/proc
mount --bind /dev {root}/dev
exec chroot {root} /usr/bin/env -i PATH=/usr/sbin:/usr/bin:/sbin:/bin LC_ALL=C.UTF-8 \
    PIP_CERT={bundle} SSL_CERT_FILE={bundle} sh -c "$1"
"""
OURS, THEIRS = "/srv/ours", "/srv/theirs"
FEW = "tests/unit/base -q -p no:cacheprovider"
"""Some tests, to see that they are run at all."""


def missing() -> str:
    """Why it cannot be done here; nothing where it can."""
    if os.name != "posix" or not hasattr(os, "geteuid") or os.geteuid() != 0:
        return "only the superuser may enter another root"
    absent = [name for name in ("debootstrap", "chroot", "unshare") if shutil.which(name) is None]
    return f"there is no {', '.join(absent)}" if absent else ""


@pytest.fixture(scope="module")
def bare(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    if missing():
        pytest.skip(missing())
    root = tmp_path_factory.mktemp("bare") / "root"
    laid = subprocess.run(["debootstrap", "--variant=minbase", "--include=ca-certificates", "bookworm", root],
                          capture_output=True, text=True, check=False)  # fmt: skip
    if laid.returncode:
        pytest.skip(f"no system could be laid: {laid.stdout.splitlines()[-1:]}")
    for path in (Path("/etc/resolv.conf"), Path("/etc/hosts"), BUNDLE):
        if path.is_file():
            shutil.copy(path, root / path.relative_to("/"))
    for where in (OURS, THEIRS):
        subprocess.run(["git", "clone", "-q", ROOT, root / where[1:]], check=True)
    inside(root, f"useradd -m plain && chown -R plain {THEIRS}")
    yield root
    shutil.rmtree(root, ignore_errors=True)


def inside(root: Path, command: str, *, plain: bool = False) -> tuple[int, str]:
    """Exit status and all that a command says in that root; ``plain``: said by somebody who may install nothing."""
    where = THEIRS if plain else OURS
    whole = f"cd {where} && exec su plain -c '{command}'" if plain else f"cd {where} && {command}"
    enter = ENTER.format(root=root, bundle=BUNDLE)
    done = subprocess.run(["unshare", "-m", "sh", "-c", enter, "sh", whole], capture_output=True, text=True, check=False)
    return done.returncode, done.stdout + done.stderr


def install(root: Path, *names: str) -> None:
    """As the text on the screen says."""
    status, said = inside(root, f"apt-get -qq update && DEBIAN_FRONTEND=noninteractive apt-get -qq -y install {' '.join(names)}")
    assert status == 0, said[-2000:]


@pytest.mark.slow
def test_from_nothing_it_installs_what_it_needs_or_says_exactly_what_to_type(bare: Path) -> None:
    for command in ("./test " + FEW, "./run"):  # one story, told in order: without Python, without its venv module, with both
        status, said = inside(bare, command)
        assert status != 0 and "apt-get install python3 python3-venv" in said, said
    install(bare, "python3", "--no-install-recommends")
    status, said = inside(bare, "./test " + FEW, plain=True)
    assert status != 0 and "apt-get install --no-install-recommends python3.11-venv" in said, said
    status, said = inside(bare, "./test " + FEW)
    assert status == 0 and re.search(r"^\d+ passed\b", said, re.MULTILINE), said[-2000:]
    there = "command -v chromium && ls /usr/lib/postgresql/*/bin/initdb"
    assert inside(bare, there)[0] == 0
    status, said = inside(bare, "./test " + FEW, plain=True)
    assert status == 0, said[-2000:]
    status, said = inside(bare, "./run 2>&1", plain=True)
    assert status == 0, said[-2000:]
    sheet = said.splitlines()[-1].strip()
    assert sheet.endswith(".pdf") and inside(bare, f"test -s {sheet}", plain=True)[0] == 0, said[-2000:]


@pytest.mark.slow
@pytest.mark.skipif(os.environ.get("HEADSTOCK_BARE_ROOT") != "whole", reason="asked for by HEADSTOCK_BARE_ROOT=whole alone")
def test_the_whole_of_it_passes_from_nothing(bare: Path) -> None:
    install(bare, "python3", "git", "--no-install-recommends")
    status, said = inside(bare, "CI=1 ./test")
    assert status == 0, said[-6000:]


def test_why_it_cannot_be_done_here_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "geteuid", lambda: 1000)
    assert missing() == "only the superuser may enter another root"
    monkeypatch.setattr(os, "geteuid", lambda: 0)
    monkeypatch.setattr(shutil, "which", lambda name: None if name == "debootstrap" else name)
    assert missing() == "there is no debootstrap"
