"""Gibbs functions against the tables they come from, their own laws, and their behaviour where they extrapolate."""

import math
import subprocess
import sys

import janaf
import numpy as np
import pytest
from scipy.integrate import quad

from thermo.fitting.agreement import disagreements
from thermo.fitting.gibbs import salts as gibbs_fit
from thermo.fitting.gibbs.salts import TABLES
from thermo.laws import gibbs
from thermo.laws.gibbs import (
    Fusion,
    fusion_enthalpy,
    fusion_entropy,
    fusion_gibbs,
    fusion_sigma,
    liquid_gibbs,
    phase_pieces,
    solid_entropy,
    solid_gibbs,
    transitions,
)
from thermo.records.provenance import DATA, InputError, RangeError, read_table, sources
from thermo.records.substances import salt, salts

ALL = list(salts())
WITHOUT_TABLE = [formula for formula in ALL if formula not in TABLES]
# Assumed glass transitions of the liquid tables, K (NIST-JANAF, note lines)
GLASS = {"LiCl": 588, "NaCl": 800, "MgCl2": 660, "CaCl2": 700, "SrCl2": 800, "BaCl2": 800}
GLASS |= {"NaF": 900, "MgF2": 1000, "CaF2": 1000, "SrF2": 1200, "BaF2": 1100}


def table(formula: str, liquid: bool) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """T, G from the crystal's enthalpy at 298.15 K, and S of the NIST-JANAF table, J/mol and J/(mol K)."""
    frames = [janaf.Table(index).df.filter(janaf.table.pl.col("T(K)") > 298) for index in TABLES[formula]]
    formation = [1000 * frame["delta-f H"][0] for frame in frames]
    frame, own = frames[liquid], formation[liquid]
    T = frame["T(K)"].to_numpy()
    return T, own - formation[0] - T * frame["-[G-H(Tr)]/T"].to_numpy(), frame["S"].to_numpy()


def between_rows(T: np.ndarray, G: np.ndarray, S: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Rows and the points in between them, by cubic Hermite interpolation (slope -S)."""
    points, values = [T], [G]
    for u in (0.25, 0.5, 0.75):
        low, high = slice(None, -1), slice(1, None)
        h = T[high] - T[low]
        wide = h > 0
        value = G[low] * (1 + 2 * u) * (1 - u) ** 2 + G[high] * u**2 * (3 - 2 * u)
        value -= h * (S[low] * u * (1 - u) ** 2 - S[high] * u**2 * (1 - u))
        points.append((T[low] + u * h)[wide])
        values.append(value[wide])
    return np.concatenate(points), np.concatenate(values)


def entropy(law, formula: str, T: float) -> float:
    return -(law(formula, T + 0.01) - law(formula, T - 0.01)) / 0.02


@pytest.mark.parametrize("formula", TABLES)
def test_solids_follow_the_table(formula):
    T, G = between_rows(*table(formula, False))
    span = (T >= 298) & (salt(formula).melting_point_K + 300 >= T)
    # 5 J/mol: 2 J/mol allowed to each piece, twice, and 1 J/mol of printed rounding; between rows it is interpolation
    assert np.abs(solid_gibbs(formula, T) - G)[span].max() < 5


@pytest.mark.parametrize("formula", [f for f in TABLES if f != "CsCl"])
def test_liquids_follow_the_table_above_its_glass_transition(formula):
    T, G = between_rows(*table(formula, True))
    span = (GLASS.get(formula, 0.6 * salt(formula).melting_point_K) <= T) & (salt(formula).melting_point_K + 300 >= T)
    assert np.abs(liquid_gibbs(formula, T) - G)[span].max() < 5


@pytest.mark.parametrize("formula", [f for f in TABLES if f != "CsCl"])
def test_liquids_stay_within_150_J_of_the_table_down_to_0_6_of_melting(formula):
    melting = salt(formula).melting_point_K
    T, G = between_rows(*table(formula, True))
    inside = (0.6 * melting <= T) & (melting + 300 >= T)
    off = np.abs(liquid_gibbs(formula, T) - G)
    assert off[inside].max() < 150
    order = np.argsort(T)
    assert np.interp(0.6 * melting, T[order], off[order]) < 150  # the edge itself, between two rows


def test_caesium_chloride_liquid_is_the_table_with_another_heat_of_fusion():
    """The one liquid that leaves the table: dG differs by our heat of fusion less 15899, times (1 - T/Tm)."""
    T, G, _ = table("CsCl", True)
    span = (T >= 550) & (T <= 1200)
    heats = salt("CsCl").fusion_enthalpy_J_mol - 15899  # NIST-JANAF: 918 K times (188.757 - 171.438)
    expected = heats * (1 - T[span] / 918.0)
    assert liquid_gibbs("CsCl", T[span]) - G[span] == pytest.approx(expected, abs=5)


@pytest.mark.parametrize("formula", TABLES)
def test_fusion_gives_back_melting_point_and_heat_of_the_table(formula):
    T, solid, _ = table(formula, False)
    T_liquid, liquid, S_liquid = table(formula, True)
    melting = salt(formula).melting_point_K
    row, row_liquid = (int(np.flatnonzero(melting == axis)[0]) for axis in (T, T_liquid))
    assert abs(solid[row] - liquid[row_liquid]) < 2  # the table's own balance, printed to 1 J/mol
    assert fusion_gibbs(formula, melting - 0.5) > 0 > fusion_gibbs(formula, melting + 0.5)
    heat = melting * (S_liquid[row_liquid] - table(formula, False)[2][row])
    if formula == "CsCl":
        assert heat == pytest.approx(15899, rel=1e-3)  # the table's, not used
        heat = (20250 / 400**2 + 19520 / 450**2) / (1 / 400**2 + 1 / 450**2)  # weighted: see salts.csv
    assert fusion_enthalpy(formula, melting) == pytest.approx(heat, rel=0.01)


@pytest.mark.parametrize("formula", WITHOUT_TABLE)
def test_fusion_of_salts_without_table_gives_the_handbook_values(formula):
    record = salt(formula)
    assert fusion_gibbs(formula, record.melting_point_K - 0.5) > 0 > fusion_gibbs(formula, record.melting_point_K + 0.5)
    heat = fusion_enthalpy(formula, record.melting_point_K)
    assert heat == pytest.approx(record.fusion_enthalpy_J_mol, rel=1e-4)


@pytest.mark.parametrize("formula", WITHOUT_TABLE)
def test_salts_without_table_integrate_their_heat_capacity(formula):
    """G = H - T S with H and S integrated numerically from the handbook row."""
    row = next(r for r in read_table("gibbs/handbook.csv") if r["formula"] == formula)
    a, b, S298 = (float(row[n]) for n in ("Cp_solid_a_J_mol_K", "Cp_solid_b_J_mol_K2", "S298_J_mol_K"))
    T = 900.0
    H = quad(lambda t: a + b * t, 298.15, T)[0]
    S = S298 + quad(lambda t: (a + b * t) / t, 298.15, T)[0]
    assert solid_gibbs(formula, T) == pytest.approx(H - T * S, abs=0.01)
    assert solid_entropy(formula, T) == pytest.approx(S, rel=1e-6)
    # constant step in Cp: fusion entropy falls by dCp ln(Tm/T)
    melting, step = salt(formula).melting_point_K, float(row["dCp_fusion_J_mol_K"])
    fallen = salt(formula).fusion_enthalpy_J_mol / melting - step * np.log(melting / T)
    assert fusion_entropy(formula, T) == pytest.approx(fallen, rel=1e-5)


# Heats of transition, J/mol, and temperatures, K: NIST-JANAF, differences of the two H-H(Tr) lines printed there
TRANSITIONS = {
    "CsCl": ((743.0, 3765),),
    "SrCl2": ((1000.01, 6008),),
    "BaCl2": ((1198.01, 16903),),
    "CaF2": ((1424.0, 4770),),
    "SrF2": ((1421.0, 0),),
    "BaF2": ((1240.0, 0), (1480.0, 2674)),
    "AlF3": ((728.0, 563),),
}


@pytest.mark.parametrize("formula", TABLES)
def test_solid_forms_cross_at_the_tabulated_transitions(formula):
    expected = TRANSITIONS.get(formula, ())
    assert [T for T, _, _ in transitions(formula)] == [T for T, _ in expected]
    for T, heat in expected:
        assert solid_gibbs(formula, T - 1e-6) == pytest.approx(solid_gibbs(formula, T + 1e-6), abs=1e-2)
        step = entropy(solid_gibbs, formula, T + 0.02) - entropy(solid_gibbs, formula, T - 0.02)
        assert T * step == pytest.approx(heat, abs=12)  # Cp times 0.04 K on either side, and printed rounding


@pytest.mark.parametrize("formula", ALL)
def test_energy_and_slope_run_on_from_piece_to_piece(formula):
    crossings = {T for T, _, _ in transitions(formula)}
    for below, above in zip(phase_pieces()[formula], phase_pieces()[formula][1:], strict=False):
        if (below.phase == "liquid") != (above.phase == "liquid"):
            continue
        assert below.T_hi_K == above.T_lo_K
        T = above.T_lo_K
        law = liquid_gibbs if above.phase == "liquid" else solid_gibbs
        assert law(formula, T - 1e-9) == pytest.approx(law(formula, T + 1e-9), abs=1e-3)
        if T not in crossings:
            left, right = entropy(law, formula, T - 0.011), entropy(law, formula, T + 0.011)
            assert left == pytest.approx(right, abs=0.02)  # Cp/T times 0.022 K is below 0.004


@pytest.mark.parametrize("formula", ALL)
def test_reference_is_the_crystal_at_298_15(formula):
    S = entropy(solid_gibbs, formula, 298.15)
    assert solid_gibbs(formula, 298.15) + 298.15 * S == pytest.approx(0, abs=2)  # the 2 J/mol of a piece
    if formula in TABLES:
        assert pytest.approx(table(formula, False)[2][0], abs=0.05) == S


@pytest.mark.parametrize("formula", ALL)
def test_undercooled_liquid_stays_sane_down_to_450_K(formula):
    """Entropy of fusion stays positive, so dG only falls on heating and lies between 0 and the heat of fusion."""
    T = np.arange(450.0, salt(formula).melting_point_K, 5.0)
    dG = fusion_gibbs(formula, T)
    assert (np.diff(dG) < 0).all()
    assert (dG > 0).all()
    assert (dG < fusion_enthalpy(formula, T)).all()
    assert (fusion_enthalpy(formula, T) > 0).all()


@pytest.mark.parametrize("formula", ALL)
def test_liquid_stays_the_stable_phase_above_melting(formula):
    T = np.arange(salt(formula).melting_point_K + 1, salt(formula).melting_point_K + 300, 5.0)
    assert (np.diff(fusion_gibbs(formula, T)) < 0).all()


def test_fusion_of_many_is_fusion_of_each():
    rng = np.random.default_rng(7)
    T = rng.uniform(450, 1900, 300)
    energy, slope = Fusion(ALL).energy_and_slope(T)
    assert energy.shape == slope.shape == (300, len(ALL))
    own_T = rng.uniform(450, 1900, (300, len(ALL)))
    own, own_slope = Fusion(ALL).energy_and_slope(own_T)
    for j, formula in enumerate(ALL):
        assert energy[:, j] == pytest.approx(liquid_gibbs(formula, T) - solid_gibbs(formula, T), rel=1e-9, abs=1e-3)
        assert own[:, j] == pytest.approx(fusion_gibbs(formula, own_T[:, j]), rel=1e-12, abs=1e-6)
        assert own_slope[:, j] == pytest.approx(-fusion_entropy(formula, own_T[:, j]), rel=1e-12)
    few, few_slopes = Fusion(ALL).energy_and_slope(T[:3])  # a few are taken one by one
    assert few == pytest.approx(energy[:3], rel=1e-12, abs=1e-6)
    assert few_slopes == pytest.approx(slope[:3], rel=1e-12)


@pytest.mark.parametrize("formula", ALL)
def test_slope_is_the_derivative(formula):
    T = np.arange(450.0, 1900.0, 7.3)
    breaks = np.array([piece.T_lo_K for piece in phase_pieces()[formula]])
    T = T[np.abs(T[:, None] - breaks).min(axis=1) > 0.1]  # a difference across a break mixes two Cp
    one = Fusion([formula])
    numeric = (one.energy_and_slope(T + 0.05)[0] - one.energy_and_slope(T - 0.05)[0]) / 0.1
    # round-off of dG (1e-9 J/mol of terms near 1e7) over 0.1 K, curvature of G below 1e-5
    assert one.energy_and_slope(T)[1] == pytest.approx(numeric, abs=2e-5)


@pytest.mark.parametrize("formula", ALL)
def test_sigma_is_the_melting_point_at_melting_and_grows_away_from_it(formula):
    record = salt(formula)
    at_melting = record.fusion_enthalpy_J_mol / record.melting_point_K * record.melting_point_sigma_K
    assert fusion_sigma(formula, record.melting_point_K) == pytest.approx(at_melting, rel=1e-9)
    T = record.melting_point_K * np.array([0.9, 0.8, 0.7, 0.6])
    assert (np.diff(fusion_sigma(formula, T)) > 0).all()


def test_sigma_covers_what_the_sources_dispute():
    """CsCl with the heat of either calorimetry (ORNL-3293, J. Chem. Phys. 71 (1979) 4099): within two deviations."""
    T = 0.7 * 918
    for heat in (20250, 19520):
        off = abs((heat - salt("CsCl").fusion_enthalpy_J_mol) * (1 - T / 918))
        assert off < 2 * fusion_sigma("CsCl", T) < 0.5 * fusion_gibbs("CsCl", T)


def test_estimated_salts_say_so_and_carry_wider_bands():
    for formula in ALL:
        origin, keys, caveat = gibbs.origin(formula)
        assert set(keys) <= set(sources())
        assert origin == ("fitted" if formula in TABLES else "estimated")
        assert caveat or formula in TABLES
    assert fusion_sigma("LaCl3", 800) > 5 * fusion_sigma("CaCl2", 800)


def test_bad_input_is_named():
    with pytest.raises(InputError, match="'NaBr' is not in the list"):
        fusion_gibbs("NaBr", 900)
    with pytest.raises(InputError, match="did you mean"):
        Fusion(["NaCl", "Kcl"])
    for T in (0.0, -5.0, np.nan, [900.0, np.inf]):
        with pytest.raises(RangeError, match="above 0 K"):
            solid_gibbs("NaCl", T)


def test_refit_gives_the_file_back():
    for name, text in gibbs_fit.regenerate().items():
        assert disagreements(name, (DATA / name).read_text(encoding="utf-8"), text) == []


def test_running_needs_no_table_package():
    code = "import sys, thermo.laws.gibbs as g; g.fusion_gibbs('KCl', 900); print('janaf' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=DATA.parent)
    assert done.stdout.strip() == "False"


@pytest.mark.parametrize("ratio", [0.9, 0.7, 0.5])
def test_doubt_of_the_heat_capacity_step_is_its_integral(ratio):
    """A step dCp on melting adds dCp (T - Tm - T ln(T / Tm)) to dG: integral of dCp dT less T times that of dCp / T."""
    formula = next(f for f in ALL if gibbs._pieces_of(f)[-1].dCp_sigma_J_mol_K > 0)
    record, step = salt(formula), gibbs._pieces_of(formula)[-1].dCp_sigma_J_mol_K
    Tm, T = record.melting_point_K, ratio * record.melting_point_K
    by_step = quad(lambda t: step, Tm, T)[0] - T * quad(lambda t: step / t, Tm, T)[0]
    of_heat = record.fusion_enthalpy_sigma_J_mol * (1 - ratio)
    of_melting = record.fusion_enthalpy_J_mol * record.melting_point_sigma_K * ratio / Tm
    assert fusion_sigma(formula, T) == pytest.approx(math.hypot(by_step, of_heat, of_melting), rel=1e-6)
