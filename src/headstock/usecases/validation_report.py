"""The validation report: every check against something outside the project, as the tests last found it, and what has none.

The figures are written by the tests (``python -m tests.promises.validation_page``); nothing here reckons.
"""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from pydantic import BaseModel, ConfigDict, ValidationError

from headstock.base.documents import read_text
from headstock.base.errors import ContentError, Fault

REPORT = Path(__file__).parent / "validation" / "report.json"
CheckState = Literal["passed", "failed", "not run"]


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class CheckedAgainst(_Part):
    """What a check is held against: source, clause or table, and how the source is known."""

    source: str
    clause: str
    status: str


class ComparedValue(_Part):
    """One figure: what is compared, in which case, expected (or lowest and highest), computed, tolerance and its reason."""

    what: str
    case: str = ""
    expected: float | tuple[float | None, float | None]
    computed: float
    tolerance: float = 0.0
    why: str
    is_within: bool


class ValidationCheck(_Part):
    """One check with its cases; `values` are the first figures it compared, `values_left` how many more there are."""

    test: str
    words: str
    claim: str
    against: tuple[CheckedAgainst, ...]
    passed: int = 0
    failed: tuple[str, ...] = ()
    not_run: int = 0
    cases: tuple[str, ...] = ()
    values: tuple[ComparedValue, ...] = ()
    values_left: int = 0

    @property
    def state(self) -> CheckState:
        """Failed as soon as one case or one figure is; not run where nothing was."""
        if self.failed or not all(value.is_within for value in self.values):
            return "failed"
        return "passed" if self.passed else "not run"


class ValidationReport(_Part):
    """All checks, and the digest of every file they stand in, by which a report that fell behind is known."""

    made: str
    files: dict[str, str]
    checks: tuple[ValidationCheck, ...]

    @property
    def failed(self) -> tuple[ValidationCheck, ...]:
        """What is not as the outside says."""
        return tuple(check for check in self.checks if check.state == "failed")

    def of_claim(self, claim: str) -> tuple[ValidationCheck, ...]:
        """The checks of one claim, in their order."""
        return tuple(check for check in self.checks if check.claim == claim)

    def count_by_status(self, claim: str) -> dict[str, int]:
        """How many checks of a claim rest on each kind of source; a check with two counts by the weaker, named last."""
        counts: dict[str, int] = {}
        for check in self.of_claim(claim):
            status = check.against[-1].status
            counts[status] = counts.get(status, 0) + 1
        return counts


def load_report(path: Path = REPORT) -> ValidationReport:
    """The report that came with this version, or another one. Raises FileError, ContentError."""
    try:
        return ValidationReport.model_validate_json(read_text(path))
    except ValidationError as error:
        first = error.errors()[0]
        at = ".".join(map(str, first["loc"]))
        raise ContentError([Fault("not a validation report", str(path), path=at, found=first["msg"])]) from None
