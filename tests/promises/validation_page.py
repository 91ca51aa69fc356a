"""Makes docs/reference/validation.md and the report that the package carries, by running the marked checks.

``python -m tests.promises.validation_page`` runs those in files that changed since and writes both; ``--all`` runs all of them,
``--slow`` also those marked slow, ``--page`` none.
"""

from __future__ import annotations

import hashlib
import re
import sys
from collections.abc import Iterable
from datetime import date
from pathlib import Path

import pytest

from headstock.usecases.not_validated import CLAIMS, PEOPLE
from headstock.usecases.validation_report import REPORT, ValidationCheck, ValidationReport, load_report
from headstock.usecases.validation_words import (
    against_in_words,
    computed_in_words,
    counts_in_words,
    expected_in_words,
    tolerance_in_words,
)
from tests.gathering import Gathering
from tests.promises.tree import ROOT
from tests.validation_claims import claim_of

PAGE = ROOT / "docs" / "reference" / "validation.md"
MAKE_ANEW = "make it anew: python -m tests.promises.validation_page"
ON_THE_PAGE = 8
HEAD = """# Validation report

> A planning and training aid: the rule book, local instructions, the maintainer's documents and the person in charge on the
> ground come first. A check that passed says that a figure is the source's, never that a train may go.

Every check of Headstock against something outside it, as the tests found it on {made}: {counts}.
`headstock validation` prints the same, with figures by `--figures`, and ends with status 1 where anything is wrong. Sources
stand in [sources](../sources.md); *read* means that somebody here has read that clause, *from memory* that nobody has. What is
compared stands as the test writes it. Where a check has no figures, it holds an order, a word or a yes or no. *Not run* are
checks that take long: `./test --all` runs them.
"""
TABLE = "| what | case | expected | computed | may be off by, and why | |\n|---|---|---|---|---|---|\n"
ABOUT_MARKERS = {"test_outside_markers.py", "test_validation.py"}
MARK = re.compile(r"mark\.outside\(")


def marked_files() -> dict[str, str]:
    """Every test file with a marked check, with the digest of its text."""
    files = {}
    for path in sorted((ROOT / "tests").rglob("test_*.py")):
        text = path.read_text(encoding="utf-8")
        if MARK.search(text) and path.name not in ABOUT_MARKERS:
            files[path.relative_to(ROOT).as_posix()] = hashlib.sha256(text.encode()).hexdigest()[:12]
    return files


def gathered(files: Iterable[str], with_slow: bool = False) -> tuple[ValidationCheck, ...]:
    """The marked checks of these files, run now."""
    gathering = Gathering()
    chosen = "outside" if with_slow else "outside and not slow"
    pytest.main(["-q", "-p", "no:cacheprovider", "-m", chosen, *files], plugins=[gathering])
    return gathering.checks()


def page(report: ValidationReport) -> str:
    """The whole page."""
    states = [check.state for check in report.checks]
    counts = f"{states.count('passed')} passed, {states.count('failed')} failed, {states.count('not run')} not run"
    parts = [HEAD.format(made=report.made, counts=counts)]
    if report.failed:
        parts.append("\n**WRONG**: " + "; ".join(check.words for check in report.failed) + "\n")
    for claim, without in CLAIMS.items():
        parts.append(f"\n## {claim}\n\n{counts_in_words(report, claim)}\n\n### Not validated\n\n{_lines(without)}")
        parts += [_check(check) for check in report.of_claim(claim)]
    parts.append(f"\n## Not tried with people\n\n{_lines(PEOPLE)}")
    return "".join(parts)


def _lines(lines: Iterable[str]) -> str:
    return "".join(f"- {line}\n" for line in lines)


def _check(check: ValidationCheck) -> str:
    said = {"passed": "", "failed": "**WRONG**: ", "not run": "*not run*: "}[check.state]
    name = check.words[:1].upper() + check.words[1:]
    text = f"\n### {name}\n\n{said}{against_in_words(check)} `{check.test.rpartition('::')[0]}`\n"
    if check.values:
        rows = [_row(*row) for row in _rows(check)[:ON_THE_PAGE]]
        left = len(check.values) + check.values_left - len(rows)
        text += f"\n{TABLE}{''.join(rows)}" + (f"\n{left} more figures.\n" if left else "")
    elif check.cases:
        text += f"\nCases: {'; '.join(_safe(case) for case in check.cases)}.\n"
    return text


def _rows(check: ValidationCheck) -> list[tuple[str, ...]]:
    return [
        (f"`{value.what.replace('|', '/')}`", _safe(value.case), expected_in_words(value), computed_in_words(value),
         tolerance_in_words(value), "" if value.is_within else "**WRONG**")
        for value in check.values
    ]  # fmt: skip


def _row(*cells: str) -> str:
    return "| " + " | ".join(cells) + " |\n"


def _safe(text: str) -> str:
    return re.sub(r"[|`*_<>\[\]]", " ", text)


def made_anew(old: ValidationReport | None, are_all: bool, with_slow: bool) -> ValidationReport:
    """The report with the checks of new and changed files run, and those of unchanged files kept."""
    files = marked_files()
    kept = {} if old is None or are_all else {name: key for name, key in old.files.items() if files.get(name) == key}
    for check in old.failed if old else ():
        kept.pop(check.test.partition("::")[0], None)
    checks = [check for check in (old.checks if old else ()) if check.test.partition("::")[0] in kept]
    stale = [name for name in files if name not in kept]
    if stale:
        checks += gathered(stale, with_slow)
    # Claims are told anew for all: their list may have changed where the test has not.
    told = [check.model_copy(update={"claim": claim_of(check.test) or ""}) for check in checks]
    return ValidationReport(made=str(date.today()), files=files, checks=tuple(sorted(told, key=lambda check: check.test)))


def write(report: ValidationReport, at: Path = REPORT, page_at: Path = PAGE) -> None:
    """Both, for whoever commits them."""
    at.write_text(report.model_dump_json(indent=1, exclude_defaults=True) + "\n", encoding="utf-8")
    page_at.write_text(page(report), encoding="utf-8")


def main(words: list[str]) -> None:
    """Make both, by the words on the command line."""
    old = load_report() if REPORT.exists() else None
    if "--page" not in words or old is None:
        old = made_anew(old, "--all" in words, "--slow" in words)
    write(old)


if __name__ == "__main__":
    main(sys.argv[1:])
