"""Leaving a pair out: its own data must not reach its prediction, and everything else must."""

from dataclasses import replace

import numpy as np
import pytest

from thermo.equilibrium.invariants.pair import pair_invariants
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.fitting import leave_out
from thermo.fitting.leave_out import (
    all_left_out_densities,
    all_left_out_points,
    left_out_densities,
    left_out_model,
    left_out_points,
    lowest_fraction,
    predict,
    published_density,
    usable,
    volume_points,
)
from thermo.laws.density import salt_density
from thermo.laws.mixing import REFERENCE_K
from thermo.records.composition import formula_mass
from thermo.records.fitted import own_strengths, pair_models
from thermo.records.provenance import read_table
from thermo.records.published import invariants

PAIR = ("LiCl", "KCl")


def interaction(model) -> float:
    """Regular interaction at the reference temperature, J/mol."""
    a, b = model.terms("liquid")[0]
    return a + b * REFERENCE_K


def shifted(pair, by_J_mol):
    """The strengths of all pairs with one pair's interaction moved."""
    return [
        replace(s, value_J_mol=s.value_J_mol + by_J_mol) if s.salts == pair and not s.compound else s
        for s in own_strengths()
    ]


def test_the_pair_itself_does_not_reach_its_prediction():
    moved = left_out_model(*PAIR, shifted(PAIR, 50000.0))
    assert np.array_equal(moved.values, left_out_model(*PAIR).values)
    assert np.array_equal(moved.covariance, left_out_model(*PAIR).covariance)


def test_its_relatives_do():
    moved = left_out_model(*PAIR, shifted(("LiCl", "CsCl"), 50000.0))
    # LiCl-CsCl has the largest size difference of its family, so the rule leans on it
    assert interaction(moved) > interaction(left_out_model(*PAIR)) + 1000.0


def test_a_prediction_is_an_estimate_without_points():
    model = left_out_model(*PAIR)
    assert (model.status, model.points, model.sources) == ("estimated", 0, ())
    assert model.double_salts() == {}


def test_a_prediction_knows_the_double_salts_but_not_from_their_melting():
    own = left_out_model("KCl", "CaCl2")
    assert set(own.double_salts()) == {"KCaCl3"}
    without = [s for s in own_strengths() if s.compound != "KCaCl3"]
    assert np.array_equal(left_out_model("KCl", "CaCl2", without).values, own.values)


def test_prediction_follows_the_system_it_is_given():
    """With the fitted model instead of the left-out one, the prediction is the program's own liquidus."""
    system = salt_system(PAIR)
    (eutectic,) = (p for p in pair_invariants(*PAIR) if p.kind == "eutectic")
    T_K, sigma, _ = predict(system, eutectic.fractions[1])
    assert pytest.approx(eutectic.T_K, abs=0.05) == T_K
    assert 0 < sigma < 10
    assert lowest_fraction(system) == pytest.approx(eutectic.fractions[1], abs=1 / leave_out.GRID)


def test_slope_is_the_derivative_of_the_curve():
    system = salt_system(PAIR)
    low, middle, high = (predict(system, x) for x in (0.19, 0.2, 0.21))
    assert middle[2] == pytest.approx((high[0] - low[0]) / 0.02, rel=0.02)


def test_ends_are_the_pure_salts():
    system = SaltSystem(PAIR, {frozenset(PAIR): left_out_model(*PAIR)})
    for x, melting in ((0.0, system.melting_K[0]), (1.0, system.melting_K[1])):
        assert predict(system, x)[0] == pytest.approx(melting, abs=0.05)


def test_unsure_and_withdrawn_points_are_left_aside():
    assert all(usable(row.point) for row in all_left_out_points())
    skipped = [p for p in invariants() if p.unsure or p.use == "no"]
    assert skipped
    assert not any(map(usable, skipped))


def test_a_point_without_composition_stands_for_the_lowest_melt_only():
    for row in all_left_out_points():
        if row.point.x_b is None:
            assert (row.way, row.point.kind in ("eutectic", "minimum")) == ("lowest", True)
        else:
            assert row.way == "liquidus"


def test_sigmas_hold_both_sides():
    for row in left_out_points(*PAIR):
        assert row.sigmas == pytest.approx(
            (row.found_K - row.point.T_K) / np.hypot(row.model_sigma_K, row.published_sigma_K)
        )
        assert row.published_sigma_K >= row.point.T_sigma_K


def test_a_pair_without_points_has_no_row():
    unmeasured = next(m.salts for m in pair_models().values() if m.status == "estimated")
    assert left_out_points(*unmeasured) == ()


def test_published_density_is_the_line_of_the_file():
    rows = read_table("density/mixtures.csv")
    for point in volume_points():
        if point.row >= len(rows):
            continue
        row = rows[point.row]
        density = float(row["a_g_cm3"]) - float(row["b_g_cm3_K"]) * point.T_K
        found, sigma = published_density(point)
        assert found == pytest.approx(density, rel=1e-9)
        stated = np.hypot(float(row["sigma_pct"]), float(row["scale_pct"])) / 100
        assert sigma / found == pytest.approx(stated, rel=1e-9)


def test_a_left_out_density_adds_the_volumes_of_the_salts():
    for row in left_out_densities("NaCl", "KCl"):
        x = dict(zip(row.salts, row.point.fractions, strict=True))
        masses = {f: x[f] * formula_mass(f) for f in x}
        volume = sum(m / salt_density(f, row.point.T_K).value_g_cm3 for f, m in masses.items())
        assert row.found == pytest.approx(sum(masses.values()) / volume)
        assert row.difference == pytest.approx(100 * (row.found / row.published - 1))


def test_the_pairs_own_rows_do_not_make_its_spread(monkeypatch):
    before = left_out_densities("KCl", "CaCl2")
    faked = tuple(replace(p, excess=p.excess + 5.0) if set(p.salts) == {"KCl", "CaCl2"} else p for p in volume_points())
    monkeypatch.setattr(leave_out, "volume_points", lambda: faked)
    left_out_densities.cache_clear()
    try:
        after = left_out_densities("KCl", "CaCl2")
    finally:
        left_out_densities.cache_clear()
    assert [row.model_sigma for row in after] == [row.model_sigma for row in before]
    assert all(a.published < b.published for a, b in zip(after, before, strict=True))


def test_every_fitted_density_of_a_pair_is_left_out_once():
    fitted = [p for p in volume_points() if p.use == "fit" and len(p.salts) == 2]
    assert sorted(row.point.row for row in all_left_out_densities()) == sorted(p.row for p in fitted)
    assert left_out_densities("RbCl", "CsCl") == ()
