"""Fits to melts of AlF3 with two other fluorides: which points, what they give back, and the generated file."""

from dataclasses import replace

import numpy as np
import pytest

from thermo.equilibrium.system.driving_force import Melts
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.fitting import ternary_fit
from thermo.fitting.agreement import disagreements
from thermo.fitting.priors.ternary_terms import SPREAD_T
from thermo.fitting.ternary_fit import PARAMETERS, SectionPoint, fit_sections, measured_models, parts, section_points
from thermo.records.fitted import PairModel, pair_fits
from thermo.records.provenance import DATA
from thermo.records.substances import salts
from thermo.records.ternary_terms import fitted_terms, is_mixing

PAIR = ("CaF2", "AlF3")
MEASURED = measured_models()
# other pairs taken as exact, so that made-up points must give their own coefficients back
EXACT = {k: replace(m, covariance=0 * m.covariance, fusion_response=0 * m.fusion_response) for k, m in MEASURED.items()}


def made_up_points(a, term):
    """Points of cryolite with CaF2 and excess AlF3, computed with these coefficients."""
    values = np.zeros(len(PARAMETERS))
    values[::2] = a
    size = len(PARAMETERS)
    model = PairModel(PAIR, "fitted", PARAMETERS, values, np.zeros((size, size)), np.zeros((2, size)), 1, None, (), "")
    names = ("NaF", "CaF2", "AlF3")
    terms = {(frozenset(names), "plain"): (term[0], 0.0), (frozenset(names), "balance"): (term[1], 0.0)}
    system = SaltSystem(names, {**EXACT, frozenset(PAIR): model}, terms=terms)
    points = []
    for x in ([0.70, 0.05, 0.25], [0.66, 0.10, 0.24], [0.64, 0.05, 0.31], [0.60, 0.20, 0.20], [0.55, 0.10, 0.35],
              [0.78, 0.10, 0.12], [0.45, 0.35, 0.20], [0.30, 0.55, 0.15], [0.66, 0.04, 0.30]):  # fmt: skip
        melts = Melts(system, np.array([x]))
        T, name = max((float(melts.solid_temperature(s)[0][0]), s.name) for s in system.solids)
        moles = dict(zip(names, x, strict=True))
        points.append(SectionPoint(moles, dict.fromkeys(names, 0.0), (name,), T, 0.2, 0.0, "made up"))
    return points


def test_made_up_melts_give_their_coefficients_back():
    points = made_up_points((-70000.0, 8000.0, -5000.0), (15000.0, -200000.0))
    fit = fit_sections(PAIR, EXACT, points)
    terms = {term.kind: term.value_J_mol for term in fit.terms}
    # what counts is the melt, coefficients may trade: compare potentials at a melt between the points
    x = np.array([[0.62, 0.10, 0.28]])
    names = ("NaF", "CaF2", "AlF3")
    size = len(PARAMETERS)
    values = np.zeros(size)
    values[::2] = (-70000.0, 8000.0, -5000.0)
    true = PairModel(PAIR, "fitted", PARAMETERS, values, np.zeros((size, size)), np.zeros((2, size)), 1, None, (), "")

    def potentials(model, plain, balance):
        both = {(frozenset(names), "plain"): (plain, 0.0), (frozenset(names), "balance"): (balance, 0.0)}
        return SaltSystem(names, {**EXACT, frozenset(PAIR): model}, terms=both).excess_potentials(x, 1250.0)[0]

    difference = potentials(fit.pair, terms["plain"], terms["balance"]) - potentials(true, 15000.0, -200000.0)
    # cryolite's potential is measured to 0.2 K, 20 J/mol; the floor of 100 J/mol a point remains
    assert abs(np.array([0.75, 0.0, 0.25]) @ difference) < 150


def test_a_pair_with_few_points_stays_near_its_expectation():
    point = made_up_points((-70000.0, 0.0, 0.0), (0.0, 0.0))[:1]
    fit = fit_sections(PAIR, EXACT, point)
    assert fit.terms == ()
    assert fit.pair.points == 1
    spread = np.sqrt(np.diag(fit.pair.covariance))
    assert spread[2] == pytest.approx(40000.0, rel=0.2)  # one melt says little of how the pair bends
    assert fit_sections(PAIR, EXACT, []) is None


def test_points_are_sections_of_known_salts():
    points = section_points()
    assert points
    for point in points:
        assert set(point.moles) <= set(salts())
        assert len(point.moles) == 3
        assert "AlF3" in point.moles
        assert all(moles >= 0 for moles in point.moles.values())
    # Na3AlF6 with 50 mol% CaF2 (NSRDS-NBS 61 IV, system 133): 3 NaF, AlF3 and CaF2
    (eutectic,) = (p for p in points if "CaF2" in p.moles and "NaF" in p.moles and len(p.solids) == 2)
    assert eutectic.moles == {"NaF": 1.5, "AlF3": 0.5, "CaF2": 0.5}
    assert eutectic.along == {"NaF": -3.0, "AlF3": -1.0, "CaF2": 1.0}


def test_a_double_salt_is_its_salts():
    assert dict(parts("Na3AlF6")) == {"NaF": 3, "AlF3": 1}
    assert dict(parts("CaF2")) == {"CaF2": 1}


def test_the_file_is_what_the_generator_writes():
    text = (DATA / "fitted/ternary_terms.csv").read_text(encoding="utf-8")
    assert disagreements("ternary_terms.csv", text, ternary_fit.regenerate()["fitted/ternary_terms.csv"]) == []
    for (names, kind), (value, sigma) in fitted_terms().items():
        assert names <= set(salts())
        assert kind in ("plain", "balance") or is_mixing(kind)
        assert abs(value) < 1e6
        assert sigma > 0


def test_the_pairs_in_the_files_are_the_fitted_ones():
    for key, model in ternary_fit.section_models(MEASURED).items():
        stored = pair_fits()[key]
        assert stored.note == model.note
        sigma = np.sqrt(np.diag(model.covariance))
        # six printed digits of the other pairs
        assert np.abs((stored.values - model.values) / sigma).max() < 0.01


def test_points_on_the_section_leave_the_balance_term_at_its_prior():
    """NaF-BaF2-AlF3 was measured between cryolite and BaF2 only: nothing is known of its answer to excess AlF3."""
    value, sigma = fitted_terms()[frozenset(("NaF", "BaF2", "AlF3")), "balance"]
    assert value == 0
    assert sigma >= SPREAD_T["balance"]  # widened where the points disagree
