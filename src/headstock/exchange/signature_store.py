"""Blocks of signatures kept as Parquet files in a folder: one file a block, written beside and renamed."""

from __future__ import annotations

import tempfile
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq
from numpy.typing import NDArray

Floats = NDArray[np.float64]
MOST_KEPT = 2000


@dataclass(frozen=True)
class SignatureStore:
    """A folder of blocks; unreadable files count as not there, a full disk only means not kept."""

    folder: Path

    def kept(self, name: str) -> Floats | None:
        """A block (scenarios, readings), or None."""
        try:
            table = pq.read_table(self._path(name))
            self._path(name).touch()
        except (OSError, pa.ArrowException):
            return None
        columns = [column.to_numpy() for column in table.columns]
        return np.stack(columns, axis=1) if columns else np.zeros((table.num_rows, 0))

    def has(self, name: str) -> bool:
        """Whether a file of that name is there."""
        return self._path(name).is_file()

    def keep(self, name: str, block: Floats) -> None:
        """Keep a block; the oldest give way when there are too many."""
        table = pa.table({f"reading_{number + 1}": block[:, number] for number in range(block.shape[1])})
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            with tempfile.NamedTemporaryFile(dir=self.folder, suffix=".part", delete=False) as part:
                pq.write_table(table, part, compression="zstd")
            Path(part.name).replace(self._path(name))
            self._forget_oldest()
        except OSError:
            return

    def _path(self, name: str) -> Path:
        return self.folder / f"{name}.parquet"

    def _forget_oldest(self) -> None:
        kept = sorted(self.folder.glob("*.parquet"), key=lambda path: path.stat().st_mtime)
        for path in kept[: max(0, len(kept) - MOST_KEPT)]:
            path.unlink(missing_ok=True)
