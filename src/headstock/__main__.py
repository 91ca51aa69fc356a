"""``python -m headstock``."""

from __future__ import annotations

import sys


def main() -> None:
    """Run the command line; a wrong option or argument is one clear error, exit status 2."""
    from headstock.cli.app import app

    try:
        app(prog_name="headstock")
    except KeyboardInterrupt:
        print("stopped", file=sys.stderr)
        raise SystemExit(130) from None
    except BrokenPipeError:
        raise SystemExit(0) from None


if __name__ == "__main__":
    main()
