"""Melts of fluoride with chloride against publications: invariants by temperature, composition and driving force.

The lowest temperature of a section says little where the solvent's own melting point is near: a law may keep a fluoride
wholly out of the melt and still be right to 10 K. So every solid that a source names at a published melt is asked for
its driving force there, J a mole of salt formulas, zero where it is in balance, and a section for the composition of
its lowest point.
The pairs of one cation are fitted; melts of several cations are not. Tolerances: temperature, the spread of the sources
where two exist, 8 K for one good source, 15 K for melts of several cations; composition 3 mol%; driving force 1.5
kJ/mol, some 25 K of a solid that melts with 60 J/(mol K).
"""

import numpy as np
import pytest

from tests.benchmarks.two_anions import liquidus_misses, lowest_of_section, separating_share
from thermo.equilibrium.freezing.liquidus import liquidus
from thermo.equilibrium.freezing.solidus import solidus
from thermo.equilibrium.invariants.lowest import lowest
from thermo.equilibrium.phases.balance import phase_balance
from thermo.equilibrium.system.two_anions import NEIGHBOURS_SIGMA, EXCHANGE_SIGMA_J_mol
from thermo.fitting.two_anion_error import (
    NamedMelt,
    mean_square_root,
    measured,
    named_melts,
    residuals,
    with_spreads,
)
from thermo.records.composition import from_amounts
from thermo.records.provenance import read_table
from thermo.records.units import celsius

ONE_CATION = [
    # Sharma & Johnson 1969 (checked): 628 +- 2 at 22 mol% MgF2; Knighton et al. 1969 (checked): 626
    ("MgCl2", "MgF2", 628, 6, 0.22, 0.02),
    # Wenz, Johnson & Wolson 1969 (memory): 644-652 at 18.5 mol% CaF2
    ("CaCl2", "CaF2", 645, 12, 0.185, 0.03),
    # Haendler, Sites & Cugno 1959 (memory): 501 at 30.5 mol% LiF
    ("LiCl", "LiF", 501, 8, 0.305, 0.03),
    # Grjotheim, Halvorsen & Holm 1967 (memory): 680 at 33.5 mol% NaF, others 673-682
    ("NaCl", "NaF", 680, 8, 0.335, 0.03),
    # Sangster & Pelton 1987 (memory): 606 at 45 mol% KF
    ("KCl", "KF", 606, 8, 0.45, 0.03),
]
SECTIONS = [
    # Gabcova et al. 1976 (checked): 719; Peschl & Malinovsky 1978: 714; composition of both
    ("LiF", "KCl", 716, 80.0),
    # Gabcova et al. 1976 (checked): 686.5 at 58.5; Peschl & Malinovsky 1978: 682 at 58
    ("LiF", "NaCl", 684, 58.25),
    # Sharma & Johnson 1969 (checked): 786 +- 3, 4.5 +- 0.5
    ("NaCl", "MgF2", 786, 4.5),
    # Sharma & Johnson 1969 (checked): 694 +- 2, 12.5 +- 0.5
    ("CaCl2", "MgF2", 694, 12.5),
    # Malinovsky & Gregorcokova 1974 (checked)
    ("NaCl", "CaF2", 779.5, 4.5),
    # Bukhalova & Bergman 1949 in ORNL-1252 (checked), from 30 equivalent percent Ca
    ("LiCl", "CaF2", 492, 17.6),
    # one paper on rare-earth chlorides with MgF2, abstract (checked), three sections
    ("LaCl3", "MgF2", 723, 30.0),
    ("CeCl3", "MgF2", 690, 26.0),
    ("NdCl3", "MgF2", 655, 26.5),
]
OFF_BY = {  # mol% in the composition of the lowest point, K in its temperature
    ("LiF", "NaCl"): ("composition", -7.1, "both liquidus curves are flat there, LiF dissolves too easily by 0.7 kJ"),
    ("CaCl2", "MgF2"): ("composition", 3.5, "too much MgF2 dissolves by 4.1 kJ"),
}


def sections(what: str) -> list:
    """The sections, those that are missed as strict xfails with the size."""
    found = []
    for row in SECTIONS:
        kind, size, why = OFF_BY.get(row[:2], ("", 0.0, ""))
        marks = [pytest.mark.xfail(strict=True, reason=f"off by {size} mol%: {why}")] if kind in (what, "both") else []
        found.append(pytest.param(*row, marks=marks, id="-".join(row[:2])))
    return found


@pytest.mark.parametrize(("a", "b", "t_C", "within", "x", "x_within"), ONE_CATION)
def test_pairs_of_one_cation(a, b, t_C, within, x, x_within):
    found, percent = lowest_of_section(a, b)
    assert found == pytest.approx(t_C, abs=within)
    assert percent / 100 == pytest.approx(x, abs=x_within)


@pytest.mark.parametrize(("a", "b", "t_C", "percent"), sections("temperature"))
def test_sections_of_two_cations_are_lowest_at_the_temperature(a, b, t_C, percent):
    assert lowest_of_section(a, b)[0] == pytest.approx(t_C, abs=15)


@pytest.mark.parametrize(("a", "b", "t_C", "percent"), sections("composition"))
def test_sections_of_two_cations_are_lowest_at_the_composition(a, b, t_C, percent):
    assert lowest_of_section(a, b)[1] == pytest.approx(percent, abs=3.0)


def test_no_section_is_lowest_far_from_the_published_composition():
    """8 mol%, two of nine by more than 3: see OFF_BY."""
    assert max(abs(lowest_of_section(a, b)[1] - percent) for a, b, _, percent in SECTIONS) < 8


def _label(melt: NamedMelt) -> str:
    numbers = " ".join(f"{f} {100 * x:.1f}" for f, x in zip(melt.salts, melt.fractions, strict=True))
    return f"{numbers} at {celsius(melt.T_K):.0f}"


FAR = {  # published melts at which a named solid is more than 1.5 kJ/mol from balance, and by how much
    "CaCl2 87.5 MgF2 12.5 at 694": "MgF2 -4.1",
    "NaCl 95.5 MgF2 4.5 at 786": "MgF2 +1.9, of 147 kJ of exchange",
    "LiCl 64.2 CaF2 12.7 LiF 23.1 at 472": "CaF2 +4.0 (91 K): an abstract of 1949",
    "LiCl 65.8 CaF2 4.4 CaCl2 29.9 at 450": "CaFCl -2.7: LiCaCl3, found in 2001, is not in the source",
    "NaF 9.5 KF 39.5 KCl 51.0 at 582": "NaF -2.3",
    "NaF 9.2 NaCl 40.2 KCl 50.5 at 612": "NaF -3.0",
    "LiF 11.0 NaCl 48.0 KCl 41.0 at 613": "LiF -1.6",
}


def melts() -> list:
    """Published melts with named solids, the far ones as strict xfails."""
    found = []
    for melt in named_melts():
        if melt.solids:
            why = FAR.get(_label(melt))
            marks = [] if why is None else [pytest.mark.xfail(strict=True, reason=f"off by {why}")]
            found.append(pytest.param(melt, marks=marks, id=_label(melt)))
    return found


@pytest.mark.parametrize("melt", melts())
def test_named_solids_are_in_balance_at_published_melts(melt):
    found = residuals(melts=[melt], left_out=False)
    assert len(found) == len(melt.solids)
    far = {one.solid: round(one.D) for one in found if abs(one.D) > 1500}
    assert far == {}


def test_driving_forces_over_all_systems():
    """Each system of cations once; random mixing with a pairing term had 9.1 kJ/mol here.

    As fitted, and with what melts of two anions add to the pairs of magnesium with a rare earth left out: there Nd,
    whose pairs then leave 13 kJ open, is off by 3.6.
    """
    fitted, left = residuals(left_out=False), residuals()
    assert len({one.melt.system for one in fitted}) >= 11
    assert mean_square_root(fitted) < 1500
    assert mean_square_root(left, "Mg,Nd") < 1500
    assert mean_square_root(left) < 2000


def test_nine_in_ten_driving_forces_lie_inside_their_bands():
    """The spread was sized so; with a system left out the quantile stays between 1.35 and 1.61 (data/DECISIONS.md)."""
    found = measured(with_spreads(residuals()))
    ratios = [abs(one.D) / one.spread(EXCHANGE_SIGMA_J_mol, NEIGHBOURS_SIGMA) for one in found]
    assert 1.3 < np.quantile(ratios, 0.9) < 1.645


def test_the_liquidus_at_published_compositions():
    """Mean of the systems' means, K: 98 with random mixing, the worst melt off by 361."""
    misses = liquidus_misses()
    assert np.mean([np.mean(np.abs(values)) for values in misses.values()]) < 30
    assert max(np.abs(values).max() for values in misses.values()) < 100


@pytest.mark.parametrize("flux", ["CaF2", "MgF2", "NaF"])
def test_magnesium_baths_with_two_percent_of_flux_are_liquid_where_they_are_run(flux):
    """They run at 680 to 720 deg C, with 5 % of fluoride called most effective (Akbari & Friedrich)."""
    melt = liquidus(from_amounts({"MgCl2": 20, "NaCl": 40, "KCl": 38, flux: 2}, basis="mass"))
    assert celsius(melt.T_K) < 680


def held() -> list[dict[str, str]]:
    return [row for row in read_table("two_anion_facts.csv") if row["kind"] == "held liquid"]


@pytest.mark.parametrize("row", held(), ids=lambda row: row["source"])
def test_melts_that_were_worked_liquid_are_liquid(row):
    amounts = {name: float(amount) for name, amount in (part.split("=") for part in row["composition"].split())}
    assert celsius(liquidus(from_amounts(amounts)).T_K) < float(row["T_C"])


def test_lithium_and_caesium_part_into_two_liquids():
    """Flor, Margheritis & Sinistri 1978, title (data/two_anion_facts.csv)."""
    assert 0.05 < separating_share("Li", "Cs", steps=8) < 0.5


@pytest.mark.parametrize(
    "pair",
    [
        "Na,Mg",
        "K,Mg",
        "Na,Ca",
        "Li,K",
        "Li,Na",
        "Na,K",
        "Li,Ca",
        "Mg,Ca",
        "K,Ca",
        "Na,Ba",
        "Mg,La",
        "Mg,Ce",
        "Mg,Nd",
        "Na,Sr",
    ],
)
def test_no_liquid_gap_where_none_is_reported(pair):
    """Squares studied without a word of two liquids; random mixing parted half of Na,Mg and K,Mg."""
    assert separating_share(*pair.split(","), steps=8) == 0.0


EUTECTICS = [
    # Bukhalova & Bergman 1949 in ORNL-1252 (checked)
    ({"LiCl": 64.22, "CaF2": 12.68, "LiF": 23.10}, 472, {"LiF", "CaF2", "LiCl"}),
    ({"LiCl": 78.79, "CaF2": 15.15, "CaCl2": 6.06}, 485, {"CaF2", "CaFCl", "LiCl"}),
    ({"LiCl": 65.77, "CaF2": 4.36, "CaCl2": 29.87}, 450, {"CaCl2", "CaFCl", "LiCl"}),
    # Chretien, Silber & Ishaque 1951 in ORNL-1252 p. 62 (checked); the second is called a minimum
    ({"NaF": 9.5, "KF": 39.5, "KCl": 51}, 582, {"KCl", "KF", "NaF"}),
    ({"NaF": 9.25, "NaCl": 40.25, "KCl": 50.5}, 612, {"(Na,K)Cl", "NaF"}),
    # Peschl & Malinovsky 1978 (checked); another study has 604
    ({"LiF": 11, "NaCl": 48, "KCl": 41}, 613, {"LiF", "(Na,K)Cl"}),
]


@pytest.mark.parametrize(("amounts", "t_C", "solids"), EUTECTICS)
def test_eutectics_of_three_salts_are_where_their_mixes_become_solid(amounts, t_C, solids):
    """A eutectic's temperature does not hang on the composition read for it; 15 K as for sections of two cations."""
    assert celsius(solidus(from_amounts(amounts)).T_K) == pytest.approx(t_C, abs=15)


LITHIUM_CALCIUM = pytest.mark.xfail(
    strict=True, reason="off by one solid: LiCaCl3 in place of CaCl2, a compound reported in 2001 (Mahendran et al.)"
)


@pytest.mark.parametrize(
    ("amounts", "t_C", "solids"),
    [pytest.param(*row, marks=[LITHIUM_CALCIUM] * (row[1] == 450)) for row in EUTECTICS],
)
def test_eutectics_of_three_salts_have_the_published_solids(amounts, t_C, solids):
    """LiCl(CaCl2), rock salt that holds some CaCl2, is what the source calls LiCl."""
    found = solidus(from_amounts(amounts)).solids
    assert {name if name.startswith("(") else name.partition("(")[0] for name in found} == solids


BARIUM = {"BaCl2": 41.85, "NaCl": 51.06, "NaF": 7.09}
ELSEWHERE = {  # deg C: how far the last liquid of the mix is from it, moles of an ion a mole of cations
    472: "off by -0.10 F, -0.05 Ca: CaF2 dissolves too little by 4.0 kJ (FAR)",
    485: "off by +0.07 Ca, +0.09 Cl: CaFCl too stable by 1.4 kJ",
    450: "off by +0.10 Ca: LiCaCl3 in place of CaCl2",
    582: "off by +0.05 F: NaF dissolves too easily by 2.3 kJ (FAR)",
    612: "off by +0.10 Na, +0.07 F: NaF dissolves too easily by 3.0 kJ (FAR)",
    613: "off by +0.06 Li, -0.06 Na: LiF dissolves too easily by 1.6 kJ (FAR)",
}


def meetings() -> list:
    """The eutectics, those whose composition is missed as strict xfails."""
    rows = [*((amounts, t_C) for amounts, t_C, _ in EUTECTICS), (BARIUM, 617)]
    return [
        pytest.param(amounts, id=f"{t_C}", marks=[pytest.mark.xfail(strict=True, reason=why)] if why else [])
        for amounts, t_C in rows
        for why in (ELSEWHERE.get(t_C),)
    ]


@pytest.mark.parametrize("amounts", meetings())
def test_eutectics_of_three_salts_have_the_published_composition(amounts):
    """Ions of the last liquid of the published mix against those of the mix, 0.03 a mole of cations as for sections."""
    mix = from_amounts(amounts)
    phases = phase_balance(mix.salts)
    published = phases.liquid.from_kept(phases.mix(mix)[None, :])[0]
    assert solidus(mix).last_liquid == pytest.approx(tuple(published.tolist()), abs=0.03)


def test_the_lowest_of_a_polytherm_without_a_place():
    """LiF-NaF-KCl: nothing freezes below 590 deg C (Elektrokhimicheskaya Energetika 2024, abstract); 15 K as above."""
    assert celsius(lowest(("LiF", "NaF", "KCl")).T_K) == pytest.approx(590, abs=15)


def test_every_published_invariant_of_two_anions_is_compared():
    """By temperature and composition in SECTIONS, EUTECTICS or BARIUM; named solids by `melts`."""
    here = [frozenset(row[:2]) for row in SECTIONS]
    here += [frozenset(amounts) for amounts, *_ in EUTECTICS] + [frozenset(BARIUM)]
    named = [melt for melt in named_melts() if melt.kind != "liquidus"]
    assert len(named) >= 18
    assert {"-".join(melt.salts) for melt in named if frozenset(melt.salts) not in here} == set()


@pytest.mark.xfail(strict=True, reason="off by +3.8 mol% LiF: LiF dissolves too easily there by 1.6 kJ (see FAR)")
def test_the_lowest_melt_of_lithium_fluoride_with_two_chlorides():
    """LiF 11, NaCl 48, KCl 41 mol%: Peschl & Malinovsky 1978 (checked); 3 mol% as for sections."""
    assert lowest(("LiF", "NaCl", "KCl")).fractions == pytest.approx((0.11, 0.48, 0.41), abs=0.03)


@pytest.mark.xfail(
    strict=True, reason="off by +19 K: 636 deg C computed (BaCl2 + BaFCl + NaCl), Banashek & Bergman name no solids"
)
def test_the_barium_eutectic():
    """BaCl2 59, Na2Cl2 36, Na2F2 5: Banashek & Bergman 1947 in ORNL-1252 (checked)."""
    found = solidus(from_amounts(BARIUM))
    assert celsius(found.T_K) == pytest.approx(617, abs=15)
