"""Writing of answers: all files of a command whole, or none of them."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Mapping
from pathlib import Path

from headstock.base.errors import Fault, InputError


def check_writable(paths: Mapping[str, Path], kept: Path | None = None) -> None:
    """Say before long work what could not be written after it. Keys are the options that name the paths.

    Raises InputError with every fault: a folder that is not there, a folder in the way, ``kept`` or the same file twice.
    """
    faults: list[Fault] = []
    seen = {kept.resolve(): "the file that is read"} if kept is not None else {}
    for option, path in paths.items():
        real = path.resolve()
        if real in seen:
            faults.append(
                Fault("a file would be written over", str(path), path=option, found=seen[real], expected="another file")
            )
        elif path.is_dir():
            faults.append(Fault("cannot be written", str(path), path=option, found="a folder", expected="a file"))
        elif not real.parent.is_dir():
            expected = "a folder that is there"
            faults.append(Fault("cannot be written", str(path), path=option, found=f"no folder {path.parent}", expected=expected))
        seen.setdefault(real, f"the file of {option}")
    if faults:
        raise InputError(faults)


def write_whole(contents: Mapping[Path, bytes], cure: str = "Name another file.") -> None:
    """Write every file beside its place first, then put all in place. Raises InputError; then none has changed."""
    waiting: list[tuple[Path, Path]] = []
    try:
        for path, content in contents.items():
            if path.exists() and not path.is_file():
                path.write_bytes(content)  # a device or a pipe takes what it is given
                continue
            waiting.append((_beside(path, content), path.resolve()))
        for made, path in waiting:
            os.replace(made, path)
    except OSError as error:
        fault = Fault("cannot be written", str(path), found=error.strerror or str(error), expected="a place one can write to")
        raise InputError(fault, cure=cure) from None
    finally:
        for made, _ in waiting:
            made.unlink(missing_ok=True)


def _beside(path: Path, content: bytes) -> Path:
    """The content in a new file in the same folder, with the rights that a file made there would have."""
    real = path.resolve()
    handle, name = tempfile.mkstemp(prefix=f".{real.name[:80]}.", dir=real.parent)
    made = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
        umask = os.umask(0)
        os.umask(umask)
        made.chmod(real.stat().st_mode & 0o777 if real.exists() else 0o666 & ~umask)
    except OSError:
        made.unlink(missing_ok=True)
        raise
    return made
