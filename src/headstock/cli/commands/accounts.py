"""``accounts``: who may sign in, in which role, and what was seen and done."""

from __future__ import annotations

import getpass
import sys
from typing import TYPE_CHECKING, cast

from headstock.base.errors import Fault, InputError
from headstock.cli.reply import NO, YES, print_json
from headstock.usecases.account_rules import check_name, plain_name
from headstock.usecases.accounts_port import Account
from headstock.usecases.moments import day_s
from headstock.usecases.records_port import Filed, Search
from headstock.usecases.roles import ROLES, Role, acts_of
from headstock.usecases.trace_words import Change, change_words, changes_of
from headstock.wiring import open_accounts, open_records

if TYPE_CHECKING:
    from headstock.records.accounts.keeping import StoredAccounts


def run_first(name: str, person: str, database: str | None, as_json: bool) -> int:
    """Make the first administrator."""
    accounts = open_accounts(database)
    if accounts.has_administrator():
        fault = Fault("there is an administrator already", path="NAME", found=name, expected="no administrator yet")
        raise InputError(fault, cure="Make more with headstock accounts add NAME --role administrator.")
    return _made(accounts, name, "administrator", person, as_json)


def run_add(name: str, role: str, person: str, database: str | None, as_json: bool) -> int:
    """Make an account."""
    from headstock.records.accounts.keeping import check_role

    check_role(role)
    return _made(open_accounts(database), name, role, person, as_json)


def _made(accounts: StoredAccounts, name: str, role: str, person: str, as_json: bool) -> int:
    check_name(plain_name(name))
    accounts.add(Account(name, person, cast(Role, role)), _password(), _here())
    return _told(plain_name(name), role, "made", as_json)


def run_list(database: str | None, as_json: bool) -> int:
    """Print all; 1 where one was changed past Headstock."""
    found = open_accounts(database).every()
    if as_json:
        print_json([{"name": one.name, "person": one.person, "role": one.role, "is_locked": one.is_locked, "doubt": one.doubt}
                    for one in found])  # fmt: skip
    else:
        for one in found:
            print(f"{one.name}  {one.role}  {one.person}{'  locked' if one.is_locked else ''}")
            if one.doubt:
                print(f"  Careful: {one.doubt}.")
        print(f"{len(found)} accounts" if found else "0 accounts; the first is made with: headstock accounts first NAME")
    return NO if any(one.doubt for one in found) else YES


def run_change(name: str, role: str | None, is_locked: bool | None, database: str | None, as_json: bool) -> int:
    """Another role, locked or not."""
    after = open_accounts(database).change(name, _here(), cast("Role | None", role), is_locked)
    return _told(after.name, after.role, "locked" if after.is_locked else "open", as_json, ENDED)


def run_password(name: str, database: str | None, as_json: bool) -> int:
    """Set a password."""
    accounts = open_accounts(database)
    account = accounts.named(name)
    accounts.set_password(account.name, _password(), _here())
    return _told(account.name, account.role, "password set", as_json, ENDED)


def run_roles(as_json: bool) -> int:
    """What each may do."""
    if as_json:
        print_json({role: list(acts_of(role)) for role in ROLES})
    else:
        for role in ROLES:
            print(f"{role}: {_more_than_before(role)}")
    return YES


def _more_than_before(role: Role) -> str:
    """What it may do, told from what the role before it may do."""
    number, acts = ROLES.index(role), acts_of(role)
    if not number:
        return ", ".join(acts)
    before = acts_of(ROLES[number - 1])
    less = [act for act in before if act not in acts]
    more = [act for act in acts if act not in before]
    but = f", but not {' or '.join(less)}" if less else ""
    return f"all that {ROLES[number - 1]} may{but}; and {', '.join(more)}"


def run_traces(name: str, from_day: str, to_day: str, top: int, database: str | None, as_json: bool) -> int:
    """Print traces; 0 found, 1 nothing."""
    for option, day in (("--from", from_day), ("--to", to_day)):
        if day:
            day_s(day, option)
    words = (f"account:{plain_name(name)}",) if name else ()
    records = open_records(database)
    found = records.search(Search(words, "audit", from_day, to_day, top))
    changes = changes_of(found, records)
    if as_json:
        print_json([{"entry": one.seq, "at": one.draft.at, "recorded_at": one.recorded_at, **one.draft.body,
                     "changed": changes.get(one.seq)} for one in found])  # fmt: skip
        return YES if found else NO
    for one in found:
        print(_trace_line(one, changes.get(one.seq)))
    print(f"{len(found)} found" + (", there may be more: --top" if len(found) == top else ""))
    return YES if found else NO


def _trace_line(entry: Filed, change: Change | None) -> str:
    body = entry.draft.body
    where = f" from {body['address']}" if body["address"] else ""
    what = f": {change_words(change)}" if change is not None else ""
    return f"{entry.draft.at}  {body['who'] or 'no such account'}: {body['act']} {body['on']}".rstrip() + (
        f"{what}{where}, {body['outcome']}"
    )


ENDED = "its sessions have ended"


def _told(name: str, role: str, what: str, as_json: bool, more: str = "") -> int:
    """``open``: may sign in."""
    if as_json:
        print_json({"name": name, "role": role, "done": what})
    else:
        words = "may sign in" if what == "open" else what
        print(f"{name}, {role}: {words}{f'; {more}' if more else ''}")
    return YES


def _here() -> str:
    """Who sits at this computer, as its own accounts say."""
    try:
        return f"at the computer: {getpass.getuser()}"
    except (KeyError, OSError):
        return "at the computer"


def _password() -> str:
    """From a prompt that shows nothing, twice; or a line of standard input. Raises InputError."""
    if not sys.stdin.isatty():
        return sys.stdin.readline().rstrip("\r\n")
    first = getpass.getpass("Password: ")
    if getpass.getpass("The same again: ") != first:
        raise InputError(Fault("the two are not the same", path="password", expected="the same password twice"))
    return first
