"""How every command answers: words or JSON on standard output, one error shape, the exit status last."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from typing import Any, NoReturn

YES, NO, BAD_INPUT, NOT_YET = 0, 1, 2, 3
ANSWER_STATUS = {"yes": YES, "only if": YES, "no": NO, "not found": NOT_YET, "outside the model": NOT_YET}


def finish(status: int) -> NoReturn:
    """End with an exit status."""
    raise SystemExit(status)


def print_json(value: Any) -> None:
    """One JSON value on standard output."""
    print(json.dumps(value, indent=2, ensure_ascii=False))


def answering(as_json: bool, work: Callable[[], int]) -> NoReturn:
    """Run a command's work; refused input becomes one error, as text or as JSON, with its exit status."""
    from headstock.base.errors import HeadstockError

    try:
        status = work()
    except HeadstockError as error:
        if as_json:
            print_json(error.as_json())
        else:
            print(error.text(), file=sys.stderr)
        finish(error.exit_status)
    finish(status)


def wrong_words(error: Any, as_json: bool) -> NoReturn:
    """A command, option or argument that there is not, in the shape of every other error where JSON was asked for.

    ``error`` is typer's own; its usage and its way of showing itself are not in typer's public types.
    """
    from headstock.base.errors import Fault, InputError

    if as_json:
        said = error.format_message()
        usage = error.ctx.get_usage() if error.ctx is not None else ""
        fault = Fault(said, found=" ".join(sys.argv[1:]), expected=usage.removeprefix("Usage: ") or None)
        print_json(InputError(fault, what=said, where="command line", cure="Ask for --help.").as_json())
    else:
        error.show()
    finish(BAD_INPUT)
