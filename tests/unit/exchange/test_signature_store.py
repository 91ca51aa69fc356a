"""Blocks on disk: as they were laid there, whole or not at all, and nothing on disk can stop the work."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from headstock.exchange import signature_store
from headstock.exchange.signature_store import SignatureStore

BLOCK = np.array([[5.0, 3.4, np.pi], [0.0, -0.04, 1e-9]])


def test_a_block_is_read_back_to_the_last_bit(tmp_path: Path) -> None:
    store = SignatureStore(tmp_path / "deep" / "down")
    assert store.kept("one") is None
    store.keep("one", BLOCK)
    assert np.array_equal(store.kept("one"), BLOCK)
    assert store.kept("other") is None
    assert [path.suffix for path in store.folder.iterdir()] == [".parquet"]


def test_what_is_half_written_or_is_no_block_counts_as_not_there(tmp_path: Path) -> None:
    store = SignatureStore(tmp_path)
    store.keep("one", BLOCK)
    whole = (tmp_path / "one.parquet").read_bytes()
    (tmp_path / "one.parquet").write_bytes(whole[: len(whole) // 2])
    (tmp_path / "two.parquet").write_text("not a table", encoding="utf-8")
    assert store.kept("one") is None and store.kept("two") is None
    store.keep("one", BLOCK)
    assert np.array_equal(store.kept("one"), BLOCK)


def test_a_folder_that_cannot_be_written_only_means_not_kept(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    store = SignatureStore(tmp_path / "file")
    store.keep("one", BLOCK)
    assert store.kept("one") is None


def test_the_oldest_give_way(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import os

    monkeypatch.setattr(signature_store, "MOST_KEPT", 3)
    store = SignatureStore(tmp_path)
    for number in range(5):
        store.keep(str(number), BLOCK)
        os.utime(tmp_path / f"{number}.parquet", (number, number))
    store.keep("last", BLOCK)
    assert {path.stem for path in tmp_path.glob("*.parquet")} == {"3", "4", "last"}
