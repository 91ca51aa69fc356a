"""``signatures``: what a brake test reads under every fault alone and every two at once, as a Parquet table."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from headstock.cli.reply import YES, print_json
from headstock.usecases.all_signatures import JobSignatures, signatures_asked
from headstock.usecases.standing_caution import STANDING_CAUTION
from headstock.wiring import air_engine, check_writable, fleet_from, write_signatures

WHAT_IT_IS = "True readings of drawn tests, before any gauge error: what the air engine expects, not what a real train will show."


def run_signatures(
    job: Path, table: Path, method: str | None, drawn: Path | None, members: int, pairs: int, as_json: bool, fleet: Path | None
) -> int:
    """Work out, write and print. Stopped, what was done is kept: asked again, it goes on from there."""
    check_writable({"--table": table})
    asked = signatures_asked(job, fleet_from(fleet), air_engine(), method=method, drawn=drawn, members=members, pairs=pairs)
    write_signatures(asked, table)
    if as_json:
        print_json(signatures_as_json(asked, table))
    else:
        _print(asked, table)
    return YES


def signatures_as_json(asked: JobSignatures, table: Path) -> dict[str, Any]:
    """What was written, as plain values."""
    tested, drawn = asked.singles.air.tested, asked.singles.drawn
    return {
        "method": {"name": tested.method.name, "edition": tested.method.edition},
        "local_rules": {"name": tested.rules.name, "edition": tested.rules.edition},
        "drawn": drawn.model_dump(include={"name", "edition", "invented", "note"}), "note": WHAT_IT_IS,
        "vehicles": len(asked.singles.air.vehicles), "scenarios": asked.count, "alone": asked.singles.count,
        "in_pairs": asked.count - asked.singles.count, "readings": [place.name for place in asked.places],
        "written": [str(table)],
    }  # fmt: skip


def _print(asked: JobSignatures, table: Path) -> None:
    tested, drawn = asked.singles.air.tested, asked.singles.drawn
    print(f"{tested.method.name}, edition {tested.method.edition}, {len(asked.singles.air.vehicles)} vehicles on the brake pipe")
    for caution in (STANDING_CAUTION, WHAT_IT_IS):
        print(f"Caution: {caution}")
    print(f"Drawn from: {drawn.name}, edition {drawn.edition}{' (invented)' if drawn.invented else ''}. {drawn.note}")
    in_pairs = asked.count - asked.singles.count
    print(f"{asked.count} scenarios: {asked.singles.count} of faults alone, {in_pairs} of two at once, "
          f"{len(asked.places)} readings each.")  # fmt: skip
    print(table)
