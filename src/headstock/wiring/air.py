"""The air engine and what is worked out with it on all cores, with the memory that each of them keeps on disk."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from headstock.compute.signature_blocks import SignatureBlocks
    from headstock.equipment.library import Fleet
    from headstock.physics.air_run import AirEngine, AirRun, AirTrace, Progress
    from headstock.usecases.forecast_bands import DrawnValues
    from headstock.usecases.job_mistakes import Spread


def air_engine(on_progress: Progress | None = None) -> AirEngine:
    """The air engine with its memory on disk; says how far it is when it has to reckon, on standard error if to nobody else."""
    from headstock.compute.kept_runs import KeptRuns

    return KeptRuns(on_progress=on_progress or _say_how_far)


def many_runs(runs: Sequence[AirRun]) -> Sequence[AirTrace]:
    """Runs side by side on one core, nothing kept: for a few at a time."""
    from headstock.physics.fast_many import answer_many

    return answer_many(runs)


def drawn_bands() -> DrawnValues:
    """Healthy trains drawn and run for the bands of a forecast, kept on disk."""
    from headstock.compute.drawn_bands import DrawnBands
    from headstock.exchange.signature_store import SignatureStore
    from headstock.physics._source_key import cache_folder

    return DrawnBands(SignatureStore(cache_folder() / "bands"))


def expected_readings(readings: Path, fleet: Fleet) -> dict[str, tuple[float, float]]:
    """What the air engine expects of the healthy train of a record's job, by stage [bar]. Raises InputError."""
    from headstock.usecases.expected_readings import expected_of_record
    from headstock.usecases.forecast_bands import BandAsked

    return expected_of_record(readings, fleet, air_engine(), BandAsked(drawn_bands()))


def signature_blocks(on_progress: Progress | None = None) -> SignatureBlocks:
    """Signatures worked out on all cores, kept on disk; says how far it is, on standard error if to nobody else."""
    from headstock.compute.signature_blocks import SignatureBlocks
    from headstock.exchange.signature_store import SignatureStore
    from headstock.physics._source_key import cache_folder

    return SignatureBlocks(SignatureStore(cache_folder() / "signatures"), on_progress=on_progress or _say_how_many_blocks)


def pairs_abreast(fleet: Path | None) -> Spread:
    """Pairs of mistakes counted on all cores."""
    from headstock.compute.pairs_abreast import PairsAbreast

    return PairsAbreast(fleet)


def _say_how_far(done: int, of: int) -> None:
    """One line that counts up on a terminal, a line at the beginning and at the end elsewhere."""
    is_last = done == of
    if sys.stderr.isatty():
        print(f"\rreckoning the air: {done} of {of} runs", end="\n" if is_last else "", file=sys.stderr, flush=True)
    elif done == 0 or is_last:
        print(f"reckoning the air: {done} of {of} runs", file=sys.stderr, flush=True)


def _say_how_many_blocks(done: int, of: int) -> None:
    print(f"drawing tests: {done} of {of} blocks", file=sys.stderr, flush=True)
