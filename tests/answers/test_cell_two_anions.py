"""The cell of a melt of fluoride and chloride: chlorine at the anode, activities of the chlorides, the ions kept."""

from dataclasses import replace

import numpy as np
import pytest

from thermo.answers.cell import CellRun, describe_cell
from thermo.answers.deposition import deposition_order
from thermo.answers.materials import judge_materials
from thermo.answers.melt import describe_melt
from thermo.answers.run.causes import drifted_bath
from thermo.answers.run.facts import facts_of, run_of
from thermo.answers.run.review import review
from thermo.equilibrium.freezing.activity import activities
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.two_anions import EXCHANGE_SIGMA_J_mol
from thermo.laws.faraday import metal_g
from thermo.laws.formation import decomposition_voltage, formation_row
from thermo.present.paper.sheet import run_sheet, sheet_json
from thermo.present.words.cell import cell_cards, drift_header, drift_rows
from thermo.records.composition import from_amounts, halide_at_the_anode, with_chloride_of
from thermo.records.provenance import InputError
from thermo.records.substances import salt
from thermo.records.units import F, R

T_K = 1073.15
FLUXED = from_amounts({"NaCl": 40, "KCl": 40, "MgCl2": 18, "CaF2": 2})  # a magnesium bath with a flux


def ion_amounts(melt):
    """Moles of every ion a mole of salts."""
    found = {}
    for formula, x in melt.mole_percent.items():
        record = salt(formula)
        found[record.cation] = found.get(record.cation, 0.0) + x
        found[record.anion] = found.get(record.anion, 0.0) + x * record.charge
    return found


def test_a_trace_of_fluoride_changes_nothing():
    plain = activities(from_amounts({"NaCl": 40, "KCl": 40, "MgCl2": 20}), T_K)
    trace = activities(from_amounts({"NaCl": 40, "KCl": 40, "MgCl2": 20, "NaF": 1e-7}), T_K)
    assert trace.salts == plain.salts
    assert trace.values == pytest.approx(plain.values, rel=1e-6)
    # the error of several salts is counted differently where two anions meet
    assert (np.diag(trace.covariance_J2_mol2) <= np.diag(plain.covariance_J2_mol2) + 1.0).all()


def test_how_the_ions_are_named_changes_nothing():
    one = activities(from_amounts({"NaF": 1, "KCl": 3}), T_K)
    other = activities(from_amounts({"NaCl": 1, "KF": 1, "KCl": 2}), T_K)
    order = [other.salts.index(f) for f in one.salts]
    assert other.values[order] == pytest.approx(one.values, rel=1e-9)
    assert other.covariance_J2_mol2[np.ix_(order, order)] == pytest.approx(one.covariance_J2_mol2, rel=1e-6)


def test_covariance_follows_a_changed_exchange_energy():
    """One energy of exchange moved by its own spread moves every activity by its share of the covariance."""
    melt = from_amounts({"LiF": 1, "NaCl": 2})
    system = salt_system(melt.salts)
    base = R * T_K * np.log(activities(melt, T_K).values)
    total = np.zeros((2, 2))
    for k, (fluoride, chloride) in enumerate(zip(system.constituents[:2], system.constituents[2:], strict=True)):
        moved = type(system)(melt.salts)
        own = np.hypot(formation_row(fluoride).sigma_J_mol, formation_row(chloride).sigma_J_mol)
        exchange = system.laws.exchange.copy()
        exchange[k, 0] += np.hypot(own, EXCHANGE_SIGMA_J_mol)
        moved.laws = replace(system.laws, exchange=exchange)
        change = R * T_K * np.log(activities(melt, T_K, moved).values) - base
        total += np.outer(change, change)
    eye = np.eye(4)
    rows = np.array([system.exchange_errors(melt.array, eye[i], T_K)[:2] for i in (2, 3)])
    assert rows @ rows.T == pytest.approx(total, rel=0.05)  # pairs bend


def test_fluorine_comes_later_by_the_same_for_every_metal():
    """The exchange is in balance: E(MF_z, F2) - E(MCl_z, Cl2) is one number, that of the anode."""
    found = activities(FLUXED, T_K)
    steps = []
    for chloride, log_Cl, log_F in zip(found.salts, np.log(found.values), found.ln_fluorides, strict=True):
        cation, z = salt(chloride).cation, salt(chloride).charge
        fluoride = f"{cation}F{z if z > 1 else ''}"
        standard = decomposition_voltage(fluoride, T_K).value_V - decomposition_voltage(chloride, T_K).value_V
        steps.append(standard - R * T_K / (z * F) * (log_F - log_Cl))
    # exchange energies are taken as straight lines in T: some mV
    assert np.ptp(steps) < 0.005
    assert any(f"{np.mean(steps):.1f} V more" in note for note in deposition_order(FLUXED, T_K).notes)


def test_metals_are_ranked_by_their_chlorides():
    order = deposition_order(FLUXED, T_K, "Mg")
    assert order.first.metal == "Mg"
    assert {c.salt for c in order.couples} == {"NaCl", "KCl", "MgCl2", "CaCl2"}
    assert order.p_first > 0.99


def test_little_chloride_is_said():
    order = deposition_order(from_amounts({"LiF": 50, "NaF": 48, "NaCl": 2}), 1000.0)
    assert any("2 % of the anions are chloride" in note for note in order.notes)


@pytest.mark.parametrize(
    ("amounts", "cation", "named"),
    [
        ({"NaCl": 3, "MgF2": 1}, "Mg", {"NaCl", "MgCl2", "NaF"}),
        ({"NaCl": 1, "MgF2": 1}, "Mg", {"MgF2", "MgCl2", "NaF"}),
        ({"CaCl2": 1, "LiF": 4}, "Li", {"LiF", "LiCl", "CaF2"}),
        ({"NaCl": 40, "MgCl2": 10, "CaF2": 2}, "Mg", {"NaCl", "MgCl2", "CaF2"}),
        ({"NaCl": 1, "KCl": 1}, "Na", {"NaCl", "KCl"}),
        ({"NaCl": 1, "KF": 1}, "Mg", {"NaCl", "KF"}),
    ],
)
def test_naming_by_the_chloride_keeps_every_ion(amounts, cation, named):
    typed = from_amounts(amounts)
    renamed = with_chloride_of(typed, cation)
    assert set(renamed.salts) == named
    assert ion_amounts(renamed) == pytest.approx(ion_amounts(typed), rel=1e-12)


def test_what_the_anode_gives():
    assert halide_at_the_anode(from_amounts({"NaF": 99, "NaCl": 1})) == "Cl"
    assert halide_at_the_anode(from_amounts({"NaF": 99, "KF": 1})) == "F"


def test_a_run_of_a_fluxed_bath():
    answer = describe_cell(FLUXED, "Mg", T_K, CellRun(5.0, 2.0, bath_g=500.0))
    assert answer.halogen.formula == "Cl2"
    assert answer.metal_g_max == pytest.approx(metal_g("Mg", 10.0))
    assert answer.drift.formula == "MgCl2"
    before, after = (ion_amounts(p.composition) for p in (answer.drift.points[0], answer.drift.points[-1]))
    kept = before["K"] / after["K"]  # percent of what is left, so all others rise alike
    assert before["Ca"] / after["Ca"] == pytest.approx(kept)
    assert before["F"] / after["F"] == pytest.approx(kept)
    assert before["Mg"] - kept * after["Mg"] == pytest.approx(before["Cl"] / 2 - kept * after["Cl"] / 2)
    assert answer.naming_note == ""


def test_a_metal_weighed_in_as_fluoride_is_named_by_its_chloride():
    typed = from_amounts({"NaCl": 80, "MgF2": 5})
    answer = describe_cell(typed, "Mg", 1200.0, CellRun(1.0, 1.0, bath_g=100.0))
    assert answer.composition == typed
    assert answer.drift.salts == ("NaCl", "MgCl2", "NaF")
    assert {len(row) for row in drift_rows(answer)} == {len(drift_header(answer))}
    assert answer.naming_note in answer.notes
    assert any("MgCl2" in line for card in cell_cards(answer) for line in card.details if "named by" in line)


def test_its_run_sheet_takes_the_cell():
    typed = from_amounts({"NaCl": 80, "MgF2": 5})
    cell = describe_cell(typed, "Mg", 1200.0, CellRun(1.0, 1.0))
    sheet = sheet_json(run_sheet(describe_melt(typed, "Mg", 1200.0), cell=cell))
    assert cell.naming_note in sheet["notes"]
    assert sheet["cell"]["order"][0]["salt"] == "MgCl2"


def test_a_metal_that_is_not_there_is_refused():
    with pytest.raises(InputError, match="no salt of this bath holds it"):
        describe_cell(FLUXED, "Li", T_K, CellRun(1.0, 1.0))


@pytest.mark.parametrize("amounts", [{"NaCl": 80, "MgF2": 20}, {"CaF2": 5, "NaCl": 40, "MgCl2": 20}])
def test_a_review_judges_by_the_chloride_whatever_was_weighed_in(amounts):
    run = run_of(from_amounts(amounts), "Mg", 1223.15, 5.0, 2.0, 1.0, bath_g=100.0)
    assert run.own_salt == "MgCl2"
    assert ["MgCl2 went from" in cause.evidence for cause in drifted_bath(facts_of(run))] == [True, True]
    assert any("of Cl2" in note for note in review(run, ("weak-chlorine",)).notes)


@pytest.mark.slow
def test_six_cations_may_need_more_than_six_names():
    six = from_amounts({"NaCl": 40, "KCl": 10, "CaCl2": 10, "SrCl2": 10, "BaCl2": 10, "MgF2": 5})
    assert len(describe_cell(six, "Mg", 1223.15, CellRun(1.0, 1.0, bath_g=100.0)).drift.salts) == 7


def test_a_material_is_judged_by_both_anions_in_any_order():
    one = judge_materials(from_amounts({"NaCl": 9, "CaF2": 1}), "Na", 1073.15)
    other = judge_materials(from_amounts({"CaF2": 1, "NaCl": 9}), "Na", 1073.15)
    assert [(v.name, v.verdict, set(v.reasons)) for v in one] == [(v.name, v.verdict, set(v.reasons)) for v in other]
    assert any("fluorides" in reason for v in one for reason in v.reasons)
    assert any("chlorides" in reason or "chlorine" in reason for v in one for reason in v.reasons)
