"""The page of the names for notebooks, made from their signatures and docstrings, so that it cannot fall behind.

``python -m tests.promises.python_page`` writes it; a test compares.
"""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable, Iterator
from typing import Any

import headstock
from tests.promises.tree import ROOT

PAGE = ROOT / "docs" / "reference" / "python.md"
HEAD = """# Python

> Headstock is a planning and training aid. The rule book, local instructions, the maintainer's documents and the person in
> charge on the ground come first. No answer here is permission to move or to go between, and the built-in data are invented.

`import headstock as hs` loads nothing; the first name that is used loads what it needs. A [notebook](../tutorial/notebook.ipynb)
shows all of it run. The classes of the answers are in `headstock.notebook`.

Every answer has

| | |
|---|---|
| `answer` | the answer in a word or two |
| `reasons` | every reason of a no, as a tuple of texts; empty where there is none |
| `cautions` | what is said above the answer |
| `data` | the value that the [command line](commands.md) gives with `--json`; units stand in the names |
| `result` | what the question's module answered, with its types |
| `parts()` | the lines, tables and drawings that a notebook shows, in order |

`print(answer)` writes it as plain text. Bad input raises `InputError` with every fault, its place and its cure (`faults`,
`text()`, `as_json()`); a refusal of the trade is no error but an answer with reasons. Questions that use all cores (`find`,
`blind_spots`, `mistakes` with pairs) start processes afresh: in a script of your own ask them under
`if __name__ == "__main__":`.

Not among the names: a fleet study and the records, whose files (Parquet, CSV, JSON lines) any program reads once
`headstock study run` and `headstock records export` have written them; exercises and papers, which are sat; and what only
looks at files, as `headstock read` does.
"""


def asked() -> dict[str, Callable[..., Any]]:
    """The functions that are offered, in the order in which they are."""
    return {name: one for name in headstock.OFFERED if inspect.isfunction(one := getattr(headstock, name))}


def page() -> str:
    """The whole page."""
    return HEAD + "\n".join(_lines()) + "\n"


def _lines() -> Iterator[str]:
    for name, one in asked().items():
        yield f"\n## {name}\n\n```python\n{signature(name, one)}\n```\n"
        yield re.sub(r"``", "`", inspect.cleandoc(one.__doc__ or ""))
        own = [(key, value) for key, value in vars(_answer_of(one)).items() if not key.startswith("_") and _is_told(key, value)]
        if own:
            yield "\n| also | |\n|---|---|"
        for key, value in own:
            called = f"{key}()" if inspect.isfunction(value) else key
            yield f"| `{called}` | {' '.join((inspect.getdoc(value) or '').split()).replace('``', '`')} |"


def _is_told(key: str, value: object) -> bool:
    """Whether a member is of this class alone, and more than every answer has."""
    return key not in ("title", "reasons", "cautions", "parts", "job", "result") and isinstance(value, property | type(_is_told))


def _answer_of(one: Callable[..., Any]) -> type:
    from headstock import notebook

    answered: type = getattr(notebook, inspect.signature(one).return_annotation)
    return answered


def signature(name: str, one: Callable[..., Any]) -> str:
    """The call with its types, a parameter a line where one line has no room."""
    found = inspect.signature(one)
    given = [re.sub(r"'([^']*)'(?= =|$)", r"\1", str(parameter)) for parameter in _told(found)]
    line = f"{name}({', '.join(given)}) -> {found.return_annotation}"
    if len(line) <= 100:
        return line
    return f"{name}(\n" + "".join(f"    {one},\n" for one in given) + f") -> {found.return_annotation}"


def _told(found: inspect.Signature) -> Iterator[str]:
    by_name = False
    for parameter in found.parameters.values():
        if parameter.kind is inspect.Parameter.KEYWORD_ONLY and not by_name:
            by_name = True
            yield "*"
        default = "" if parameter.default is inspect.Parameter.empty else f" = {parameter.default!r}"
        yield f"{parameter.name}: {parameter.annotation}{default}"


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
