"""The one place that joins the questions people ask to the adapters that print or store the answers."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from headstock.brake_test.forecast import Forecast
    from headstock.brake_test.recorder import RecorderTrace
    from headstock.compute.signature_blocks import SignatureBlocks
    from headstock.compute.study_run import StudyDone
    from headstock.equipment.library import Fleet
    from headstock.physics.air_run import AirEngine, AirRun, AirTrace, Progress
    from headstock.reasoning.domain import Domain
    from headstock.records.accounts.keeping import StoredAccounts
    from headstock.records.signing import PublicKey
    from headstock.records.sitting_files import SittingFiles
    from headstock.records.store import StoredRecords
    from headstock.usecases.air_case import AirCaseResult
    from headstock.usecases.all_signatures import JobSignatures
    from headstock.usecases.can_job import JobCan
    from headstock.usecases.fleet_mistakes import MistakeStudy
    from headstock.usecases.fleet_study import FleetStudy
    from headstock.usecases.forecast_bands import DrawnValues
    from headstock.usecases.job_mistakes import Spread
    from headstock.usecases.join_ends import PairAnswer
    from headstock.usecases.join_table import JoinTable
    from headstock.usecases.listening import TlsFiles
    from headstock.usecases.plan_job import JobPlan
    from headstock.usecases.question_paper import Paper
    from headstock.usecases.readings_file import RecorderGiven
    from headstock.usecases.reconstruct_record import RecordSearched
    from headstock.usecases.record_state import TestNow
    from headstock.usecases.records_port import Filed
    from headstock.usecases.relieve_job import JobRelieved
    from headstock.usecases.stop_job import JobStopped
    from headstock.usecases.study_questions import StudyAnswer
    from headstock.usecases.study_report_parts import StudyReport

MOST_ROWS_ASKED = 100_000
"""Rows of one answer that a report is made from."""
DEMO_JOB = Path(__file__).parent / "usecases" / "jobs" / "demo-attach.yaml"


def fleet_from(folder: Path | None) -> Fleet:
    """The built-in fleet, or one's own."""
    from headstock.equipment.library import load_fleet

    return load_fleet(folder)


def air_engine(on_progress: Progress | None = None) -> AirEngine:
    """The air engine with its memory on disk; says how far it is when it has to reckon, on standard error if to nobody else."""
    from headstock.compute.kept_runs import KeptRuns

    return KeptRuns(on_progress=on_progress or _say_how_far)


def _say_how_far(done: int, of: int) -> None:
    """One line that counts up on a terminal, a line at the beginning and at the end elsewhere."""
    is_last = done == of
    if sys.stderr.isatty():
        print(f"\rreckoning the air: {done} of {of} runs", end="\n" if is_last else "", file=sys.stderr, flush=True)
    elif done == 0 or is_last:
        print(f"reckoning the air: {done} of {of} runs", file=sys.stderr, flush=True)


def pairs_abreast(fleet: Path | None) -> Spread:
    """Pairs of mistakes counted on all cores."""
    from headstock.compute.pairs_abreast import PairsAbreast

    return PairsAbreast(fleet)


def signature_blocks(on_progress: Progress | None = None) -> SignatureBlocks:
    """Signatures worked out on all cores, kept on disk; says how far it is, on standard error if to nobody else."""
    from headstock.compute.signature_blocks import SignatureBlocks
    from headstock.exchange.signature_store import SignatureStore
    from headstock.physics._source_key import cache_folder

    return SignatureBlocks(SignatureStore(cache_folder() / "signatures"), on_progress=on_progress or _say_how_many_blocks)


def write_signatures(asked: JobSignatures, table: Path) -> None:
    """Work out signatures on all cores, each block kept on disk, and write them as one file. Raises InputError."""
    from headstock.exchange.signature_table import signatures_parquet

    write_whole({table: signatures_parquet(asked, signature_blocks().in_order)})


def run_study(study: FleetStudy | MistakeStudy, folder: Path, workers: int | None, cluster: str | None) -> StudyDone:
    """Work a study out into a folder, going on where it was; says on standard error how far it is. Raises InputError."""
    from headstock.compute.signature_blocks import code_key
    from headstock.compute.study_run import run_study as run
    from headstock.exchange.mistake_parts import mistake_part_content
    from headstock.exchange.study_parts import StudyFolder, part_content

    content = part_content if study.kind == "drawn tests" else mistake_part_content
    store = StudyFolder(folder, study, code_key(study.rests_on))
    store.open()
    return run(study, content, store, _say_how_many_parts, workers=workers, cluster=cluster)


def ask_study(folder: Path, question: str | None, sql: str | None, limits: str | None, top: int) -> StudyAnswer:
    """A ready question on a study's results, or one in SQL. Raises InputError."""
    from headstock.exchange.study_questions import ask_ready, ask_sql

    return ask_sql(folder, sql, limits, top) if sql is not None else ask_ready(folder, question or "", limits, top)


def write_study_report(folder: Path, out: Path, limits: str | None) -> tuple[StudyReport, tuple[Path, ...]]:
    """Write the report of a study's results as a page, a PDF and its pictures, all or nothing. Raises InputError."""
    from headstock.exchange.study_questions import ask_ready, study_kind
    from headstock.sheets.study_page import study_page
    from headstock.sheets.study_sheet import render_study_report, study_pictures
    from headstock.usecases.study_report import study_report

    report = study_report(lambda question: ask_ready(folder, question, limits, MOST_ROWS_ASKED), study_kind(folder))
    made = {"report.html": study_page(report), "report.pdf": render_study_report(report), **study_pictures(report)}
    contents = {_in_folder(out, name, "--out"): content for name, content in made.items()}
    write_whole(contents)
    return report, tuple(contents)


def _say_how_many_parts(done: int, of: int, rest_s: float | None) -> None:
    rest = "" if rest_s is None else f", about {rest_s / 60:.0f} min left" if rest_s >= 90 else f", about {rest_s:.0f} s left"
    print(f"working out: {done} of {of} parts{rest}", file=sys.stderr, flush=True)


def many_runs(runs: Sequence[AirRun]) -> Sequence[AirTrace]:
    """Runs side by side on one core, nothing kept: for a few at a time."""
    from headstock.physics.fast_many import answer_many

    return answer_many(runs)


def _say_how_many_blocks(done: int, of: int) -> None:
    print(f"drawing tests: {done} of {of} blocks", file=sys.stderr, flush=True)


def drawn_bands() -> DrawnValues:
    """Healthy trains drawn and run for the bands of a forecast, kept on disk."""
    from headstock.compute.drawn_bands import DrawnBands
    from headstock.exchange.signature_store import SignatureStore
    from headstock.physics._source_key import cache_folder

    return DrawnBands(SignatureStore(cache_folder() / "bands"))


def print_sheet(answer: JobPlan, folder: Path, forecast: Forecast | None = None) -> Path:
    """Write the job sheet of a planned job into a folder; returns its path."""
    from headstock.sheets.compose import sheet_name, sheet_of
    from headstock.sheets.job_sheet import render_job_sheet

    return _printed(folder, sheet_name(answer), render_job_sheet(sheet_of(answer, forecast)))


def _printed(folder: Path, name: str, pdf: bytes) -> Path:
    """A sheet in a folder, made where it is not there. Raises OSError."""
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / name
    path.write_bytes(pdf)
    return path


def print_can_sheet(answer: JobCan, folder: Path) -> Path:
    """Write what a job's train can do into a folder; returns its path. Raises InputError."""
    from headstock.sheets.can_sheet import can_sheet_name, render_can_sheet

    path = _in_folder(folder, can_sheet_name(answer))
    write_whole({path: render_can_sheet(answer)})
    return path


def print_cards(answer: JobPlan, folder: Path) -> Path:
    """Write the roles' pocket cards of a planned job into a folder; returns their path."""
    from headstock.sheets.card_content import cards_of
    from headstock.sheets.compose import sheet_name
    from headstock.sheets.role_cards import render_role_cards

    return _printed(folder, f"cards-{sheet_name(answer)}", render_role_cards(cards_of(answer)))


def print_paper(paper: Paper, folder: Path | None, qti: Path | None) -> tuple[Path, ...]:
    """Write a paper and its key into a folder (PDF), and a QTI package to a file, all or nothing. Raises InputError."""
    from headstock.exchange.qti import qti_package
    from headstock.sheets.paper_sheet import render_key, render_paper

    contents = {} if qti is None else {qti: qti_package(paper)}
    if folder is not None:
        contents[_in_folder(folder, f"key-{paper.number}.pdf")] = render_key(paper)
        contents[_in_folder(folder, f"paper-{paper.number}.pdf")] = render_paper(paper)
    write_whole(contents)
    return tuple(contents)


def printed_paper(paper: Paper, is_key: bool) -> bytes:
    """A paper, or its key, as PDF."""
    from headstock.sheets.paper_sheet import render_key, render_paper

    return render_key(paper) if is_key else render_paper(paper)


def print_half_done_sheet(found: JobStopped | JobRelieved, folder: Path) -> Path:
    """Write the sheet of a job that is broken off or handed over into a folder; returns its path."""
    from headstock.sheets.half_done_content import half_done_content, half_done_name
    from headstock.sheets.half_done_sheet import render_half_done_sheet

    return _printed(folder, half_done_name(found), render_half_done_sheet(half_done_content(found)))


def print_pair_sheet(answer: PairAnswer, folder: Path) -> Path:
    """Write the sheet of a pair of ends into a folder; returns its path. Raises InputError."""
    from headstock.sheets.pair_content import pair_content, pair_sheet_name
    from headstock.sheets.pair_sheet import render_pair_sheet

    path = _in_folder(folder, pair_sheet_name(answer))
    write_whole({path: render_pair_sheet(pair_content(answer))})
    return path


def write_join_table(table: JoinTable, csv: Path | None, html: Path | None, sheets: Path | None) -> tuple[Path, ...]:
    """Write the table of a fleet to what was asked for, all or nothing. Raises InputError."""
    from headstock.exchange.join_table_csv import join_table_csv
    from headstock.sheets.table_page import table_page
    from headstock.sheets.table_sheet import render_table_sheet

    makers = {"--csv": (csv, join_table_csv), "--html": (html, table_page)}
    check_files({option: path for option, (path, _) in makers.items() if path is not None})
    contents = {path: made(table) for path, made in makers.values() if path is not None}
    if sheets is not None:
        contents[_in_folder(sheets, "what-joins-what.pdf")] = render_table_sheet(table)
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
        contents |= {_in_folder(plots, name): drawn for name, drawn in record_plots(found).items()}
    if sheets is not None:
        contents[_in_folder(sheets, record_sheet_name(found))] = render_record_sheet(found)
    write_whole(contents)
    return tuple(contents)


def write_pddl(domain: Domain, folder: Path) -> tuple[Path, ...]:
    """Write a planning task as ``domain.pddl`` and ``problem.pddl`` into a folder. Raises InputError."""
    from headstock.exchange.pddl import PddlTask

    task = PddlTask(domain, "job")
    paths = tuple(_in_folder(folder, name, "--pddl") for name in ("domain.pddl", "problem.pddl"))
    write_whole(dict(zip(paths, (task.domain_text().encode(), task.problem_text().encode()), strict=True)))
    return paths


def _in_folder(folder: Path, name: str, option: str = "--sheets") -> Path:
    """A file in a folder for answers, made if it is not there. Raises InputError."""
    from headstock.base.errors import Fault, InputError

    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        what = {"--sheets": "the sheet", "--out": "the report"}.get(option, "the task")
        fault = Fault(f"{what} cannot be written", str(folder), found=error.strerror or str(error),
                      expected="a folder one can write to")  # fmt: skip
        raise InputError(fault, cure=f"Name another folder with {option}.") from None
    return folder / name


def read_recorder(path: Path, given: RecorderGiven, began_s: float | None) -> RecorderTrace:
    """A recorder's file as samples. Raises InputError."""
    from headstock.exchange import recorder_csv

    return recorder_csv.read_recorder(path, given, began_s)


def expected_readings(readings: Path, fleet: Fleet) -> dict[str, tuple[float, float]]:
    """What the air engine expects of the healthy train of a record's job, by stage [bar]. Raises InputError."""
    from headstock.usecases.expected_readings import expected_of_record
    from headstock.usecases.forecast_bands import BandAsked

    return expected_of_record(readings, fleet, air_engine(), BandAsked(drawn_bands()))


def air_series_file(result: AirCaseResult) -> bytes:
    """The samples of an air case as the content of a Parquet file."""
    from headstock.exchange.air_series import air_series_as_parquet

    return air_series_as_parquet(result)


def check_writable(paths: Mapping[str, Path], kept: Path) -> None:
    """Raises InputError for what could not be written, before long work; `kept` is not to be written over."""
    from headstock.exchange import whole_files

    whole_files.check_writable(paths, kept)


def check_files(paths: Mapping[str, Path]) -> None:
    """The same where no file is read that could be written over."""
    from headstock.exchange import whole_files

    whole_files.check_writable(paths)


def write_whole(contents: Mapping[Path, bytes]) -> None:
    """Write all files or none. Raises InputError."""
    from headstock.exchange import whole_files

    whole_files.write_whole(contents)


def data_folder() -> Path:
    """Where records, keys and what else is kept for this user lie."""
    from headstock.records.database import data_folder as kept_in

    return kept_in()


def sitting_log() -> SittingFiles:
    """Sittings, kept in the data folder. Raises StorageError."""
    from headstock.records.sitting_files import SittingFiles

    return SittingFiles(data_folder() / "sittings")


def paper_log() -> SittingFiles:
    """Papers sat on screen, kept in the data folder. Raises StorageError."""
    from headstock.records.sitting_files import PAPER_FORM, PAPER_SUFFIX, SittingFiles

    return SittingFiles(data_folder() / "papers", PAPER_SUFFIX, PAPER_FORM)


def open_records(database: str | None) -> StoredRecords:
    """The records: a file, an address, or those of the data folder. Raises StorageError, InputError."""
    from headstock.records.store import StoredRecords

    return StoredRecords(database or os.environ.get("HEADSTOCK_RECORDS", ""))


def open_accounts(database: str | None) -> StoredAccounts:
    """The accounts beside the records. Raises StorageError, InputError."""
    return accounts_of(open_records(database))


def accounts_of(records: StoredRecords) -> StoredAccounts:
    """The accounts beside records that are open."""
    from headstock.records.accounts.keeping import StoredAccounts

    return StoredAccounts(records)


def tls_files(certificate: Path | None, key: Path | None) -> TlsFiles | None:
    """The files for TLS with every fault in them; None where neither is given."""
    from headstock.exchange.tls_files import read_tls_files

    return read_tls_files(certificate, key)


def public_key(path: Path) -> PublicKey:
    """A public key from a file. Raises InputError."""
    from headstock.records.signing import load_public_key

    return load_public_key(path)


def public_keys(path: Path) -> tuple[PublicKey, ...]:
    """The public keys in a file, the one in force first. Raises InputError."""
    from headstock.records.signing import load_public_keys

    return load_public_keys(path)


def print_certificate(now: TestNow, records: StoredRecords, folder: Path) -> tuple[Path, str]:
    """Write a test's certificate into a folder; returns its path and the line in its square code. Raises InputError."""
    from headstock.records.certificates import certificate_text
    from headstock.sheets.certificate_sheet import certificate_name, render_certificate
    from headstock.usecases.certificate import certificate_of
    from headstock.usecases.records_port import Search

    (last,) = records.search(Search(top=1))
    line = certificate_text(certificate_of(now, last.code), records.signer)
    path = _in_folder(folder, certificate_name(now))
    write_whole({path: render_certificate(now, last.code, line)})
    return path, line


def export_records(entries: Iterable[Filed], path: Path) -> None:
    """Write entries as a table: CSV, or Parquet by the file's ending. Raises InputError."""
    from headstock.exchange.records_table import records_csv, records_parquet

    write_whole({path: (records_parquet if path.suffix == ".parquet" else records_csv)(entries)})
