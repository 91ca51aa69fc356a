"""Somebody who compares air engines asks: what do the gauges of this plain case read, and when? Either solver answers.

It says nothing about a real train, and judges no brake test.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from time import perf_counter
from typing import Any, Literal

import numpy as np

from headstock.base.errors import Fault, InputError, OutsideModelError
from headstock.physics.arrays import Floats
from headstock.physics.fast import advance_fast
from headstock.physics.fine import advance
from headstock.physics.pipe_network import ATMOSPHERE_PA, GasModel
from headstock.usecases.air_case_answers import AirAnswer, answer_of
from headstock.usecases.air_case_checks import load_air_cases
from headstock.usecases.air_case_file import AirCase
from headstock.usecases.air_case_network import air_run_of, fast_run_of

Solver = Literal["fine", "fast"]
Progress = Callable[[int, float, float], None]
"""Told now and then: number of the case, time reached [s], end [s]."""

SAMPLE_S = 0.001
"""Shortest time between samples [s]: about a step of the solver in cells of half a metre."""
MOST_READINGS = 20_000_000
"""Readings kept of a case: 160 MB. A long case of many places is sampled less often to stay below."""


@dataclass(frozen=True, slots=True)
class AirSeries:
    """All samples of the asked places: times [s], gauge pressures [bar] (samples, places)."""

    t_s: Floats
    places: tuple[str, ...]
    bar: Floats


@dataclass(frozen=True, slots=True)
class AirCaseResult:
    """Answers in the order asked, and how they were come by."""

    name: str | None
    answers: tuple[AirAnswer, ...]
    solver: Solver
    gas: GasModel
    steps: int
    elapsed_s: float
    mass_balance_relative: float
    series: AirSeries | None

    def as_json(self) -> dict[str, Any]:
        """The answer as the contract has it."""
        named = {} if self.name is None else {"name": self.name}
        return {
            **named, "answers": [asdict(answer) for answer in self.answers], "status": "ok", "solver": self.solver,
            "gas": self.gas, "steps": self.steps, "elapsed_s": self.elapsed_s,
            "mass_balance_relative": self.mass_balance_relative,
        }  # fmt: skip


@dataclass(frozen=True, slots=True)
class AirFileResult:
    """One result for each case of a file."""

    results: tuple[AirCaseResult, ...]
    is_list: bool

    def as_json(self) -> Any:
        """In the shape of the file: an object for an object, a list for a list."""
        values = [result.as_json() for result in self.results]
        return values if self.is_list else values[0]


def answer_air_file(
    path: Path, solver: Solver = "fine", gas: GasModel | None = None, keep_series: bool = False, tell: Progress | None = None
) -> AirFileResult:
    """Run every case of a file. Raises InputError for a file that cannot be meant, OutsideModelError where no answer is."""
    file = load_air_cases(path)
    chosen = _gas_for(solver, gas)
    if keep_series and len(file.cases) != 1:
        fault = Fault("a series is kept of one case only", str(path), found=f"{len(file.cases)} cases", expected="one case")
        raise InputError(fault, cure="Ask for the series with a file of one case.")
    results = []
    for number, case in enumerate(file.cases):
        told = None if tell is None else _for_case(tell, number, case.end_s)
        try:
            result = answer_air_case(case, chosen, told, solver)
        except OutsideModelError as error:
            where = f"{path}{f' [{number}]' if file.is_list else ''}{f' {case.name}' if case.name else ''}"
            raise OutsideModelError(error.what, where=where, why=error.why, cure=error.cure) from None
        results.append(result if keep_series else replace(result, series=None))
    return AirFileResult(tuple(results), file.is_list)


def answer_air_case(
    case: AirCase, gas: GasModel, on_progress: Callable[[float], None] | None = None, solver: Solver = "fine"
) -> AirCaseResult:
    """Run one case. Raises OutsideModelError."""
    began = perf_counter()
    reckoned = _reckoned_fast(case) if solver == "fast" else _reckoned_fine(case, gas, on_progress)
    bar = (reckoned.readings_pa - ATMOSPHERE_PA) / 1e5
    column = {place: bar[:, number] for number, place in enumerate(reckoned.places)}
    answers = tuple(answer_of(ask, reckoned.t_s, column[ask.where]) for ask in case.ask)
    if not np.isfinite(reckoned.mass_balance):
        raise OutsideModelError("the mass of air does not come out as a number")
    return AirCaseResult(
        case.name, answers, solver, gas, reckoned.steps, perf_counter() - began, reckoned.mass_balance,
        AirSeries(reckoned.t_s, reckoned.places, bar),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Reckoned:
    """What either solver gives back."""

    places: tuple[str, ...]
    t_s: Floats
    readings_pa: Floats
    steps: int
    mass_balance: float


def _reckoned_fine(case: AirCase, gas: GasModel, on_progress: Callable[[float], None] | None) -> _Reckoned:
    run = air_run_of(case)
    sample_s = _sample_s(case.end_s, len(run.probes))
    result = advance(run.grid, run.start, run.timeline, case.end_s, gas, run.probes, sample_s, on_progress)
    return _Reckoned(run.places, result.t_s, result.readings_pa, result.steps, result.mass_balance)


def _reckoned_fast(case: AirCase) -> _Reckoned:
    run = fast_run_of(case)
    result = advance_fast(run.grid, run.start, (run.timeline,), case.end_s, run.probes)
    return _Reckoned(run.places, result.t_s, result.readings_pa[:, :, 0], result.steps, float(result.mass_balance[0]))


def _sample_s(end_s: float, places: int) -> float:
    return max(SAMPLE_S, end_s * places / MOST_READINGS)


def _gas_for(solver: Solver, gas: GasModel | None) -> GasModel:
    if solver == "fast" and gas == "heat-transfer":
        raise OutsideModelError(
            "the fast solver is isothermal and has no heat transfer", cure="Leave out --gas, or ask for --solver fine."
        )
    return gas or ("isothermal" if solver == "fast" else "heat-transfer")


def _for_case(tell: Progress, number: int, end_s: float) -> Callable[[float], None]:
    return lambda t_s: tell(number, t_s, end_s)
