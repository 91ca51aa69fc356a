"""The validation report in words, the same on the page and in the terminal."""

from __future__ import annotations

from headstock.usecases.validation_report import ComparedValue, ValidationCheck, ValidationReport


def counts_in_words(report: ValidationReport, claim: str) -> str:
    """How many checks, and on what they rest."""
    counts = report.count_by_status(claim)
    parts = ", ".join(f"{count} {status}" for status, count in sorted(counts.items(), key=lambda item: -item[1]))
    return f"{sum(counts.values())} checks; how their sources are known: {parts}."


def against_in_words(check: ValidationCheck) -> str:
    """Sources with clause and status, and how many cases."""
    sources = "; ".join(
        f"{one.source}{', ' + one.clause if one.clause else ''} ({one.status})" for one in dict.fromkeys(check.against)
    )
    return f"{sources}. {cases_in_words(check)}"


def cases_in_words(check: ValidationCheck) -> str:
    """How many cases passed, failed and were not run."""
    parts = [(check.passed, "passed"), (len(check.failed), "failed"), (check.not_run, "not run")]
    return ", ".join(f"{count} {word}" for count, word in parts if count) or "not run"


def expected_in_words(value: ComparedValue) -> str:
    """The figure, or the window."""
    if not isinstance(value.expected, tuple):
        return _figure(value.expected)
    low, high = value.expected
    if low is None:
        return f"at most {_figure(high)}"
    return f"at least {_figure(low)}" if high is None else f"{_figure(low)} to {_figure(high)}"


def tolerance_in_words(value: ComparedValue) -> str:
    """How far off it may be, and why."""
    return value.why if isinstance(value.expected, tuple) else f"{value.tolerance:.2g}: {value.why}"


def computed_in_words(value: ComparedValue) -> str:
    """The figure that came out."""
    return _figure(value.computed)


def value_in_words(value: ComparedValue) -> str:
    """One line: what, expected, computed, tolerance and why."""
    case = f" [{value.case}]" if value.case else ""
    off = tolerance_in_words(value)
    return f"{value.what}{case}: expected {expected_in_words(value)}, computed {computed_in_words(value)}, within {off}"


def _figure(figure: float | None) -> str:
    return "" if figure is None else f"{figure:.7g}"
