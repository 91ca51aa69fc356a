"""``python -m headstock``."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import typer

    from headstock.usecases.serving import Serving


def whole_app() -> typer.Typer:
    """All commands, with the one that serves the pages."""
    from headstock.cli.app import app
    from headstock.cli.serve_app import add_serve

    if not any(command.callback is not None and command.callback.__name__ == "serve" for command in app.registered_commands):
        add_serve(app, _serve)
    return app


def _serve(serving: Serving) -> int:
    from headstock.web.serve import serve

    return serve(serving)


STOPPED = 130
"""Exit status of what was stopped from the keyboard."""


def main() -> None:
    """Run the command line; a wrong option or argument is one clear error, exit status 2."""
    import typer
    from typer.exceptions import TyperException

    from headstock.cli.reply import wrong_words

    try:
        # Stopped from the keyboard inside a command, typer ends by itself and gives the status back.
        status = whole_app()(prog_name="headstock", standalone_mode=False)
        if status == STOPPED:
            raise KeyboardInterrupt
    except TyperException as error:
        wrong_words(error, "--json" in sys.argv)
    except (KeyboardInterrupt, typer.Abort):
        print("stopped", file=sys.stderr)
        raise SystemExit(STOPPED) from None
    except BrokenPipeError:
        raise SystemExit(0) from None


if __name__ == "__main__":
    main()
