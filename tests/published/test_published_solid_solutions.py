"""Solid solutions against what was published on them.

Limits and gap tops in data/solid_solutions.csv are part of the fit, so these tests say how well one regular or
subregular solid meets liquidus, limits and gap at once, not that anything was predicted. Where a number was not fitted
the test says so.
"""

import numpy as np
import pytest

from thermo.equilibrium.freezing.liquidus import liquidus
from thermo.equilibrium.freezing.solidus import solidus
from thermo.equilibrium.invariants.pair import pair_invariants
from thermo.equilibrium.invariants.solid_chain import SolidChain
from thermo.equilibrium.invariants.subsolidus import pair_solids
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import liquidus_field
from thermo.records.composition import from_amounts
from thermo.records.substances import double_salts, salts
from thermo.records.units import R, celsius, kelvin


def gap_at(a: str, b: str, t_C: float) -> tuple[float, float]:
    """Ends of the gap of the pair's solid solution, mol% of b."""
    (line,) = SolidChain(salt_system((a, b))).lines(kelvin(t_C))
    return 100 * line.left, 100 * line.right


def test_gap_of_halite_and_sylvite():
    """Thompson & Waldbaum, Geochim. Cosmochim. Acta 33 (1969) 671, from memory: top about 500 C near 35 mol% KCl.

    Anwar et al. 2020 quote 505 C. 15 C: 'about', and the two differ by 5; 6 mol%: a top is flat, 'near'.
    """
    (gap,) = pair_solids("NaCl", "KCl").gaps
    assert gap.closes
    assert celsius(gap.T_K[-1]) == pytest.approx(500, abs=15)
    assert 100 * gap.left[-1] == pytest.approx(35, abs=6)


def test_the_gap_of_halite_and_sylvite_leans_towards_halite():
    """More NaCl dissolves in KCl than KCl in NaCl (the larger cell takes the smaller ion): Thompson & Waldbaum 1969."""
    left, right = gap_at("NaCl", "KCl", 400)
    assert left < 100 - right


def test_the_gap_of_lithium_and_sodium_chloride():
    """Top 310-315 C, Sangster & Pelton 1987, from memory and marked unsure; 20 C for that."""
    (gap,) = pair_solids("LiCl", "NaCl").gaps
    assert celsius(gap.T_K[-1]) == pytest.approx(312, abs=20)


def test_half_and_half_of_sodium_and_potassium_chloride_freezes_like_a_pure_salt():
    """The minimum lies at 50 mol% (Chou 1982; Sangster & Pelton 1987): freezing is over within 5 K."""
    (branch,) = pair_solids("NaCl", "KCl").solidus
    begins = np.interp(0.5, branch.x_liquid, branch.T_K)
    ends = np.interp(0.5, branch.x_solid, branch.T_K)
    assert 0 <= begins - ends < 5


# Limits at the eutectic, mol%. A fifth of themselves is what the fit takes them to be good to; 1.5 times that here.
LIMITS = [
    ("NaF", "KF", 4.0, 10.0),  # Platonov 1946, abstract in ORNL-1252
    ("LiF", "NaF", 0.65, 4.0),  # Matiasovsky et al. 1965; X-rays of the same group, abstract
]


@pytest.mark.parametrize(("a", "b", "b_in_a", "a_in_b"), LIMITS)
def test_limits_at_the_eutectic(a, b, b_in_a, a_in_b):
    (eutectic,) = (h for h in pair_solids(a, b).horizontals if h.kind == "eutectic")
    left, right = eutectic.ends
    assert 100 * left.x == pytest.approx(b_in_a, rel=0.3)
    assert 100 * (1 - right.x) == pytest.approx(a_in_b, rel=0.3)


def test_magnesium_fluoride_in_lithium_fluoride_at_700_C():
    """Haven 1950 (abstract in ORNL-1490), by ionic conductance: 4.6 mol% at 700 C; a fifth of itself."""
    assert gap_at("LiF", "MgF2", 700)[0] == pytest.approx(4.6, rel=0.2)


def test_magnesium_fluoride_in_lithium_fluoride_at_400_C():
    """Haven 1950: 0.04 mol% at 400 C; a factor of 1.5 for one printed digit."""
    assert 0.04 / 1.5 < gap_at("LiF", "MgF2", 400)[0] < 0.04 * 1.5


def test_magnesium_fluoride_in_lithium_fluoride_near_the_eutectic():
    """Lilley & Newkirk, J. Mater. Sci. 2 (1967) 567 (abstract), drew the solvus up to 6.5 mol% MgF2. Not fitted."""
    (eutectic,) = (h for h in pair_solids("LiF", "MgF2").horizontals if h.kind == "eutectic")
    assert 6.45 < 100 * eutectic.ends[0].x < 8.0


@pytest.mark.xfail(
    reason="off by 0.3 eV because the two limits of Haven 1950, which are fitted, lie 0.9 eV apart",
    strict=True,
)
def test_heat_of_dissolving_magnesium_fluoride_in_lithium_fluoride():
    """1.2 eV by X-rays and by conductance alike (French abstract, authors not noted): 0.1 for the digit.

    A dilute limit follows d ln y / d(1/T) = -H / R. Not fitted.
    """
    (cold, warm), T = (gap_at("LiF", "MgF2", t)[0] for t in (450, 600)), (kelvin(450), kelvin(600))
    assert R * np.log(warm / cold) / (1 / T[0] - 1 / T[1]) / 96485 == pytest.approx(1.2, abs=0.1)


def test_rutile_takes_up_no_lithium_fluoride():
    """data/solid_solutions.csv: limit 0 (Haven 1950 looks at LiF only; MgF2 is rutile); 1 mol% for a limit not seen."""
    assert gap_at("LiF", "MgF2", 700)[1] > 99


COMPLETE = [
    ("NaCl", "KCl"),  # Chou 1982
    ("LiCl", "NaCl"),  # Sangster & Pelton 1987, from memory
    ("KCl", "RbCl"),  # the same
    ("KCl", "CsCl"),  # the same
    ("SrCl2", "BaCl2"),  # abstract of 1986 on LiCl-BaCl2-SrCl2
    ("CaCl2", "SrCl2"),  # Mo et al. 1983, abstract
    ("KF", "RbF"),  # Dergunov & Bergman 1948 in ORNL-2548
    ("CaF2", "SrF2"),  # Klimm et al. 2007
    ("SrF2", "BaF2"),  # Bergman & Bukhalova 1949, abstract in ORNL-1252
]


def test_lithium_and_magnesium_chloride_freeze_to_two_solids():
    """Janz & Tomkins 1981, system 88: eutectic 570 C of LiCl, holding much MgCl2, and MgCl2 (inferred)."""
    (eutectic,) = (h for h in pair_solids("LiCl", "MgCl2").horizontals if h.kind == "eutectic")
    assert celsius(eutectic.T_K) == pytest.approx(570, abs=10)
    assert [end.name for end in eutectic.ends] == ["LiCl", "MgCl2"]


def test_rock_salt_holds_a_third_of_magnesium_chloride_at_the_eutectic():
    """Kanno et al. 1986 (abstract): Li2MgCl4 is rock salt with vacancies above 820 K at the latest; fitted."""
    assert 100 / 3 < gap_at("LiCl", "MgCl2", 560)[0] < 60
    assert gap_at("LiCl", "MgCl2", 560)[1] == 100


@pytest.mark.parametrize(("a", "b"), COMPLETE)
def test_complete_solutions_have_no_eutectic(a, b):
    assert [point.kind for point in pair_invariants(a, b)] in ([], ["minimum"])
    assert [h for h in pair_solids(a, b).horizontals if h.kind in ("eutectic", "peritectic")] == []


def test_strontium_fluoride_enters_the_first_crystals_of_calcium_fluoride():
    """Cryoscopy of CaF2 (Can. J. Chem.): three quarters of the SrF2 enter the first crystals. Not fitted.

    Close to pure CaF2 the solid holds y of SrF2 where the melt holds x: y/x = 0.75; 0.15 for 'three quarters'.
    """
    (branch,) = pair_solids("CaF2", "SrF2").solidus
    dilute = (branch.x_liquid > 0.01) & (branch.x_liquid < 0.03)
    share = branch.x_solid[dilute] / branch.x_liquid[dilute]
    assert share.mean() == pytest.approx(0.75, abs=0.15)


def test_rubidium_and_caesium_fluoride_mix_without_a_minimum():
    """Ding 2007 (abstract): no minimum. The estimated pair may have one no deeper than 5 K, an unseen one by thermal
    analysis; its sigma, 31 K, would let pass far more."""
    points = pair_invariants("RbF", "CsF")
    lowest = salt_system(("RbF", "CsF")).melting_K.min() - 5
    assert [(point.kind, point.T_K) for point in points if point.kind != "minimum" or lowest > point.T_K] == []


def section(first: str, second: str, steps: int = 50):
    """Shares of the second compound and the liquidus (K) along the section between two double salts."""
    counts = [double_salts()[f].stoichiometry for f in (first, second)]
    names = tuple(f for f in salts() if any(f in own for own in counts))
    ends = np.array([[own.get(f, 0) / sum(own.values()) for f in names] for own in counts])
    share = np.linspace(0, 1, steps + 1)[1:-1]
    return share, liquidus_field(names, np.outer(1 - share, ends[0]) + np.outer(share, ends[1])).T_K


def test_the_minimum_of_the_perovskites_of_sodium_and_potassium():
    """Mater. Res. Bull. 38 (2003), abstract: 1279 K at 30 mol% KMgF3, +-5 K; complete. Of these T alone was fitted.

    The eutectics of 1945 beside it, which ask for 30 K less, pull as hard: T lies inside the stated nine-in-ten band.
    The place of a minimum is no better known than where its curve is within the 5 K of the lowest.
    """
    found = liquidus(from_amounts({"NaF": 35, "KF": 15, "MgF2": 50}))
    assert found.first_solid == "(Na,K)MgF3"
    share, T_K = section("NaMgF3", "KMgF3")
    assert abs(T_K.min() - 1279) < 1.645 * np.hypot(found.sigma_K, 5)
    assert np.interp(0.30, share, T_K) - T_K.min() < 5
    assert T_K.min() < min(T_K[0], T_K[-1]) - 20  # a minimum, not an end


@pytest.mark.parametrize(("first", "second"), [("KMgF3", "RbMgF3"), ("KCaF3", "RbCaF3")])
def test_perovskites_of_potassium_and_rubidium_freeze_as_one_solid(first, second):
    """Dergunov & Bergman 1948 and Mater. Res. Bull. 1996 (abstracts): complete, so no eutectic between the two."""
    counts = [double_salts()[f].stoichiometry for f in (first, second)]
    for part in (0.3, 0.5, 0.7):
        mix = {f: (1 - part) * counts[0].get(f, 0) + part * counts[1].get(f, 0) for own in counts for f in own}
        assert liquidus(from_amounts(mix)).first_solid.startswith("(K,Rb)")


# Na3AlF6-Li3AlF6, solid solutions at both ends: mol% Li3AlF6, deg C, own standard deviation
CRYOLITES = [
    (64.0, 713.0, 5.0),  # Janz & Tomkins 1981, system 108
    (67.0, 690.0, 8.0),  # thesis on LiF-AlF3-Na3AlF6, Virginia Tech (abstract)
]


@pytest.mark.parametrize(("percent", "t_C", "within"), CRYOLITES)
def test_eutectic_of_sodium_and_lithium_cryolite(percent, t_C, within):
    """It starts and ends there, 90 % bands; as pure crystals start and end lay 42 and 95 K too low, outside theirs."""
    melt = from_amounts({"NaF": 0.75 * (100 - percent), "LiF": 0.75 * percent, "AlF3": 25.0})
    for found in (liquidus(melt), solidus(melt)):
        assert abs(celsius(found.T_K) - t_C) < 1.645 * np.hypot(found.sigma_K, within)
        assert abs(celsius(found.T_K) - t_C) < 35


def test_solutions_without_a_law_are_named_and_their_bands_hold_what_was_published():
    """(Sr,Ba)FCl is one crystal with a minimum of 906 +- 5 deg C at 36 mol% BaFCl (Bergman & Bukhalova 1949).

    Here SrFCl and BaFCl are two, which end freezing together far below.
    """
    melt = from_amounts({"SrF2": 32, "SrCl2": 32, "BaF2": 18, "BaCl2": 18})
    start, end = liquidus(melt), solidus(melt)
    assert set(end.solids) == {"SrFCl", "BaFCl"}
    assert any("(Sr,Ba)FCl" in note for note in end.notes)
    for found in (start, end):
        assert abs(celsius(found.T_K) - 906) < 1.645 * np.hypot(found.sigma_K, 5.0)
