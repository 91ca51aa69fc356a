"""The tree names no machine it was made on, no registry, and none of the papers it was made from."""

import re
from collections.abc import Iterator

import pytest

from tests.promises.tree import ROOT, kept_files, lines_of, place

# Put together from parts, so that this file does not hold what it looks for.
HOSTS = [
    "py" + "pi.org",
    "python" + "hosted.org",
    "registry." + "npmjs",
    "deb." + "debian.org",
    "archive." + "ubuntu.com",
    "crates" + ".io",
    "conda" + ".anaconda.org",
]
PATHS = ["/" + folder for folder in ("work/", "root/", "tmp/hs", "opt/wheels", "opt/pypi", "home/", "Users/")]
WORDS = ["trans" + "cript", "seed " + "document", "open" + "ai", "anth" + "ropic", "language " + "model"]
EXEMPT = {"DEVELOPERS.md"}  # how the work is organised


def _found(pattern: str) -> Iterator[str]:
    wanted = re.compile(pattern, re.IGNORECASE)
    for path in kept_files():
        if path.name in EXEMPT or path.suffix == ".svg":
            continue
        for number, line in lines_of(path):
            if match := wanted.search(line):
                yield f"{match[0]!r} @ {place(path, number)}"


@pytest.mark.parametrize("host", HOSTS)
def test_no_registry_is_named(host: str) -> None:
    assert not list(_found(re.escape(host)))


@pytest.mark.parametrize("path", PATHS)
def test_no_folder_of_a_machine_is_named(path: str) -> None:
    # A path begins where no other path character stands before it, so a folder of that name inside the tree is no finding.
    assert not list(_found(r"(?<![\w.\-/}])" + re.escape(path)))


@pytest.mark.parametrize("word", WORDS)
def test_no_word_of_the_workshop_is_used(word: str) -> None:
    assert not list(_found(r"\b" + re.escape(word) + r"s?\b"))


def test_the_search_reads_the_tree() -> None:
    assert ROOT / "pyproject.toml" in kept_files()
    assert list(_found(r"^name = .headstock.$")), "a word that is there is found"
