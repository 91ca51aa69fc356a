"""What is kept in the repository: the files a commit would hold, with or without git at hand."""

import subprocess
from collections.abc import Iterator
from fnmatch import fnmatch
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
# Only for a copy without git; git itself reads .gitignore.
NOT_KEPT = (".git", ".venv*", "__pycache__", ".*_cache", ".hypothesis", "build", "dist", "*.egg-info", "*.pyc")
MADE_AT_THE_ROOT = ("sheets",)


@cache
def kept_files() -> tuple[Path, ...]:
    """Every file that is tracked, or would be if it were added now."""
    try:
        listed = subprocess.run(
            ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
            cwd=ROOT,
            capture_output=True,
            check=True,
        ).stdout
        files = [ROOT / name for name in listed.decode().split("\0") if name]
    except (OSError, subprocess.CalledProcessError):
        files = [path for path in ROOT.rglob("*") if not _is_made(path.relative_to(ROOT))]
    return tuple(sorted(path for path in set(files) if path.is_file()))


def _is_made(path: Path) -> bool:
    return path.parts[0] in MADE_AT_THE_ROOT or any(fnmatch(part, name) for part in path.parts for name in NOT_KEPT)


def lines_of(path: Path) -> Iterator[tuple[int, str]]:
    """Numbered lines of a text file; nothing for a font or a picture."""
    try:
        yield from enumerate(path.read_text(encoding="utf-8").splitlines(), start=1)
    except UnicodeDecodeError:
        return


def place(path: Path, line: int) -> str:
    """As an editor can open it."""
    return f"{path.relative_to(ROOT)}:{line}"
