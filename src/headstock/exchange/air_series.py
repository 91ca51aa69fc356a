"""Samples of an air case as a Parquet file: a column of times and one for each place, with its unit in its name."""

from __future__ import annotations

import io

import pyarrow as pa
import pyarrow.parquet as pq

from headstock import __version__
from headstock.usecases.air_case import AirCaseResult


def air_series_as_parquet(result: AirCaseResult) -> bytes:
    """The file's content (zstd); its metadata say case, solver, gas model and edition. The result must hold its series."""
    series = result.series
    if series is None:
        raise ValueError("the result was made without its series")
    said = {"case": result.name or "", "solver": result.solver, "gas": result.gas, "headstock": __version__}
    columns = {"t_s": series.t_s}
    columns |= {f"{place}_bar_gauge": series.bar[:, number] for number, place in enumerate(series.places)}
    table = pa.table(columns).replace_schema_metadata(said)
    content = io.BytesIO()
    pq.write_table(table, content, compression="zstd")
    return content.getvalue()
