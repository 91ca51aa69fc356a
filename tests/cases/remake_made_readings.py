"""Makes the sample of ``made_readings`` anew: ``python -m tests.cases.remake_made_readings``; many minutes of work.

What is there already for the same fault is kept: delete the file to make all of it.
"""

from __future__ import annotations

import json
from typing import Any
from unittest.mock import patch

from headstock.brake_test.causes import Cause
from headstock.brake_test.signatures import Scenario, readings_of
from headstock.physics.fast import CLOSE_STEPS
from headstock.physics.fast_many import answer_many
from tests.cases.drawn_trains import DRAWN, air_of
from tests.cases.fine_readings import FineRuns
from tests.cases.made_readings import FILE, SEED, chosen

CLOSER_PA = 30.0


def readings_made(vehicles: int, method: str, cause: Cause, by: str, draw: int) -> list[float]:
    """True readings of one drawn test."""
    runs = FineRuns(vehicles, method) if by == "fine" else answer_many
    with patch("headstock.physics.fast_many.MANY_STEPS", CLOSE_STEPS._replace(tolerance_pa=CLOSER_PA)):
        row = readings_of(air_of(vehicles, method), DRAWN, [Scenario((cause,), draw)], SEED, runs)[0]
    return [round(float(value), 4) for value in row]


def remake() -> None:
    """The file; written after every fault."""
    rows: list[dict[str, Any]] = json.loads(FILE.read_text(encoding="utf-8")) if FILE.is_file() else []
    for vehicles, method, cause, by, draw in chosen():
        row = {"vehicles": vehicles, "method": method, "kind": cause.kind, "place": cause.place, "severity": cause.severity,
               "by": by, "draw": draw}  # fmt: skip
        if any({key: one[key] for key in row} == row for one in rows):
            continue
        rows.append({**row, "readings": readings_made(vehicles, method, cause, by, draw)})
        FILE.write_text("[\n" + ",\n".join(json.dumps(one) for one in rows) + "\n]\n", encoding="utf-8")
        print(len(rows), vehicles, method, cause, by, flush=True)


if __name__ == "__main__":
    remake()
