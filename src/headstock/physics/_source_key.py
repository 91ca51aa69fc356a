"""What the kept results of physics hang on: the digest of its sources, and the folder in which they lie."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path

from platformdirs import user_cache_path


def source_key(folder: Path | None = None) -> str:
    """Digest of every source file of a folder (this package), in the order of their names."""
    digest = hashlib.sha256()
    for path in sorted((folder or Path(__file__).parent).glob("*.py")):
        digest.update(path.name.encode() + b"\0" + path.read_bytes() + b"\0")
    return digest.hexdigest()[:16]


def cache_folder() -> Path:
    """Where compiled code and reckoned runs are kept: ``HEADSTOCK_CACHE`` if set, else the user's cache folder."""
    root = os.environ.get("HEADSTOCK_CACHE")
    return Path(root) if root else user_cache_path("headstock", appauthor=False)
