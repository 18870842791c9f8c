"""The fitted coefficients as the generated files hold them."""

import numpy as np
import pytest

from tests.each import each
from thermo.fitting.pair_fit import LIKENED
from thermo.records.fitted import model_constant, pair_models
from thermo.records.parameters import HOSTED, Parameter
from thermo.records.provenance import read_table, sources
from thermo.records.substances import double_salts, salts

MODELS = list(pair_models().values())


def test_every_pair_of_one_anion_has_a_model():
    by_anion = {}
    for formula, one in salts().items():
        by_anion.setdefault(one.anion, []).append(formula)
    wanted = {frozenset((a, b)) for names in by_anion.values() for a in names for b in names if a != b}
    assert wanted <= set(pair_models())
    # 13 fluorides and 13 chlorides
    assert len(wanted) == 156


@each(MODELS)
def test_a_model_is_whole(model):
    count = len(model.parameters)
    assert model.values.shape == (count,)
    assert model.covariance.shape == (count, count)
    assert model.fusion_response.shape == (2, count)
    assert len(set(model.parameters)) == count
    for array in (model.values, model.covariance, model.fusion_response):
        assert np.isfinite(array).all()


@each(MODELS)
def test_a_covariance_is_symmetric_and_not_negative(model):
    assert np.array_equal(model.covariance, model.covariance.T)
    scale = np.sqrt(np.diag(model.covariance))
    assert (scale >= 0).all()
    unit = np.where(scale > 0, scale, 1.0)
    # six printed digits leave 1e-6 of a correlation matrix
    assert np.linalg.eigvalsh(model.covariance / np.outer(unit, unit)).min() > -1e-4


@each(MODELS)
def test_status_says_whether_there_are_points(model):
    assert model.status in ("fitted", "estimated")
    fitted = model.status == "fitted" or model.note == LIKENED  # to rows carried over from its kind
    assert (model.points > 0) is fitted
    assert bool(model.sources) is fitted
    assert set(model.sources) <= set(sources())
    if model.status == "estimated":
        assert "estimated" in model.note
        assert "no published point" in model.note
        assert fitted or model.rms_K is None


@each(MODELS)
def test_terms_read_back_every_parameter(model):
    found = {}
    for phase in dict.fromkeys(one.phase for one in model.parameters):
        if phase in double_salts() or phase.startswith(HOSTED):
            continue
        for k, (a, b) in model.terms(phase).items():
            found |= {Parameter(phase, f"a{k}"): a, Parameter(phase, f"b{k}"): b}
    for formula, (dH, dS) in model.double_salts().items():
        found |= {Parameter(formula, "dH"): dH, Parameter(formula, "dS"): dS}
        assert set(double_salts()[formula].pair) == set(model.salts)
    for host, energy in model.lattice_energies().items():
        phase = HOSTED + host
        ((a0, slope),) = model.terms(phase).values()
        found |= {Parameter(phase, "lattice"): energy, Parameter(phase, "slope"): slope}
        assert a0 + 900 * slope == pytest.approx(model.values[model.parameters.index(Parameter(phase, "a0"))], rel=1e-9)
        found[Parameter(phase, "a0")] = model.values[model.parameters.index(Parameter(phase, "a0"))]
    for name, value in zip(model.parameters, model.values, strict=True):
        assert found[name] == value


def test_a_stranger_lies_above_its_own_crystal():
    """Below it the host's kind would be the stranger's own crystal."""
    energies = [energy for model in pair_models().values() for energy in model.lattice_energies().values()]
    assert len(energies) == 6
    assert min(energies) > 0


def test_odd_solid_terms_come_without_a_slope():
    """A term without its b has b = 0, not a missing number."""
    model = pair_models()[frozenset(("NaCl", "KCl"))]
    assert model.terms("solid solution")[1][1] == 0.0
    assert model.terms("no such phase") == {}


def test_sigma_in_the_file_is_the_root_of_the_variance():
    rows = {
        (r["salt_a"], r["salt_b"], r["phase"], r["term"]): float(r["sigma"])
        for r in read_table("fitted/interactions.csv")
    }
    for (a, b, phase, term), sigma in rows.items():
        model = pair_models()[frozenset((a, b))]
        n = model.parameters.index(Parameter(phase, term))
        assert sigma == pytest.approx(np.sqrt(model.covariance[n, n]), rel=1e-5)


def test_units_stand_in_the_rows():
    for row in read_table("fitted/interactions.csv"):
        energy = row["term"] in ("dH", "lattice") or row["term"].startswith("a")
        assert row["unit"] == ("J/mol" if energy else "J/(mol K)")
        assert row["origin"] in ("fitted", "estimated")


def test_pairs_cannot_be_changed():
    with pytest.raises(TypeError):
        pair_models()[frozenset(("LiCl", "KCl"))] = None


def test_constants_of_the_whole_model():
    assert 0 < model_constant("preference") < 0.5
    assert model_constant("several_salts_J_mol") > 0
    with pytest.raises(ValueError, match="unpack"):
        model_constant("no such quantity")
