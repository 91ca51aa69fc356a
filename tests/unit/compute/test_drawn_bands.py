"""Bands are kept by content: asked again nothing is reckoned, a damaged file is reckoned anew."""

from __future__ import annotations

from pathlib import Path
from time import process_time

import numpy as np
import pytest

from headstock.brake_test.band_task import BandTask
from headstock.compute.drawn_bands import DrawnBands
from headstock.exchange.signature_store import SignatureStore
from headstock.physics.fast_many import answer_many
from tests.cases.made_records import DRAWN, demo_air


def test_asked_again_nothing_is_reckoned_and_a_damaged_file_is_reckoned_anew(tmp_path: Path) -> None:
    task = BandTask(demo_air(), DRAWN, 8)
    first = DrawnBands(SignatureStore(tmp_path), "code")(task)
    began_s = process_time()
    again = DrawnBands(SignatureStore(tmp_path), "code")(task)
    assert np.array_equal(first, again, equal_nan=True) and process_time() - began_s < 0.5
    (kept,) = tmp_path.glob("*.parquet")
    kept.write_bytes(b"half a file")
    assert np.array_equal(first, DrawnBands(SignatureStore(tmp_path), "code")(task), equal_nan=True)
    DrawnBands(SignatureStore(tmp_path), "other code")(task)
    assert len(tuple(tmp_path.glob("*.parquet"))) == 2


@pytest.mark.slow
def test_two_hundred_trains_take_about_a_second_of_one_core() -> None:
    task = BandTask(demo_air(), DRAWN)
    BandTask(demo_air(), DRAWN, 8).answer(answer_many)
    began_s = process_time()
    task.answer(answer_many)
    assert process_time() - began_s < 2.0
