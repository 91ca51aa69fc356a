"""The commands about accounts. A password is asked for, or read from standard input; never an argument."""

from __future__ import annotations

from typing import Annotated

import typer

from headstock.cli.options import Database, Json
from headstock.cli.reply import answering

accounts_app = typer.Typer(help="Accounts of those who may sign in where others can reach Headstock.",
                           rich_markup_mode=None, no_args_is_help=True)  # fmt: skip
Name = Annotated[str, typer.Argument(help="Name to sign in with.")]
Person = Annotated[str, typer.Option("--person", help="Who it is, as records write the name; the name itself if not given.")]


@accounts_app.command("first")
def accounts_first(name: Name, person: Person = "", database: Database = None, as_json: Json = False) -> None:
    """Make the first administrator, where there is none."""
    from headstock.cli.commands.accounts import run_first

    answering(as_json, lambda: run_first(name, person, database, as_json))


@accounts_app.command("add")
def accounts_add(
    name: Name,
    role: Annotated[str, typer.Option("--role", help="crew, instructor, supervisor or administrator.")],
    person: Person = "",
    database: Database = None,
    as_json: Json = False,
) -> None:
    """Make an account."""
    from headstock.cli.commands.accounts import run_add

    answering(as_json, lambda: run_add(name, role, person, database, as_json))


@accounts_app.command("list")
def accounts_list(database: Database = None, as_json: Json = False) -> None:
    """All accounts, and which of them were changed past Headstock."""
    from headstock.cli.commands.accounts import run_list

    answering(as_json, lambda: run_list(database, as_json))


@accounts_app.command("role")
def accounts_role(
    name: Name,
    role: Annotated[str, typer.Argument(help="crew, instructor, supervisor or administrator.")],
    database: Database = None,
    as_json: Json = False,
) -> None:
    """Give an account another role; its sessions end."""
    from headstock.cli.commands.accounts import run_change

    answering(as_json, lambda: run_change(name, role, None, database, as_json))


@accounts_app.command("password")
def accounts_password(name: Name, database: Database = None, as_json: Json = False) -> None:
    """Set a password; all sessions of the account end."""
    from headstock.cli.commands.accounts import run_password

    answering(as_json, lambda: run_password(name, database, as_json))


@accounts_app.command("lock")
def accounts_lock(name: Name, database: Database = None, as_json: Json = False) -> None:
    """Let nobody sign in with an account any more; its sessions end. What it did stays on record."""
    from headstock.cli.commands.accounts import run_change

    answering(as_json, lambda: run_change(name, None, True, database, as_json))


@accounts_app.command("unlock")
def accounts_unlock(name: Name, database: Database = None, as_json: Json = False) -> None:
    """Take a lock off."""
    from headstock.cli.commands.accounts import run_change

    answering(as_json, lambda: run_change(name, None, False, database, as_json))


@accounts_app.command("roles")
def accounts_roles(as_json: Json = False) -> None:
    """What each role may do."""
    from headstock.cli.commands.accounts import run_roles

    answering(as_json, lambda: run_roles(as_json))


@accounts_app.command("traces")
def accounts_traces(
    name: Annotated[str, typer.Argument(help="Only what this account saw and did.")] = "",
    from_day: Annotated[str, typer.Option("--from", help="From this day on, YYYY-MM-DD.")] = "",
    to_day: Annotated[str, typer.Option("--to", help="To this day, YYYY-MM-DD.")] = "",
    top: Annotated[int, typer.Option("--top", min=1, max=1000, help="How many to show.")] = 50,
    database: Database = None,
    as_json: Json = False,
) -> None:
    """Who saw and did what, newest first."""
    from headstock.cli.commands.accounts import run_traces

    answering(as_json, lambda: run_traces(name, from_day, to_day, top, database, as_json))
