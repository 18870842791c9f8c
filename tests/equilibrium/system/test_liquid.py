"""Straight potentials: value, slope, rows, dilution."""

import numpy as np
import pytest

from thermo.equilibrium.system.liquid import StraightLiquid
from thermo.records.units import R


def test_straight_lines():
    A, slope = np.array([[100.0, 0.0], [50.0, -20.0]]), np.array([[-5.0, -6.0], [-7.0, -8.0]])
    liquid = StraightLiquid(A, slope)
    mu, found = liquid.at(np.array([10.0, 20.0]))
    assert mu == pytest.approx(np.array([[50.0, -60.0], [-90.0, -180.0]]))
    assert found == pytest.approx(slope)
    assert liquid.at(np.array([20.0]), np.array([1]))[0] == pytest.approx(mu[[1]])
    assert liquid.potentials(10.0)[0] == pytest.approx(mu[0])


def test_worked_value_of_the_docstring():
    """Half and half, ideal: R T ln 0.5 at 1000 K."""
    ideal = StraightLiquid(np.zeros((1, 2)), R * np.log(np.full((1, 2), 0.5)))
    mu, slope = ideal.at(np.array([1000.0]))
    assert mu[0] == pytest.approx([-5763.0, -5763.0], abs=1.0)
    assert slope[0] == pytest.approx([-5.763, -5.763], abs=1e-3)


def test_dilution():
    liquid = StraightLiquid(np.zeros((1, 1)), np.array([[-5.0]]))
    assert liquid.diluted(0.5).potentials(100.0)[0, 0] == pytest.approx(-500.0 - 50 * R)
