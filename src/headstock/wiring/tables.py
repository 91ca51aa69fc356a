"""What other programs read: columns of an air case and of signatures, a planning task."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from headstock.wiring.air import signature_blocks
from headstock.wiring.files import in_folder, write_whole

if TYPE_CHECKING:
    from headstock.reasoning.domain import Domain
    from headstock.usecases.air_case import AirCaseResult
    from headstock.usecases.all_signatures import JobSignatures


def air_series_file(result: AirCaseResult) -> bytes:
    """The samples of an air case as the content of a Parquet file."""
    from headstock.exchange.air_series import air_series_as_parquet

    return air_series_as_parquet(result)


def write_signatures(asked: JobSignatures, table: Path) -> None:
    """Work out signatures on all cores, each block kept on disk, and write them as one file. Raises InputError."""
    from headstock.exchange.signature_table import signatures_parquet

    write_whole({table: signatures_parquet(asked, signature_blocks().in_order)})


def write_pddl(domain: Domain, folder: Path) -> tuple[Path, ...]:
    """Write a planning task as ``domain.pddl`` and ``problem.pddl`` into a folder. Raises InputError."""
    from headstock.exchange.pddl import PddlTask

    task = PddlTask(domain, "job")
    paths = tuple(in_folder(folder, name, "--pddl") for name in ("domain.pddl", "problem.pddl"))
    write_whole(dict(zip(paths, (task.domain_text().encode(), task.problem_text().encode()), strict=True)))
    return paths
