"""The commands about records. Heavy modules are imported inside the command that needs them."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

import typer

from headstock.cli.options import Database, FleetFolder, Json, ReadingsName, readings_named
from headstock.cli.reply import answering

records_app = typer.Typer(help="Records: file tests, log touches, search, print, verify that nothing was altered.",
                          rich_markup_mode=None, no_args_is_help=True)  # fmt: skip
Key = Annotated[
    str | None, typer.Option("--key", help="Key of the entry, made by you: the same entry again, with its --when, adds nothing.")
]
Name = Annotated[str, typer.Argument(help="Code, number or key of an entry.")]
Who = Annotated[str, typer.Option("--who", help="Who it was, or who says so.")]
When = Annotated[str | None, typer.Option("--when", help="YYYY-MM-DD HH:MM:SS on the clock of the place; now if not given.")]
Trusted = Annotated[Path | None, typer.Option("--public-key", help="Public key that you trust, instead of the own one.")]


@records_app.command("file", short_help="Put a brake test on record as it was judged.")
def records_file(
    readings: ReadingsName,
    date: Annotated[str | None, typer.Option("--date", help="Day of the test, where its times carry none.")] = None,
    people: Annotated[Path | None, typer.Option("--people", help="List of people: all must be on it, in date.")] = None,
    corrects: Annotated[str | None, typer.Option("--corrects", help="Code or number of the test that it corrects.")] = None,
    key: Key = None,
    database: Database = None,
    as_json: Json = False,
    fleet: FleetFolder = None,
) -> None:
    """Put a brake test on record as it was judged; what cannot have been so is refused with every reason."""
    from headstock.cli.commands.records_filing import run_file

    answering(as_json, lambda: run_file(readings_named(readings), date, people, corrects, key, database, as_json, fleet))


@records_app.command("touch", short_help="Log that a device was touched; it makes tests void.")
def records_touch(
    device: Annotated[str, typer.Argument(help="Device by its key, such as 217/2.brake_pipe_cock.")],
    who: Who,
    when: When = None,
    test: Annotated[str | None, typer.Option("--test", help="The test whose device it is, where no job describes the train.")]
    = None,
    part_of: Annotated[str, typer.Option("--part-of", help="The touch of the method that it is; with --test.")] = "",
    key: Key = None,
    database: Database = None,
    as_json: Json = False,
) -> None:  # fmt: skip
    """Log that a device was touched, and say which tests that makes void."""
    from headstock.cli.commands.records_filing import run_touch
    from headstock.usecases.record_notes import TouchGiven

    answering(as_json, lambda: run_touch(TouchGiven(device, who, when, test, part_of, key), database, as_json))


@records_app.command("note", short_help="Record a job, defect, isolation, sheet or correction.")
def records_note(
    kind: Annotated[Literal["job", "defect", "isolation", "sheet", "correction"], typer.Argument(help="What it is.")],
    text: Annotated[str, typer.Argument(help="In words.")],
    who: Who,
    when: When = None,
    unit: Annotated[
        list[str] | None, typer.Option("--unit", metavar="UNIT", help="Unit that it is about; may be repeated.")
    ] = None,
    about: Annotated[str | None, typer.Option("--about", help="Entry that it is about; a correction must have one.")] = None,
    file: Annotated[Path | None, typer.Option("--file", help="File whose digest is kept: a job, a sheet as issued.")] = None,
    key: Key = None,
    database: Database = None,
    as_json: Json = False,
) -> None:
    """Record a job, a defect, an isolation carried, a sheet issued, or a correction of an entry."""
    from headstock.cli.commands.records_filing import run_note
    from headstock.usecases.record_notes import NoteGiven

    given = NoteGiven(kind, text, who, when, tuple(unit or ()), about, file, key)
    answering(as_json, lambda: run_note(given, database, as_json))


@records_app.command("search", short_help="Find entries, newest first.")
def records_search(
    words: Annotated[
        list[str] | None, typer.Argument(metavar="WORD", help="Units, people, words; all must be there. 21*: begins so.")
    ] = None,
    kind: Annotated[str, typer.Option("--kind", help="Only this kind of entry.")] = "",
    from_day: Annotated[str, typer.Option("--from", help="From this day on, YYYY-MM-DD.")] = "",
    to_day: Annotated[str, typer.Option("--to", help="To this day, YYYY-MM-DD.")] = "",
    top: Annotated[int, typer.Option("--top", min=1, max=1000, help="How many to show.")] = 50,
    database: Database = None,
    as_json: Json = False,
) -> None:
    """Find entries, newest first: of tests in which state they are, by whom they were done and what was touched since."""
    from headstock.cli.commands.records_reading import run_search
    from headstock.usecases.records_port import Search

    wanted = Search(tuple(words or ()), kind, from_day, to_day, top)
    answering(as_json, lambda: run_search(wanted, database, as_json))


@records_app.command("show", short_help="One entry whole, with every touch since.")
def records_show(name: Name, database: Database = None, as_json: Json = False) -> None:
    """One entry whole; of a test its state, every touch of its path since, and what was entered about it."""
    from headstock.cli.commands.records_reading import run_show

    answering(as_json, lambda: run_show(name, database, as_json))


@records_app.command("print", short_help="Print the certificate of a test (PDF).")
def records_print(
    name: Name,
    sheets: Annotated[Path, typer.Option("--sheets", help="Folder for the certificate.")] = Path("sheets"),
    database: Database = None,
    as_json: Json = False,
) -> None:
    """Print the certificate of a test (PDF), with its short code and a square code that is checked without a network."""
    from headstock.cli.commands.records_reading import run_print

    answering(as_json, lambda: run_print(name, sheets, database, as_json))


@records_app.command("check", short_help="Is a certificate genuine: its square code and the public key.")
def records_check(
    line: Annotated[str, typer.Argument(help="The line of a square code, HS1.….…")],
    public_key: Annotated[Path, typer.Option("--public-key", help="Public key of the records.")],
    as_json: Json = False,
) -> None:
    """Check a certificate by its square code and the public key alone: no records and no network."""
    from headstock.cli.commands.records_keeping import run_check

    answering(as_json, lambda: run_check(line, public_key, as_json))


@records_app.command("verify", short_help="Was anything altered, removed or re-ordered?")
def records_verify(public_key: Trusted = None, database: Database = None, as_json: Json = False) -> None:
    """Was anything altered, removed or re-ordered: the first entry where it was."""
    from headstock.cli.commands.records_keeping import run_verify

    answering(as_json, lambda: run_verify(public_key, database, as_json))


@records_app.command("key", short_help="Export the public key for those who verify.")
def records_key(
    out: Annotated[Path, typer.Option("--out", help="File for the public key.")], database: Database = None, as_json: Json = False
) -> None:
    """Export the public key, with which others verify records and certificates."""
    from headstock.cli.commands.records_keeping import run_key

    answering(as_json, lambda: run_key(out, database, as_json))


@records_app.command("new-key", short_help="Change the signing key.")
def records_new_key(database: Database = None, as_json: Json = False) -> None:
    """Change the signing key; the old one hands over in the records and stays good for what it signed."""
    from headstock.cli.commands.records_keeping import run_new_key

    answering(as_json, lambda: run_new_key(database, as_json))


@records_app.command("backup", short_help="All entries with their signatures in one file.")
def records_backup(
    file: Annotated[Path, typer.Argument(help="File to write (JSON lines).")], database: Database = None, as_json: Json = False
) -> None:
    """Write all entries with their signatures to one file, also while others are writing."""
    from headstock.cli.commands.records_keeping import run_backup

    answering(as_json, lambda: run_backup(file, database, as_json))


@records_app.command("restore", short_help="Verify a backup and add what the records lack.")
def records_restore(
    file: Annotated[Path, typer.Argument(help="Backup.")],
    public_key: Trusted = None,
    database: Database = None,
    as_json: Json = False,
) -> None:
    """Verify a backup and add what it holds and the records lack; nothing is ever overwritten."""
    from headstock.cli.commands.records_keeping import run_restore

    answering(as_json, lambda: run_restore(file, public_key, database, as_json))


@records_app.command("export", short_help="All entries as JSON lines, CSV or Parquet.")
def records_export(
    file: Annotated[Path, typer.Argument(help="File to write: .jsonl, .csv or .parquet.")],
    database: Database = None,
    as_json: Json = False,
) -> None:
    """Write all entries as JSON lines, CSV or Parquet."""
    from headstock.cli.commands.records_keeping import run_export

    answering(as_json, lambda: run_export(file, database, as_json))
