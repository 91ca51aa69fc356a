"""Headstock: coupling, uncoupling and brake testing of multiple-unit trains.

The package root imports nothing, so that `--help`, a shell's completion and ``import headstock`` answer at once. The names for
notebooks (``headstock.plan`` and the others of ``headstock.notebook``) are loaded when the first of them is asked for.
"""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from headstock.notebook import HeadstockError as HeadstockError
    from headstock.notebook import InputError as InputError
    from headstock.notebook import blind_spots as blind_spots
    from headstock.notebook import can as can
    from headstock.notebook import check as check
    from headstock.notebook import due as due
    from headstock.notebook import find as find
    from headstock.notebook import forecast as forecast
    from headstock.notebook import join as join
    from headstock.notebook import judge as judge
    from headstock.notebook import load_fleet as load_fleet
    from headstock.notebook import load_job as load_job
    from headstock.notebook import mistakes as mistakes
    from headstock.notebook import plan as plan
    from headstock.notebook import reconstruct as reconstruct
    from headstock.notebook import table as table

__version__ = "0.1.0"
OFFERED = (
    "load_fleet", "load_job", "plan", "check", "mistakes", "forecast", "judge", "find", "reconstruct", "blind_spots", "can",
    "join", "table", "due", "HeadstockError", "InputError",
)  # fmt: skip


def __getattr__(name: str) -> Any:
    if name not in OFFERED:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from headstock import notebook

    globals().update({offered: getattr(notebook, offered) for offered in OFFERED})
    return globals()[name]


def __dir__() -> list[str]:
    return sorted({*globals(), *OFFERED})
