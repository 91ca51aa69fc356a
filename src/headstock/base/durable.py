"""What makes a new name in a folder last: the folder itself is brought to the disk, not only the file."""

from __future__ import annotations

import os
from pathlib import Path


def sync_folder(folder: Path) -> None:
    """Names made or changed in a folder are on the disk on return; where folders cannot be opened (Windows) nothing is done.

    Without it a computer that stops may forget a file whose content was synced (POSIX fsync speaks of the file alone).
    Raises OSError.
    """
    if not hasattr(os, "O_DIRECTORY"):
        return
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
