"""The relations at an end and at a branch find the pressure on which both sides agree, however wide or narrow the opening."""

from __future__ import annotations

from math import sqrt

import numpy as np
import pytest

from headstock.physics.fine_faces import settle_end

P, T, AREA = 101325.0, 293.15, 8.04e-4
SOUND = sqrt(287.05 * T)


@pytest.mark.parametrize("excess_pa", [100.0, 20.0, 5.0, 1.0, 0.1, 0.01, -0.01, -1.0, -20.0])
def test_a_wide_opening_lets_pass_what_the_pipe_s_own_wave_brings(excess_pa: float) -> None:
    wide = np.array([P, 1.0, np.inf, 1.0, -np.inf, 1e4, P])
    rho = P / (287.05 * T)
    mass, _, _, face, _ = settle_end(rho, excess_pa / (rho * SOUND), P, T, AREA, wide, T, False)
    assert mass * SOUND / AREA / excess_pa == pytest.approx(1.0, abs=2e-3)
    assert face == pytest.approx(P, abs=2e-3 * abs(excess_pa) + 1e-3)


def test_an_open_end_leaves_air_at_rest_at_rest() -> None:
    wide = np.array([P, AREA, np.inf, AREA, -np.inf, 1e4, P])
    for off in (1.0, 1.0 + 1e-15, 1.0 - 1e-15):
        assert settle_end(P / (287.05 * T), 0.0, P * off, T, AREA, wide, T, False)[0] == pytest.approx(0.0, abs=1e-12)
