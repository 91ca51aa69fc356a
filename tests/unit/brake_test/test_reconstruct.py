"""What explains a record: planted states are found under noise and another draw, a record of another train is not explained."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from headstock.brake_test.causes import Cause
from headstock.brake_test.reconstruct import FITS_WITHIN, Candidate, Reconstruction, reconstruct
from headstock.brake_test.record_fit import fit_of, refined, screened
from headstock.brake_test.record_model import APART_S, SIGMA_BAR, Recorded, Tried
from tests.cases.made_records import ALL, LATE_S, PIPES, made_model, made_samples

SLOW = pytest.mark.slow
SHUT = Cause("cock shut", "217/2.brake_pipe_cock")
PART = Cause("cock part open", "226/1.brake_pipe_cock", 0.02)
LEAK = Cause("pipe leaks", "2173", 2.2)
ISOLATED = Cause("brake isolated", "2264")


@cache
def found(*causes: Cause) -> Reconstruction:
    channels = ALL if ISOLATED in causes else PIPES
    return reconstruct(made_model(*made_samples(causes, channels), channels))


def wholes(candidate: Candidate) -> frozenset[Cause]:
    return frozenset(cause.without_degree for cause in candidate.fit.tried.causes)


def best_with(result: Reconstruction, *causes: Cause) -> Candidate:
    return next(one for one in result.candidates if wholes(one) == frozenset(cause.without_degree for cause in causes))


@pytest.mark.parametrize("causes", [(), (SHUT,), (PART,), pytest.param((LEAK,), marks=SLOW), (PART, ISOLATED)])
def test_planted_states_explain_the_record_and_nothing_explains_it_better_that_can_be_told_from_them(
    causes: tuple[Cause, ...],
) -> None:
    result = found(*causes)
    own = best_with(result, *causes)
    number = result.candidates.index(own) + 1
    assert own.explains and (number == 1 or own.alike == 1)
    assert sum(one.odds for one in result.candidates) == pytest.approx(1.0)
    # What was planted as a degree is found to within a quarter.
    for planted, fitted in zip(sorted(causes, key=repr), sorted(own.fit.tried.causes, key=repr), strict=True):
        assert fitted.severity == pytest.approx(planted.severity, rel=0.25)


def test_a_clock_that_is_late_is_found_beside_the_state() -> None:
    assert best_with(found(SHUT), SHUT).fit.tried.train[3] == pytest.approx(LATE_S, abs=0.4)


def test_a_shut_cock_is_not_explained_by_a_sound_train_and_a_sound_train_not_by_a_shut_cock() -> None:
    sound = best_with(found(SHUT))
    assert not sound.explains and sound.odds < 1e-6
    assert best_with(found()).odds > 0.9 and not any(SHUT in wholes(one) for one in found().candidates if one.explains)


def test_what_the_record_cannot_tell_apart_is_said() -> None:
    """Half-way between two cocks of one joint no gauge stands."""
    other = Cause("cock part open", "217/2.brake_pipe_cock")
    one, two = best_with(found(PART), PART), best_with(found(PART), other)
    assert 1 in (found(PART).candidates.index(one) + 1, one.alike) and 1 in (found(PART).candidates.index(two) + 1, two.alike)


@pytest.mark.parametrize(
    "what",
    ["set to 6.2 bar", *(pytest.param(what, marks=SLOW) for what in ("moved half a minute later", "blown down at the front"))],
)
def test_a_record_of_another_train_or_of_other_moves_is_explained_by_nothing(what: str) -> None:
    """A train that is much alike leaves the same trace and cannot be told: these are not."""
    t_s, bar = made_samples(())
    if what == "set to 6.2 bar":
        bar = bar * 1.24
    elif what == "moved half a minute later":
        bar = np.concatenate((np.repeat(bar[:1], 30, axis=0), bar[:-30]))
    else:
        bar[:, 0] *= np.linspace(1.0, 0.2, t_s.size)
    result = reconstruct(made_model(t_s, bar))
    assert not result.is_explained and len(result.candidates) > 1


def test_refining_never_fits_worse_than_the_state_as_it_stands() -> None:
    model = made_model(*made_samples((LEAK,)))
    for fit in screened(model, [(LEAK,), (PART,)]):
        assert refined(model, fit.tried).misfit <= fit.misfit + 1e-6


@pytest.mark.outside(source="closed form", clause="half the weighted sum of squares over the standard error", status="computed")
def test_the_misfit_of_a_steady_offset_is_what_it_must_be() -> None:
    """100 samples a second apart are worth 10; twice the standard error each: half of 10 times 4, both channels."""
    t_s = np.arange(0.0, 100.0)
    model = made_model(t_s, np.full((t_s.size, 2), 5.0 + 2 * SIGMA_BAR))
    fit = fit_of(model, Tried(()), np.full((t_s.size, 2), 5.0))
    assert fit.misfit == pytest.approx(0.5 * 2 * 100 / APART_S * 4.0) and fit.rms == (pytest.approx(2.0), pytest.approx(2.0))
    assert max(fit.rms) <= FITS_WITHIN + 1e-9


def test_gaps_count_for_nothing_and_steep_falls_for_little() -> None:
    t_s = np.arange(0.0, 60.0)
    bar = np.full((60, 1), 5.0)
    bar[30:] = 3.4
    bar[40:50] = np.nan
    recorded = Recorded(t_s, (("front", "brake pipe"),), bar)
    assert recorded.sigma_bar[5, 0] == pytest.approx(SIGMA_BAR) and recorded.sigma_bar[30, 0] > 0.5
    fit = fit_of(made_model(t_s, bar, (("front", "brake pipe"),)), Tried(()), np.nan_to_num(bar, nan=-99.0))
    assert fit.rms == (0.0,) and fit.farthest_bar == (0.0,)
