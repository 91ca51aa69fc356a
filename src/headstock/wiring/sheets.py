"""What is printed: sheets, cards, papers, and pages that go with a sheet."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from headstock.wiring.files import check_writable, in_folder, put_into, write_whole

if TYPE_CHECKING:
    from headstock.brake_test.forecast import Forecast
    from headstock.usecases.can_job import JobCan
    from headstock.usecases.join_ends import PairAnswer
    from headstock.usecases.join_table import JoinTable
    from headstock.usecases.plan_job import JobPlan
    from headstock.usecases.question_paper import Paper
    from headstock.usecases.reconstruct_record import RecordSearched
    from headstock.usecases.relieve_job import JobRelieved
    from headstock.usecases.stop_job import JobStopped


def print_sheet(answer: JobPlan, folder: Path, forecast: Forecast | None = None) -> Path:
    """Write the job sheet of a planned job into a folder; returns its path. Raises InputError."""
    from headstock.sheets.compose import sheet_name, sheet_of
    from headstock.sheets.job_sheet import render_job_sheet

    return put_into(folder, sheet_name(answer), render_job_sheet(sheet_of(answer, forecast)))


def print_cards(answer: JobPlan, folder: Path) -> Path:
    """Write the roles' pocket cards of a planned job into a folder; returns their path. Raises InputError."""
    from headstock.sheets.card_content import cards_of
    from headstock.sheets.compose import sheet_name
    from headstock.sheets.role_cards import render_role_cards

    return put_into(folder, f"cards-{sheet_name(answer)}", render_role_cards(cards_of(answer)))


def print_can_sheet(answer: JobCan, folder: Path) -> Path:
    """Write what a job's train can do into a folder; returns its path. Raises InputError."""
    from headstock.sheets.can_sheet import can_sheet_name, render_can_sheet

    return put_into(folder, can_sheet_name(answer), render_can_sheet(answer))


def print_half_done_sheet(found: JobStopped | JobRelieved, folder: Path) -> Path:
    """Write the sheet of a job that is broken off or handed over into a folder; returns its path. Raises InputError."""
    from headstock.sheets.half_done_content import half_done_content, half_done_name
    from headstock.sheets.half_done_sheet import render_half_done_sheet

    return put_into(folder, half_done_name(found), render_half_done_sheet(half_done_content(found)))


def print_pair_sheet(answer: PairAnswer, folder: Path) -> Path:
    """Write the sheet of a pair of ends into a folder; returns its path. Raises InputError."""
    from headstock.sheets.pair_content import pair_content, pair_sheet_name
    from headstock.sheets.pair_sheet import render_pair_sheet

    return put_into(folder, pair_sheet_name(answer), render_pair_sheet(pair_content(answer)))


def print_paper(paper: Paper, folder: Path | None, qti: Path | None) -> tuple[Path, ...]:
    """Write a paper and its key into a folder (PDF), and a QTI package to a file, all or nothing. Raises InputError."""
    from headstock.exchange.qti import qti_package
    from headstock.sheets.paper_sheet import render_key, render_paper

    contents = {} if qti is None else {qti: qti_package(paper)}
    if folder is not None:
        contents[in_folder(folder, f"key-{paper.number}.pdf")] = render_key(paper)
        contents[in_folder(folder, f"paper-{paper.number}.pdf")] = render_paper(paper)
    write_whole(contents)
    return tuple(contents)


def printed_paper(paper: Paper, is_key: bool) -> bytes:
    """A paper, or its key, as PDF."""
    from headstock.sheets.paper_sheet import render_key, render_paper

    return render_key(paper) if is_key else render_paper(paper)


def write_join_table(table: JoinTable, csv: Path | None, html: Path | None, sheets: Path | None) -> tuple[Path, ...]:
    """Write the table of a fleet to what was asked for, all or nothing. Raises InputError."""
    from headstock.exchange.join_table_csv import join_table_csv
    from headstock.sheets.table_page import table_page
    from headstock.sheets.table_sheet import render_table_sheet

    makers = {"--csv": (csv, join_table_csv), "--html": (html, table_page)}
    check_writable({option: path for option, (path, _) in makers.items() if path is not None})
    contents = {path: made(table) for path, made in makers.values() if path is not None}
    if sheets is not None:
        contents[in_folder(sheets, "what-joins-what.pdf")] = render_table_sheet(table)
    write_whole(contents)
    return tuple(contents)


def write_reconstruction(
    found: RecordSearched, page: Path | None, plots: Path | None, sheets: Path | None = None
) -> tuple[Path, ...]:
    """Write a reconstruction as a page, its plots as drawings, and a sheet, all or nothing. Raises InputError."""
    from headstock.sheets.record_page import record_page, record_plots
    from headstock.sheets.record_sheet import record_sheet_name, render_record_sheet

    contents = {} if page is None else {page: record_page(found)}
    if plots is not None:
        contents |= {in_folder(plots, name): drawn for name, drawn in record_plots(found).items()}
    if sheets is not None:
        contents[in_folder(sheets, record_sheet_name(found))] = render_record_sheet(found)
    write_whole(contents)
    return tuple(contents)
