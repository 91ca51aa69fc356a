"""All signatures as one Parquet file: a row a scenario, in order, with faults, readings and on what it rests."""

from __future__ import annotations

import io
import json
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pyarrow.parquet as pq
import pytest

from headstock.brake_test import signature_set
from headstock.brake_test.signature_set import SignatureTask
from headstock.brake_test.signatures import Floats
from headstock.brake_test.stage_readings import reading_places
from headstock.exchange.signature_table import column_of, signatures_parquet
from headstock.usecases.all_signatures import JobSignatures
from tests.cases.drawn_trains import DRAWN, air_of

FEW = DRAWN.model_copy(update={"faults": tuple(
    fault for fault in DRAWN.faults if fault.kind in ("nothing", "gauge stuck", "pipe leaks")
)})  # fmt: skip


def asked(pairs: bool = True) -> JobSignatures:
    singles = SignatureTask(air_of(4, "rear-application"), FEW, 2)
    two = replace(singles, members=1, pairs=True) if pairs else None
    return JobSignatures(singles, two, reading_places(singles.air.tested))


def numbered(task: SignatureTask) -> Iterator[Floats]:
    """Figures that say where they come from instead of air."""
    for block in range(task.blocks):
        yield np.array([[float(number), 0.0, 0.0, 0.0, float(task.members)] for number in task.numbers(block)])


def test_every_scenario_is_a_row_with_its_own_faults_and_readings(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(signature_set, "BLOCK", 8)
    everything = asked()
    table = pq.read_table(io.BytesIO(signatures_parquet(everything, numbered)))
    rows = table.to_pylist()
    assert len(rows) == everything.count == everything.singles.count + (everything.pairs.count if everything.pairs else 0)
    assert [row["scenario"] for row in rows] == list(range(everything.count))
    alone, first = everything.singles.count, column_of(everything.places[0])
    assert {row["faults"] for row in rows[:alone]} == {0, 1} and {row["faults"] for row in rows[alone:]} == {2}
    assert (
        rows[0]["kind_1"] is None and rows[0]["faults"] == 0 and rows[2]["kind_1"] == "pipe leaks" and rows[2]["kind_2"] is None
    )
    for number, row in enumerate(rows[alone:]):
        scenario = everything.pairs.scenario(number) if everything.pairs else None
        assert scenario is not None and row[first] == float(number) and row["draw"] == scenario.draw
        found = [(row[f"kind_{which}"], row[f"place_{which}"], row[f"severity_{which}"]) for which in (1, 2)]
        assert found == [(cause.kind, cause.place, cause.severity) for cause in scenario.causes]


def test_what_is_outside_its_limit_is_counted_and_units_stand_in_names() -> None:
    everything = asked(pairs=False)
    rows = pq.read_table(io.BytesIO(signatures_parquet(everything, numbered))).to_pylist()
    # Charged rear at least 4.8: scenario 0 reads 0, the last more; rise 0 and falls to 0 are within; restored reads 2.
    assert (rows[0]["outside_limits"], rows[-1]["outside_limits"]) == (2, 1)
    assert column_of(everything.places[0]) == "rear_charged_bar"
    leak, count = (reading_places(air_of(4, name).tested) for name in ("leak-by-drop", "full-count"))
    assert "watched_bar_per_min" in [column_of(place) for place in leak]
    assert any(column_of(place).endswith("_share") for place in count)


def test_the_file_says_on_what_it_rests_and_is_written_block_by_block(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(signature_set, "BLOCK", 8)
    everything = asked()
    content = signatures_parquet(everything, numbered)
    said = {key.decode(): value.decode() for key, value in pq.read_schema(io.BytesIO(content)).metadata.items()}
    assert json.loads(said["method"])[0] == "rear application with the leading valve lapped" and "training aid" in said["caution"]
    assert json.loads(said["drawn"])["invented"] is True and json.loads(said["train"]) == ["217 (tarn)"]
    assert [one["column"] for one in json.loads(said["readings"])] == [column_of(place) for place in everything.places]
    blocks = everything.singles.blocks + (everything.pairs.blocks if everything.pairs else 0)
    assert pq.ParquetFile(io.BytesIO(content)).num_row_groups == blocks > 3
