"""The fast solver against the fine one, both isothermal, on the same cases: never against itself.

Front, rear, every pipe and cylinder, each tenth of a second. The fine solver is held against exact solutions elsewhere.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from headstock.physics.arrays import Floats
from headstock.physics.fast import CLOSE_STEPS, MANY_STEPS, advance_fast
from headstock.physics.fast_state import Steps
from headstock.physics.fine import advance
from headstock.physics.pipe_network import Probe
from headstock.usecases.air_case import answer_air_file
from headstock.usecases.air_case_checks import load_air_cases
from headstock.usecases.air_case_file import AirCase
from headstock.usecases.air_case_network import air_run_of, fast_run_of

EXAMPLES = Path(__file__).parent / "air_examples"
SHORT = ("cock-shut-at-joint-6", "full-service-12-vehicles-two-pipe", "leak-test-8-vehicles-single-pipe")
EVERY_S = 0.1


@cache
def case_of(name: str) -> AirCase:
    return load_air_cases(EXAMPLES / f"{name}.json").cases[0]


def probes_of(case: AirCase) -> tuple[Probe, ...]:
    numbers = range(case.vehicles)
    return (Probe("front"), Probe("rear"), *(Probe(kind, n) for kind in ("branch", "cylinder") for n in numbers))


@cache
def fine_of(name: str) -> Floats:
    """What the fine solver reads at each tenth of a second [Pa] (samples, probes)."""
    case = case_of(name)
    run = air_run_of(case)
    result = advance(run.grid, run.start, run.timeline, case.end_s, "isothermal", probes_of(case), 0.02)
    return at_tenths(case, result.t_s, result.readings_pa)


def at_tenths(case: AirCase, t_s: Floats, readings_pa: Floats) -> Floats:
    wanted = np.arange(0.0, case.end_s, EVERY_S)
    return np.stack([np.interp(wanted, t_s, readings_pa[:, n]) for n in range(readings_pa.shape[1])], axis=1)


def misses_mbar(name: str, steps: Steps = CLOSE_STEPS) -> tuple[float, float, int]:
    """Mean and 99 % of |fast - fine| [mbar], and the fast solver's steps."""
    case = case_of(name)
    run = fast_run_of(case)
    result = advance_fast(run.grid, run.start, (run.timeline,), case.end_s, probes_of(case), steps)
    assert abs(result.mass_balance[0]) < 1e-11
    off = np.abs(at_tenths(case, result.t_s, result.readings_pa[:, :, 0]) - fine_of(name)) / 100.0
    return float(off.mean()), float(np.percentile(off, 99)), result.steps


@pytest.mark.parametrize("name", SHORT)
def test_it_follows_the_fine_solver_in_the_examples(name: str) -> None:
    mean, worst, steps = misses_mbar(name)
    assert mean < 0.6, "seen: 0.39, 0.42, 0.31"
    assert worst < 6.0, "seen: 4.3, 3.6, 3.1"
    assert steps < 300


@pytest.mark.parametrize("name", SHORT)
def test_with_the_steps_for_many_scenarios_it_follows_hardly_less_closely_with_fewer_steps(name: str) -> None:
    mean, worst, steps = misses_mbar(name, MANY_STEPS)
    assert mean < 0.6, "seen: 0.35, 0.53, 0.36"
    assert worst < 6.0, "seen: 4.6, 4.4, 4.0"
    assert steps < 0.95 * misses_mbar(name)[2], "seen: 139, 145, 209"


@pytest.mark.slow
def test_with_the_steps_for_many_scenarios_it_follows_through_twelve_minutes_of_everything() -> None:
    mean, worst, steps = misses_mbar("speed-case", MANY_STEPS)
    assert mean < 1.7 and worst < 15.0, "seen: 1.33, 13.1; asked of this solver: 3.5, 30"
    assert steps < 1200, "seen: 1108"


@pytest.mark.slow
def test_it_follows_the_fine_solver_through_twelve_minutes_of_everything() -> None:
    mean, worst, steps = misses_mbar("speed-case")
    assert mean < 1.7, "seen: 1.33"
    assert worst < 15.0, "seen: 12.3"
    assert steps < 1700


def test_a_closer_tolerance_comes_closer() -> None:
    name = "full-service-12-vehicles-two-pipe"
    coarse, middle, close = (
        misses_mbar(name, CLOSE_STEPS._replace(tolerance_pa=tolerance_pa))[0] for tolerance_pa in (1000.0, 150.0, 30.0)
    )
    assert coarse > middle > close


@pytest.mark.outside(source="independent integration", clause="three worked examples, reference bands", status="computed")
@pytest.mark.parametrize("name", SHORT)
def test_every_answer_of_an_example_lies_in_its_band(name: str) -> None:
    expected = json.loads((EXAMPLES / f"{name}.expected.json").read_text(encoding="utf-8"))["answers"]
    answers = answer_air_file(EXAMPLES / f"{name}.json", "fast").results[0].answers
    for wanted, answer in zip(expected, answers, strict=True):
        assert answer.value is not None
        low, high = wanted["band"]
        assert low <= answer.value <= high, wanted


def test_in_the_first_minute_of_charging_drawn_air_takes_its_momentum_along() -> None:
    case = case_of("speed-case").model_copy(update={"end_s": 60.0})
    fast_run, fine_run = fast_run_of(case), air_run_of(case)
    fast = advance_fast(fast_run.grid, fast_run.start, (fast_run.timeline,), 60.0, (Probe("rear"),))
    fine = advance(fine_run.grid, fine_run.start, fine_run.timeline, 60.0, "isothermal", (Probe("rear"),), 0.02)
    off = at_tenths(case, fast.t_s, fast.readings_pa[:, :, 0]) - at_tenths(case, fine.t_s, fine.readings_pa)
    assert abs(off.mean()) < 1200.0, "seen: 10 mbar; without the momentum 24"


def test_a_valve_that_closes_in_on_its_limit_does_not_flutter() -> None:
    case = case_of("speed-case").model_copy(update={"end_s": 300.0})
    run = fast_run_of(case)
    coarse = CLOSE_STEPS._replace(tolerance_pa=400.0)
    assert advance_fast(run.grid, run.start, (run.timeline,), 300.0, (), coarse).steps < 700, "looked at once a step: thousands"


def crossings(t_s: Floats, gauge_bar: Floats, level_bar: float) -> Floats:
    """Every time at which a reading goes through a level [s]."""
    x = gauge_bar - level_bar
    before = np.flatnonzero(np.sign(x[:-1]) * np.sign(x[1:]) < 0)
    return np.asarray(t_s[before] + x[before] / (x[before] - x[before + 1]) * (t_s[before + 1] - t_s[before]))


@cache
def passed() -> dict[tuple[str, int, float], tuple[Floats, Floats]]:
    """Of every reading of the speed case and many levels: when the fine solver and the fast one pass it [s]."""
    case = case_of("speed-case")
    slow, quick = air_run_of(case), fast_run_of(case)
    fine = advance(slow.grid, slow.start, slow.timeline, case.end_s, "isothermal", probes_of(case), 0.02)
    fast = advance_fast(quick.grid, quick.start, (quick.timeline,), case.end_s, probes_of(case))
    found = {}
    for n, probe in enumerate(probes_of(case)):
        for level in (0.4, 1.0, 2.0, 3.0) if probe.kind == "cylinder" else (0.5, 1.0, 2.0, 3.0, 4.0, 4.5):
            found[probe.kind, probe.number, level] = (
                crossings(fine.t_s, (fine.readings_pa[:, n] - 101325.0) / 1e5, level),
                crossings(fast.t_s, (fast.readings_pa[:, n, 0] - 101325.0) / 1e5, level),
            )
    return found


def test_the_crossings_that_the_speed_case_asks_for_come_when_the_fine_solver_has_them() -> None:
    asked = [ask for ask in case_of("speed-case").ask if ask.kind == "cross"]
    for ask in asked:
        number = ask.where.removeprefix("cyl")
        key = ("cylinder", int(number) - 1, ask.level_bar) if number != ask.where else (ask.where, 0, ask.level_bar)
        wanted, found = (times[times > ask.after_s][0] for times in passed()[key])
        assert abs(found - wanted) <= max(0.1, 0.01 * wanted), (ask, wanted, found)
    assert len(asked) >= 8


def test_every_level_is_passed_as_often_and_nearly_when_the_fine_solver_passes_it() -> None:
    # While an empty pipe is charged the middle of the train is up to 2.5 % early: the coarse grid, not the steps.
    count, out = 0, []
    for key, (wanted, found) in passed().items():
        assert wanted.size == found.size, (key, wanted, found)
        count += wanted.size
        far = np.abs(found - wanted) > np.maximum(0.1, 0.01 * wanted)
        out += [(key, w, f) for w, f in zip(wanted[far].tolist(), found[far].tolist(), strict=True)]
    assert count > 400 and len(out) <= 10, out
    assert all(abs(f - w) <= 0.035 * w for _, w, f in out), out
