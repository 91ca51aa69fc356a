"""The samples of an air case as a Parquet file that says what it holds."""

from __future__ import annotations

import io

import numpy as np
import pyarrow.parquet as pq
import pytest

from headstock import __version__
from headstock.exchange.air_series import air_series_as_parquet
from headstock.usecases.air_case import AirCaseResult, AirSeries

SERIES = AirSeries(np.array([0.0, 0.5]), ("front", "cyl3"), np.array([[5.0, 0.0], [4.5, 0.25]]))


def result(name: str | None = "leak test", series: AirSeries | None = SERIES) -> AirCaseResult:
    return AirCaseResult(name, (), "fine", "isothermal", 2, 0.1, 0.0, series)


def test_the_file_holds_times_and_each_place_with_its_unit() -> None:
    table = pq.read_table(io.BytesIO(air_series_as_parquet(result())))
    assert table.to_pydict() == {"t_s": [0.0, 0.5], "front_bar_gauge": [5.0, 4.5], "cyl3_bar_gauge": [0.0, 0.25]}


def test_the_file_says_case_solver_gas_model_and_edition() -> None:
    metadata = pq.read_schema(io.BytesIO(air_series_as_parquet(result()))).metadata
    said = {key.decode(): value.decode() for key, value in metadata.items()}
    assert said == {"case": "leak test", "solver": "fine", "gas": "isothermal", "headstock": __version__}
    assert pq.read_schema(io.BytesIO(air_series_as_parquet(result(None)))).metadata[b"case"] == b""


def test_the_columns_are_packed_with_zstd() -> None:
    group = pq.ParquetFile(io.BytesIO(air_series_as_parquet(result()))).metadata.row_group(0)
    assert {group.column(number).compression for number in range(group.num_columns)} == {"ZSTD"}


def test_a_result_without_its_series_is_not_written() -> None:
    with pytest.raises(ValueError, match="without its series"):
        air_series_as_parquet(result(series=None))
