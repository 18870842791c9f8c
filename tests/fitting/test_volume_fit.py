"""Excess volumes: the generated files are what a fresh fit gives, and the fit does what it says."""

import csv
import io
from dataclasses import replace

import numpy as np
import pytest

from thermo.fitting.agreement import disagreements
from thermo.fitting.volume_fit import (
    DISSENT_CHANCE,
    family_errors,
    fit,
    leave_one_system_out,
    regenerate,
)
from thermo.fitting.volume_points import VolumePoint, points
from thermo.laws.excess_volume import composition_difference, excess_volume, family, measured_pair, pair_basis, pairs
from thermo.records.provenance import DATA, read_table, sources
from thermo.records.substances import salts


def rows_of(text):
    return list(csv.DictReader(io.StringIO(text)))


@pytest.fixture(scope="module")
def fitted():
    return fit()


@pytest.mark.parametrize("name", regenerate())
def test_generated_files_are_fresh(name):
    stored = (DATA / name).read_text(encoding="utf-8")
    assert disagreements(name, stored, regenerate()[name]) == []


def test_every_source_and_salt_resolves():
    for row in read_table("fitted/density/excess_volume.csv"):
        assert set(row["sources"].split("; ")) <= set(sources())
        assert {row["salt_a"], row["salt_b"]} <= set(salts())


def test_covariances_are_covariances():
    for pair in pairs().values():
        eigenvalues = np.linalg.eigvalsh(pair.covariance)
        assert eigenvalues.min() > -1e-6 * eigenvalues.max()
        stated = [
            float(row["sigma_cm3_mol"])
            for row in read_table("fitted/density/excess_volume.csv")
            if (row["salt_a"], row["salt_b"]) == pair.salts
        ]
        assert np.sqrt(np.diag(pair.covariance)) == pytest.approx(stated, rel=1e-3)


def test_basis_worked_value():
    # equimolar: difference 0 leaves A_0; 50 K above the middle of 1000-1100 K the temperature term is 1/2
    basis = pair_basis(("0", "1", "2", "T"), np.array([0.0]), np.array([1100.0]), 1000.0, 1100.0)
    assert basis.tolist() == [[1.0, 0.0, 0.0, 0.5]]
    far = pair_basis(("T",), np.array([0.0]), np.array([500.0, 700.0]), 1000.0, 1100.0)
    assert far[0, 0] == far[1, 0] == -1.5  # followed 100 K outside the span, no further


def test_kohler_within_a_group_and_toop_between_groups():
    names = ("NaCl", "KCl", "MgCl2")
    x = np.array([[0.2, 0.4, 0.4]])
    assert composition_difference(names, x, 0, 1)[0] == pytest.approx((0.2 - 0.4) / 0.6)
    # the alkalis count as one beside MgCl2
    assert composition_difference(names, x, 0, 2)[0] == pytest.approx(0.2)
    assert composition_difference(names, x, 1, 2)[0] == pytest.approx(0.2)
    assert composition_difference(names, np.array([[0.0, 0.0, 1.0]]), 0, 1)[0] == 0


def test_ternary_edge_is_the_binary():
    names, x = ("NaCl", "KCl", "MgCl2"), np.array([[0.0, 0.6, 0.4]])
    volume = np.array([52.0])
    edge, spread = excess_volume(names, x, 1073.0, volume)
    binary, own = excess_volume(("MgCl2", "KCl"), np.array([[0.4, 0.6]]), 1073.0, volume)
    assert edge[0] == pytest.approx(binary[0], rel=1e-12)
    assert spread[0] == pytest.approx(own[0], rel=1e-12)


def test_excess_of_potassium_magnesium_chloride_changes_sign():
    """NSRDS-NBS 61 IV system 92 and Ejima & Ogasawara 1975: open near 1/3 MgCl2, dense above 2/3 to 3/4."""
    third, rich = (
        excess_volume(("KCl", "MgCl2"), np.array([[1 - x, x]]), 1090.0, np.array([53.0]))[0][0] for x in (1 / 3, 0.85)
    )
    assert third > 1.0
    assert rich < -0.3


def test_dissent_widens_and_does_not_pull(fitted):
    without = fit([p for p in points() if p.use != "low"])
    full = {f.salts: f for f in fitted.pairs}
    calm = {f.salts: f for f in without.pairs}
    pair = ("KCl", "MgCl2")
    assert full[pair].values == pytest.approx(calm[pair].values, rel=1e-12)
    assert full[pair].covariance[0, 0] > 2 * calm[pair].covariance[0, 0]
    above, below = min(full[pair].dissent_pct), max(full[pair].dissent_pct)
    # two reports: one denser (volume 4-7 % less), one lighter (3-5 % more) than the twelve evaluated compositions
    assert -7 < above < -4
    assert 3 < below < 5
    extra = full[pair].covariance - calm[pair].covariance
    assert np.count_nonzero(np.abs(extra) > 1e-12) == 1


def synthetic(excess_of, sigma=0.05, scale=0.0, temperatures=(1000.0, 1100.0)):
    made = []
    for k, x in enumerate(np.linspace(0.1, 0.9, 9)):
        made += [
            VolumePoint(
                ("NaCl", "MgCl2"), np.array([1 - x, x]), T, 45.0, excess_of(x, T), sigma, scale, "made", "fit", "crc", k
            )
            for T in temperatures
        ]
    return made


def test_fit_recovers_known_terms():
    made = synthetic(lambda x, T: x * (1 - x) * (-2 + 3 * (1 - 2 * x) + 0.8 * (T - 1050) / 100), sigma=1e-3)
    (found,) = fit(made).pairs
    assert found.terms == ("0", "1", "2", "T")
    assert found.values == pytest.approx([-2, 3, 0, 0.8], abs=0.02)  # the priors pull by less than their own 0.01


def test_scale_error_of_a_set_is_not_taken_for_mixing():
    """A set 3 % light throughout, with 3 % allowed for its scale, leaves an excess below a third of that."""
    made = [replace(p, scale=0.03 * 45) for p in synthetic(lambda x, T: 0.03 * 45)]
    result = fit(made)
    assert result.scales["made"] == pytest.approx(1, abs=0.5)
    (found,) = result.pairs
    assert abs(found.values[0]) / 4 < 0.03 * 45 / 3


def test_scatter_beyond_the_stated_widens():
    # an alternating error of 1 cm3/mol on rows that claim 0.05
    rough = fit(synthetic(lambda x, T: 1.0 * (-1) ** round(10 * x))).pairs[0]
    smooth = fit(synthetic(lambda x, T: 0.0)).pairs[0]
    assert rough.covariance[0, 0] > 50 * smooth.covariance[0, 0]


def test_dissent_worked_value():
    """A row 3 % off with no spread of its own adds sqrt(0.05) * 3 % at its composition."""
    base = synthetic(lambda x, T: 0.0)
    odd = VolumePoint(
        ("NaCl", "MgCl2"), np.array([0.5, 0.5]), 1050.0, 45.0, 0.03 * 45, 1e-6, 0.0, "odd", "low", "crc", 99
    )
    added = fit([*base, odd]).pairs[0].covariance[0, 0] - fit(base).pairs[0].covariance[0, 0]
    assert 100 * added**0.5 / 4 / 45 == pytest.approx(3 * DISSENT_CHANCE**0.5, rel=1e-3)


def test_families_cover_every_pair_and_follow_the_measured_ones():
    errors, families = leave_one_system_out(), family_errors()
    names = list(salts())
    for i, a in enumerate(names):
        for b in names[i + 1 :]:
            if salts()[a].anion == salts()[b].anion:
                sigma, count = families[family(a, b)]
                assert 0.5 <= sigma < 20
                if measured_pair(a, b):
                    assert count >= 1
    # two alkali chlorides are the best behaved, two alkaline-earth chlorides (MgCl2-BaCl2) the worst
    assert families["Cl: alkali + alkali"][0] < families["Cl: alkali + alkaline earth"][0]
    assert errors[("MgCl2", "BaCl2")] == max(e for pair, e in errors.items() if {"ZnCl2", "AlF3"}.isdisjoint(pair))


def test_two_anion_rows_stay_out():
    anions = [{salts()[name].anion for name in p.salts} for p in points()]
    assert all(len(found) == 1 for found in anions)
    assert any(row["salt1"] == "BaCl2" and row["salt2"] == "NaF" for row in read_table("density/mixtures.csv"))
