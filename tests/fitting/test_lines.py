"""Driving forces as lines in the parameters: against the laws, whatever the parameters are, and kept for a fit."""

import numpy as np
import pytest

from tests.made_up import changed, made_up_system, pair_model
from thermo.equilibrium.system.driving_force import Melts, driving_slope
from thermo.fitting.lines import Lines, lines_of
from thermo.fitting.pair_fit import fit_pair
from thermo.records.fitted import pair_fits

MODEL = pair_model(
    "KCl", "MgCl2", liquid=((-40000.0, 5.0), (9000.0, -2.0), (1000.0, 0.0)), doubles={"KMgCl3": (-9000.0, 1.5)}
)
X = np.array([0.42, 0.421, 0.05])


@pytest.mark.parametrize("name", ["KCl", "MgCl2", "KMgCl3"])
def test_a_line_kept_from_one_set_of_parameters_holds_for_another(name):
    lines, T_K = Lines(), 750.0
    other = changed(MODEL, values=MODEL.values * np.linspace(0.3, 1.7, len(MODEL.values)))
    for model in (MODEL, other):
        system = made_up_system(MODEL.salts, model)
        solid = next(s for s in system.solids if s.name == name)
        line = lines.of(system, solid, X, T_K)
        melts = Melts(system, np.column_stack([1 - X, X]))
        D, _, _ = melts.driving_force(solid, np.full(3, T_K))
        assert line.force(model.values) == pytest.approx(D, abs=1e-7)
        assert line.slope(model.values) == pytest.approx(driving_slope(melts, solid, T_K, None), abs=1e-8)
        assert line.rows[0] == pytest.approx(system.parameter_gradient(solid, melts.x[0], T_K, None)[0], rel=1e-12)
    assert len(lines._known) == 1


def test_worked_value():
    system = made_up_system(("NaCl", "KCl"), pair_model("NaCl", "KCl"))
    line = Lines().of(system, next(s for s in system.solids if s.name == "NaCl"), np.array([0.3]), 900.0)
    assert line.rows[0] == pytest.approx([0.09, 81.0])
    assert line.slope_row == pytest.approx([0.0, 0.09])


def test_a_fit_does_not_depend_on_what_was_fitted_before():
    """Lines remembered from another fit of the pair leave its numbers where they are."""
    lines_of.cache_clear()
    first = fit_pair("KCl", "MgCl2").model
    again = fit_pair("KCl", "MgCl2").model  # with the lines of the first
    sigma = np.sqrt(np.diag(first.covariance))
    assert np.abs(again.values - first.values).max() < 1e-6 * sigma.max()
    assert (np.abs(again.values - first.values) < 1e-5 * sigma).all()
    assert frozenset(first.salts) in pair_fits()


def test_the_liquidus_does_not_depend_on_where_it_was_last():
    lines, x = Lines(), np.linspace(0.02, 0.98, 49)
    for scale in (1.0, 0.5, 1.6):
        system = made_up_system(MODEL.salts, changed(MODEL, values=scale * MODEL.values))
        melts = Melts(system, np.column_stack([1 - x, x]))
        assert lines.liquidus(melts) == pytest.approx(melts.liquidus()[0], abs=1e-5)
