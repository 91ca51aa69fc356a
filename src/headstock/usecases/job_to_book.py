"""What is looked at before a job is put on the book: that it can be meant, and that its crew has whoever its work asks for."""

from __future__ import annotations

from headstock.equipment.library import Fleet
from headstock.procedures.work import domain_of
from headstock.usecases.assemble import assemble
from headstock.usecases.job_file import JobPapers
from headstock.usecases.job_stands import checked_job


def check_to_book(papers: JobPapers, fleet: Fleet) -> None:
    """Raises InputError with the faults of a job that nobody could plan; what the trade refuses goes on the book."""
    checked_job(papers, fleet)
    task = assemble(papers, fleet).task
    if task is not None:
        domain_of(task)
