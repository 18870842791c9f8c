"""Gibbs functions of the elements against the tables they were fitted to, and against physics."""

import numpy as np
import pytest

from thermo.fitting.agreement import disagreements
from thermo.fitting.gibbs import elements as elements_fit
from thermo.laws.elements import (
    condensed_entropy,
    condensed_gibbs,
    element_sources,
    gas_entropy,
    gas_gibbs,
    gas_is_stable,
    has_gas,
)
from thermo.records.provenance import DATA, InputError, RangeError, sources
from thermo.records.substances import metal

METALS = ["Li", "Na", "K", "Rb", "Cs", "Mg", "Ca", "Sr", "Ba", "Zn", "Al", "La", "Ce", "Nd"]


def test_the_file_is_what_the_generator_writes():
    text = (DATA / "fitted/gibbs/elements.csv").read_text(encoding="utf-8")
    assert disagreements("elements.csv", text, elements_fit.regenerate()["fitted/gibbs/elements.csv"]) == []


@pytest.mark.parametrize("symbol", METALS)
def test_condensed_gibbs_runs_on_and_bends_down(symbol):
    T = np.linspace(298.15, 2000.0, 3000)
    G = condensed_gibbs(symbol, T)
    steps = np.diff(G)
    # 160 J/(mol K) is more than the entropy of any condensed metal here, so a larger step would be a jump in G.
    assert (steps < 0).all()
    assert (np.abs(steps) < 160.0 * np.diff(T)).all()
    S = condensed_entropy(symbol, T)
    assert (np.diff(S) > -1e-9).all()


@pytest.mark.parametrize("symbol", METALS)
def test_entropy_is_the_slope(symbol):
    T = np.array([400.3, 901.7, 1500.2])
    slope = (condensed_gibbs(symbol, T + 0.05) - condensed_gibbs(symbol, T - 0.05)) / 0.1
    assert condensed_entropy(symbol, T) == pytest.approx(-slope, rel=1e-5)


def test_entropy_of_gases_at_room_temperature():
    # CODATA 1989 key values: S(Cl2, g) 223.081, S(F2, g) 202.791, S(Na, g) 153.718 J/(mol K); the fits run over 1700 K.
    found = [float(gas_entropy(g, 298.15)) for g in ("Cl2", "F2", "Na")]
    assert found == pytest.approx([223.081, 202.791, 153.718], abs=0.15)


@pytest.mark.parametrize("symbol", ["K", "Rb", "Cs", "Mg", "Zn", "Na"])
def test_boiling_point(symbol):
    # 1 bar, monatomic; alkali dimers lower the measured boiling points by up to 15 K (module docstring).
    boiling = metal(symbol).boiling_point_K
    assert not gas_is_stable(symbol, boiling - 10.0)
    assert gas_is_stable(symbol, boiling + 20.0)


def test_trouton():
    # Trouton's rule: entropy of boiling 75 to 100 J/(mol K) for metals.
    for symbol, T in (("Na", 1170.0), ("Mg", 1366.0), ("Zn", 1180.0), ("Ca", 1774.0)):
        assert 75 < gas_entropy(symbol, T) - condensed_entropy(symbol, T) < 100


def test_metals_without_gas_table():
    assert not has_gas("La")
    assert not gas_is_stable("La", 1900.0)
    with pytest.raises(InputError, match="La as gas"):
        gas_gibbs("La", 1000.0)


@pytest.mark.parametrize("T", [250.0, 2100.0, float("nan")])
def test_outside_the_fitted_span(T):
    with pytest.raises(RangeError, match=r"298\.15 to 2000 K"):
        condensed_gibbs("Na", T)


def test_sources_resolve():
    for symbol in METALS:
        assert set(element_sources(symbol)) <= set(sources())
        assert element_sources(symbol)
