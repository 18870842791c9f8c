"""Pairs and lowest melts as dictionaries: they say what the records say, rounded, and nothing else."""

import pytest

from thermo.equilibrium.invariants.lowest import lowest
from thermo.equilibrium.invariants.pair import pair_invariants
from thermo.present.as_json.melt import rounded
from thermo.present.as_json.pair import invariant_json, lowest_json, pair_json
from thermo.records.composition import Composition
from thermo.records.fitted import pair_models
from thermo.records.provenance import cite
from thermo.records.units import celsius


def test_pair_signs_follow_the_order_asked_for():
    model = pair_models()[frozenset(("KCl", "MgCl2"))]
    for a, b in (("KCl", "MgCl2"), ("MgCl2", "KCl")):
        found = pair_json(a, b, pair_invariants(a, b), model)
        assert found["pair"] == [a, b]
        for entry in found["interactions"]:
            stored = model.terms("liquid")[entry["k"]]
            sign = -1 if (a, b) != model.salts and entry["k"] % 2 else 1
            assert (entry["a_J_mol"], entry["b_J_mol_K"]) == pytest.approx(
                tuple(sign * value for value in stored), abs=5e-4
            )
        assert {d["formula"] for d in found["double_salts"]} == set(model.double_salts())


def test_pair_quotes_its_fit_and_sources():
    model = pair_models()[frozenset(("LiCl", "KCl"))]
    found = pair_json("LiCl", "KCl", pair_invariants("LiCl", "KCl"), model)
    assert found["fit"] == {"points": model.points, "rms_K": rounded(model.rms_K, 2)}
    assert found["sources"] == cite(model.sources)


def test_invariant_solids_are_names():
    (point,) = pair_invariants("NaCl", "KCl")
    found = invariant_json(point)
    assert found["solids"] == ["(Na,K)Cl"]
    assert sum(found["mole_percent"].values()) == pytest.approx(100, abs=0.01)


def test_lowest_repeats_the_invariant():
    point = lowest(("LiCl", "KCl"))
    found = lowest_json(point, Composition(point.salts, point.fractions))
    assert found["T_C"] == pytest.approx(celsius(point.T_K), abs=0.005)
    assert found["mole_percent"]["LiCl"] == pytest.approx(100 * point.fractions[0], abs=1e-4)
    assert sorted(found["solids"]) == ["KCl", "LiCl"]
    assert found["status"] == "fitted"
