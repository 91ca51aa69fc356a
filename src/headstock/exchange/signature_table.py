"""All signatures of a test as one Parquet file: a row a scenario, its faults by kind, place and degree, then the readings."""

from __future__ import annotations

import io
import json
from collections.abc import Sequence
from dataclasses import asdict

import pyarrow as pa
import pyarrow.parquet as pq

from headstock import __version__
from headstock.brake_test.stage_readings import ReadingPlace
from headstock.exchange.fault_columns import fault_columns, fault_fields
from headstock.local_rules.limit_figures import unit_of
from headstock.usecases.all_signatures import BlockByBlock, JobSignatures, SignatureRow
from headstock.usecases.standing_caution import STANDING_CAUTION

WORD = pa.dictionary(pa.int32(), pa.string())
UNITS = {"share": "share", "l/min": "l_per_min", "km/h": "km_per_h"}
"""Of readings that are no pressures, in the names of columns."""


def column_of(place: ReadingPlace) -> str:
    """Name of a reading's column, with its unit."""
    unit = "bar_per_min" if place.limit == "leak_at_most_bar_per_min" else UNITS.get(unit_of(place.limit, "bar"), "bar")
    return f"{place.stage.replace(' ', '_')}_{unit}"


def signatures_parquet(asked: JobSignatures, each: BlockByBlock) -> bytes:
    """The file's content (zstd), a row group a block; only what is written is held. Its metadata say on what it rests."""
    schema, content = _schema(asked), io.BytesIO()
    with pq.ParquetWriter(content, schema, compression="zstd") as writer:
        first = 0
        for rows in asked.blocks(each):
            writer.write_table(_table(rows, first, schema))
            first += len(rows)
    return content.getvalue()


def _schema(asked: JobSignatures) -> pa.Schema:
    fields = [pa.field("scenario", pa.int32()), pa.field("draw", pa.int16()), pa.field("faults", pa.int8())]
    fields += [*fault_fields(WORD), pa.field("outside_limits", pa.int8())]
    return pa.schema([*fields, *(pa.field(column_of(place), pa.float64()) for place in asked.places)], _said(asked))


def _said(asked: JobSignatures) -> dict[str, str]:
    tested, drawn = asked.singles.air.tested, asked.singles.drawn
    units = [f"{unit.name} ({unit.unit_type.type})" for unit in tested.train.units]
    said = {
        "headstock": __version__, "caution": STANDING_CAUTION, "train": units, "vehicles": list(asked.singles.air.vehicles),
        "method": [tested.method.name, tested.method.edition],
        "local_rules": {"name": tested.rules.name, "edition": tested.rules.edition, "invented": tested.rules.invented},
        "drawn": drawn.model_dump(include={"name", "edition", "invented", "note"}), "seed": asked.singles.seed,
        "readings": [{"column": column_of(place), **asdict(place)} for place in asked.places],
    }  # fmt: skip
    return {key: value if isinstance(value, str) else json.dumps(value, ensure_ascii=False) for key, value in said.items()}


def _table(rows: Sequence[SignatureRow], first: int, schema: pa.Schema) -> pa.Table:
    columns: list[Sequence[object]] = [
        range(first, first + len(rows)), [row.draw for row in rows], [len(row.faults) for row in rows],
    ]  # fmt: skip
    columns += [*fault_columns([row.faults for row in rows]), [row.outside for row in rows]]
    columns += [[row.readings[number] for row in rows] for number in range(len(rows[0].readings) if rows else 0)]
    arrays = [pa.array(list(values), field.type) for values, field in zip(columns, schema, strict=True)]
    return pa.Table.from_arrays(arrays, schema=schema)
