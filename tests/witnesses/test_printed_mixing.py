"""Values of mixing and energies of compounds against the formulas and tables that their sources print.

Rows of data/mixing.csv that were computed from a printed formula must be that formula at their composition and
temperature; those of cryolite melts and crystals must be what the NIST-JANAF tables give.
"""

import math
import re

import pytest
from scipy.constants import R
from scipy.constants import calorie as CAL

from tests.each import NOTHING, each
from tests.witnesses.janaf_tables import at
from tests.witnesses.tables import read_table

NUMBER = r"(\d+(?:\.\d+)?(?:e-?\d+)?)"


def numbered(table: str) -> list[int]:
    return list(range(len(read_table(table))))


FORMULAS = {
    ("sangster_pelton1987", "LiCl", "KCl", "enthalpy_of_mixing_J_mol"): lambda x, T: (
        x * (1 - x) * (-17570 - 377 * (1 - x))
    ),
    ("sangster_pelton1987", "LiCl", "KCl", "excess_gibbs_J_mol"): lambda x, T: (
        x * (1 - x) * (-17570 - 377 * (1 - x) + T * (7.627 - 4.958 * (1 - x)))
    ),
    ("hersh_kleppa1965", "NaCl", "KCl", "enthalpy_of_mixing_J_mol"): lambda x, T: x * (1 - x) * (-2259 - 276 * x),
    ("chiotti1969", "LiCl", "KCl", "excess_gibbs_J_mol"): lambda x, T: (
        CAL * x * (1 - x) * (-3901 + 0.99 * T + (-1850 + 0.73 * T) * (1 - x) / 2)
    ),
    ("chiotti1969", "LiCl", "RbCl", "excess_gibbs_J_mol"): lambda x, T: (
        CAL * x * (1 - x) * (-1159 - 1.87 * T + (-10072 + 10.54 * T) * (1 - x) / 2)
    ),
    ("liao2023", "LiF", "NdF3", "excess_gibbs_J_mol"): lambda x, T: (
        x * (1 - x) * (-39966 + 17.68 * T + (-7667 + 26.1 * T) * (1 - 2 * x) - 6000 * (1 - 2 * x) ** 2)
    ),
}
POTENTIALS = {  # of the first salt, x its fraction, cal/mol; Table V
    ("LiCl", "KCl"): lambda x, T: (1 - x) ** 2 * (-3544 + 0.65 * T + (-1886 + 0.72 * T) * x**0.75),
    ("LiCl", "RbCl"): lambda x, T: (1 - x) ** 2 * (-4405 + 2.52 * T + (-28000 + 31.54 * T) * x**3.25),
}
REGULAR = re.compile(r"x1 x2 \((-?\d+)(?: \+- \d+)?\)|regular w = (-?\d+) J/mol")


def of_formula(row: dict[str, str]) -> float | None:
    """What the printed formula gives at the row's composition and temperature, J/mol; None without a formula."""
    x, T = float(row["x_b"]), float(row["T_C"]) + 273.15
    if printed := FORMULAS.get((row["source"], row["salt_a"], row["salt_b"], row["quantity"])):
        return printed(x, T)
    if row["quantity"] == "excess_potential_a_J_mol" and row["locator"].startswith("p. 677"):
        return CAL * POTENTIALS[row["salt_a"], row["salt_b"]](1 - x, T)
    if found := REGULAR.search(row["caveat"]):
        return x * (1 - x) * float(found[1] or found[2])
    if found := re.search(rf"interaction parameter -{NUMBER} kJ/mol", row["caveat"]):
        return -1000 * float(found[1]) * x * (1 - x)
    return None


@each(numbered("mixing.csv"), compared=60)
def test_a_value_of_mixing_is_that_of_the_printed_formula(n):
    row = read_table("mixing.csv")[n]
    printed = of_formula(row)
    if printed is None:
        return NOTHING
    rounding = 60 if "interaction parameter" in row["caveat"] else 0.02  # printed to 100 J/mol, elsewhere computed
    assert float(row["value"]) == pytest.approx(printed, abs=rounding)
    return None


@each(numbered("mixing.csv"), compared=12)
def test_an_activity_is_the_printed_coefficient(n):
    row = read_table("mixing.csv")[n]
    if found := re.search(rf"activity coefficient {NUMBER} times {NUMBER}", row["caveat"]):
        assert float(row["value"]) == pytest.approx(float(found[1]) * float(found[2]), rel=1e-6)
        assert float(row["x_b"]) == float(found[2])
        return None
    if found := re.search(rf"activity coefficient {NUMBER} on the ion-fraction product x_a\^2", row["caveat"]):
        assert float(row["value"]) == pytest.approx(float(found[1]) * (1 - float(row["x_b"])) ** 2, rel=1e-4)
        return None
    return NOTHING


@each(numbered("mixing.csv"), compared=28)
def test_a_temperature_of_mixing_is_the_one_taken(n):
    """ "at 700 K", "800 C taken", "700 C taken"."""
    row = read_table("mixing.csv")[n]
    if found := re.search(rf"\b{NUMBER} C taken", row["caveat"]):
        assert float(row["T_C"]) == float(found[1])
        return None
    if found := re.search(rf"(?:at|taken at) {NUMBER} K\b|^S-shaped.*, {NUMBER} K", row["caveat"]):
        assert float(row["T_C"]) == pytest.approx(float(found[1] or found[2]) - 273.15, abs=0.5)
        return None
    return NOTHING


def of_tables(index: str, T_K: float) -> tuple[float, float]:
    """Enthalpy and Gibbs energy of formation, J/mol, between rows 100 K apart."""
    return 1000 * at(index, "delta-f H", T_K), 1000 * at(index, "delta-f G", T_K)


@each([n for n in numbered("mixing.csv") if read_table("mixing.csv")[n]["source"] == "janaf1998"], compared=6)
def test_mixing_in_cryolite_follows_from_the_tables(n):
    """Liquid compound less its liquid salts, per mole of salts; the Gibbs energy less R T sum x ln x."""
    row = read_table("mixing.csv")[n]
    one, other, compound = re.findall(r"[A-Z][a-z]?-\d{3}", row["locator"])
    x, T_K = float(row["x_b"]), float(row["T_C"]) + 273.15
    parts = {0.25: (3, 1), 0.375: (5, 3)}[x]
    both = [of_tables(index, T_K) for index in (one, other, compound)]
    H, G = ((both[2][k] - parts[0] * both[0][k] - parts[1] * both[1][k]) / sum(parts) for k in (0, 1))
    found = H if row["quantity"].startswith("enthalpy") else G - R * T_K * (x * math.log(x) + (1 - x) * math.log(1 - x))
    assert float(row["value"]) == pytest.approx(found, abs=60)  # written to 10 to 100 J/mol


@each(numbered("double_salts.csv"), compared=4)
def test_heat_and_entropy_of_a_compound_follow_from_the_tables(n):
    """Crystal less the crystals of its salts at the temperature named."""
    row = read_table("double_salts.csv")[n]
    found = re.search(r"JANAF (\S+) less (\S+) and (\S+) near (\d+) K", row["note"])
    if not found:
        return NOTHING
    T_K = float(found[4])
    compound, one, other = (of_tables(found[k], T_K) for k in (1, 2, 3))
    counts = float(row["count_a"]), float(row["count_b"])
    H, G = (compound[k] - counts[0] * one[k] - counts[1] * other[k] for k in (0, 1))
    assert float(row["enthalpy_J_mol"]) == pytest.approx(H, abs=110)  # rows of the tables are 100 K apart
    assert float(row["entropy_J_mol_K"]) == pytest.approx((H - G) / T_K, abs=0.11)
    return None
