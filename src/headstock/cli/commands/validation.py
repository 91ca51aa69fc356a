"""``validation``: what was held against something outside the project, how it came out, and what was not."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

from headstock.cli.reply import NO, YES, print_json
from headstock.usecases.not_validated import CLAIMS, PEOPLE
from headstock.usecases.standing_caution import STANDING_CAUTION
from headstock.usecases.validation_report import REPORT, ValidationCheck, ValidationReport, load_report
from headstock.usecases.validation_words import against_in_words, counts_in_words, value_in_words

SIGN = {"passed": "   ok", "failed": "WRONG", "not run": "  ..."}


def run_validation(as_json: bool, are_all: bool, path: Path = REPORT) -> int:
    """The report as words or JSON; exit status 1 when anything is not as the outside says."""
    report = load_report(path)
    status = NO if report.failed else YES
    if as_json:
        print_json(_as_json(report))
        return status
    print(f"{STANDING_CAUTION}\n\nEvery check against something outside the project, as the tests found it on {report.made}.")
    for claim, without in CLAIMS.items():
        print(f"\n{claim.upper()}\n{counts_in_words(report, claim)}")
        for check in report.of_claim(claim):
            _print_check(check, are_all)
        print("Not validated:")
        print("\n".join(f"  - {line}" for line in without))
    print("\nNOT TRIED WITH PEOPLE")
    print("\n".join(f"  - {line}" for line in PEOPLE))
    _print_end(report)
    return status


def _print_check(check: ValidationCheck, are_all: bool) -> None:
    print(f"{SIGN[check.state]}  {check.words}")
    print(f"         {against_in_words(check)}")
    for value in check.values:
        if are_all or not value.is_within:
            print(f"         {'' if value.is_within else 'WRONG: '}{value_in_words(value)}")
    for case in check.failed:
        print(f"         WRONG: {case}")


def _print_end(report: ValidationReport) -> None:
    counts = Counter(check.state for check in report.checks)
    said = ", ".join(f"{counts[state]} {state}" for state in ("passed", "failed", "not run") if counts[state])
    print(f"\n{len(report.checks)} checks: {said}. What is not run takes long; ./test --all runs it.")
    if report.failed:
        print("Not as the outside says: " + "; ".join(check.words for check in report.failed))


def _as_json(report: ValidationReport) -> dict[str, object]:
    return {
        "caution": STANDING_CAUTION, "made": report.made, "is_good": not report.failed,
        "claims": [
            {
                "claim": claim, "not_validated": list(without),
                "checks": [{"state": check.state, **check.model_dump(mode="json", exclude={"claim"})}
                           for check in report.of_claim(claim)],
            }
            for claim, without in CLAIMS.items()
        ],
        "not_tried_with_people": list(PEOPLE),
    }  # fmt: skip
