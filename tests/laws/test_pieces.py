"""A Gibbs energy in pieces: which piece holds where, its slope, and the difference of two curves."""

import math

import numpy as np
import pytest

from thermo.laws.pieces import COEFFICIENTS, Pieces

LOW, HIGH = (5.0, -10.0, -20.0, -0.01, 1e-6, 3e5), (100.0, -12.0, -21.0, 0.002, 0.0, -2e5)
TWO = Pieces.of([(298.15, LOW), (800.0, HIGH)])
ONE = Pieces.of([(298.15, (0.0, -10.0, -20.0, 0.0, 0.0, 0.0))])


def energy(curve: Pieces, T):
    T = np.asarray(T, dtype=float)
    return curve(T, np.log(T))[0]


def test_worked_value():
    assert energy(ONE, 1000.0) == pytest.approx(-148155, abs=1)  # -10 * 1000 - 20 * 1000 * 6.90776


def test_a_piece_holds_from_its_own_start():
    low, high = Pieces.of([(298.15, LOW)]), Pieces.of([(298.15, HIGH)])
    assert energy(TWO, [200.0, 799.9]) == pytest.approx(energy(low, [200.0, 799.9]), rel=1e-15)
    assert energy(TWO, [800.0, 2500.0]) == pytest.approx(energy(high, [800.0, 2500.0]), rel=1e-15)


@pytest.mark.parametrize("T", [400.0, [[500.0, 900.0], [700.0, 1500.0]]])
def test_slope_is_the_derivative_in_any_shape(T):
    T = np.asarray(T)
    energies, slope = TWO(T, np.log(T))
    assert np.shape(energies) == np.shape(slope) == T.shape
    assert slope == pytest.approx((energy(TWO, T + 0.01) - energy(TWO, T - 0.01)) / 0.02, rel=1e-6)


def test_difference_has_the_breaks_of_both():
    other = Pieces.of([(298.15, HIGH), (600.0, LOW), (1000.0, HIGH)])
    T = np.array([400.0, 600.0, 799.0, 800.0, 999.0, 1000.0, 1700.0])
    assert energy(TWO.minus(other), T) == pytest.approx(energy(TWO, T) - energy(other, T), rel=1e-12, abs=1e-7)
    assert energy(ONE.minus(ONE), T) == pytest.approx(0, abs=0)


def test_rows_are_read_by_their_columns():
    rows = [{"T_lo_K": "298.15", **dict(zip(COEFFICIENTS, map(str, LOW), strict=True))}]
    rows.append({"T_lo_K": "800", **dict(zip(COEFFICIENTS, map(str, HIGH), strict=True))})
    found = Pieces.of_rows(rows)
    assert found.breaks.tolist() == TWO.breaks.tolist()
    assert found.coefficients.tolist() == TWO.coefficients.tolist()


@pytest.mark.parametrize("curve", [ONE, TWO])
def test_one_temperature_in_plain_numbers_is_the_array_of_it(curve):
    for T in (250.0, 799.999, 800.0, 1700.0):
        arrays = curve(np.array([T]), np.log([T]))
        assert curve.at(T, math.log(T)) == pytest.approx([part[0] for part in arrays], rel=1e-14)
