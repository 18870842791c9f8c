"""The generated coefficient files: complete, rounded, and what a fresh fit of all pairs writes again."""

import csv
import io

import pytest

from thermo.equilibrium.invariants.pair import pair_invariants
from thermo.fitting.pair_files import all_pairs, file_texts, fitted_models, strengths_text
from thermo.fitting.pair_fit import LIKENED
from thermo.fitting.ternary_fit import NOTE
from thermo.records.fitted import own_strengths, pair_models
from thermo.records.provenance import read_table
from thermo.records.published import invariants, liquidus_points, mixing_points
from thermo.records.solid_solutions import solid_solution
from thermo.records.substances import salt, salts

FILES = ("fitted/pairs.csv", "fitted/interactions.csv", "fitted/interactions_covariance.csv")


def test_the_text_of_strengths_reads_back():
    first = own_strengths()[0]
    (row,) = csv.DictReader(io.StringIO(strengths_text([first])["fitted/strengths.csv"]))
    assert (row["salt_a"], row["salt_b"], row["compound"]) == (*first.salts, first.compound)
    assert float(row["value_J_mol"]) == pytest.approx(first.value_J_mol, rel=1e-4)


def test_there_are_156_pairs_of_one_anion_each_once_in_its_order():
    pairs = all_pairs()
    assert len(pairs) == len({frozenset(pair) for pair in pairs}) == 156
    for a, b in pairs:
        assert salt(a).anion == salt(b).anion
        assert salt(a).charge <= salt(b).charge
    fluorides = sum(salt(f).anion == "F" for f in salts())
    chlorides = len(salts()) - fluorides
    assert fluorides * (fluorides - 1) // 2 + chlorides * (chlorides - 1) // 2 == 156


def test_a_pair_is_fitted_only_where_something_was_published():
    for key, model in pair_models().items():
        a, b = model.salts
        rows = [*invariants(a, b), *liquidus_points(a, b), *mixing_points(a, b)]
        usable = [row for row in rows if row.use != "no"]
        if NOTE in model.note:
            assert not usable, key  # fitted from melts of three salts: tests/fitting/test_ternary_fit.py
        elif model.status == "fitted":
            assert usable, key
            known = solid_solution(a, b)
            assert set(model.sources) == {row.source for row in usable} | set(known.sources if known else ())
        elif model.note == LIKENED:
            assert usable, key
            assert all(row.likened for row in usable), key
        else:
            assert model.points == 0


def test_pairs_carried_over_from_their_kind_stay_estimated():
    """NaF with LaF3 and NdF3 by NaF-CeF3, 726 deg C at 28 mol%, and NaF-PuF3, 727 at 24 (Barton et al. 1961)."""
    for other in ("LaF3", "NdF3"):
        model = pair_models()[frozenset(("NaF", other))]
        assert (model.status, model.note) == ("estimated", LIKENED)
        (eutectic,) = (point for point in pair_invariants("NaF", other) if point.kind == "eutectic")
        assert abs(eutectic.T_K - 273.15 - 726) < 20  # the spread of its row
        assert eutectic.status == "estimated"
    assert not any({"NaF", other} == set(s.salts) for s in own_strengths() for other in ("LaF3", "NdF3"))


def test_the_text_reads_back_as_the_model():
    model = pair_models()[frozenset(("KCl", "MgCl2"))]
    texts = file_texts({frozenset(model.salts): model})
    assert set(texts) == set(FILES)
    rows = {name: list(csv.DictReader(io.StringIO(text), strict=True)) for name, text in texts.items()}
    assert [row["term"] for row in rows["fitted/interactions.csv"]] == [one.term for one in model.parameters]
    assert [float(row["value"]) for row in rows["fitted/interactions.csv"]] == pytest.approx(
        model.values.tolist(), rel=1e-5
    )
    count = len(model.parameters)
    assert len(rows["fitted/interactions_covariance.csv"]) == count * (count + 1) // 2
    assert rows["fitted/pairs.csv"][0]["source"].split(";") == list(model.sources)


def test_numbers_carry_six_digits_at_most():
    for row in read_table("fitted/interactions.csv"):
        mantissa = row["value"].lstrip("-").partition("e")[0].replace(".", "").strip("0")
        assert len(mantissa) <= 6


def test_some_pairs_can_be_fitted_alone():
    found = fitted_models([("LiCl", "KCl"), ("NaCl", "NdCl3")])
    assert list(found) == [frozenset(("LiCl", "KCl")), frozenset(("NaCl", "NdCl3"))]
