"""What is expected of a double salt before its melting is looked at."""

import janaf
import pytest

from thermo.fitting.priors.double_salts import enthalpy_prior, entropy_prior
from thermo.records.substances import double_salts


def table(index, T):
    """Heat and Gibbs energy of formation, kJ/mol, at T from one JANAF table."""
    for line in janaf.Table(index).raw.splitlines()[2:]:
        cells = line.split("\t")
        if len(cells) >= 7 and cells[0] == f"{T:g}" and cells[6].strip():
            return float(cells[5]), float(cells[6])
    raise KeyError(index)


# compound, its crystal, the alkali fluoride's crystal, T, and tolerances: the compounds' heat capacities differ from
# their salts', so dH moves by 2 kJ and dS by 2 J/K in 100 K
TABLES = [
    ("Na3AlF6", "Al-053", "F-033", 1300),
    ("Na5Al3F14", "Al-106", "F-033", 1000),
    ("Li3AlF6", "Al-051", "F-021", 1000),
    ("K3AlF6", "Al-048", "F-017", 1200),
]


@pytest.mark.parametrize(("formula", "compound", "alkali", "T"), TABLES)
def test_tabulated_compounds_of_aluminium_fluoride(formula, compound, alkali, T):
    n, m = double_salts()[formula].stoichiometry.values()
    (H, G), (H_alkali, G_alkali), (H_al, G_al) = (table(index, T) for index in (compound, alkali, "Al-041"))
    dH, dG = H - n * H_alkali - m * H_al, G - n * G_alkali - m * G_al
    assert enthalpy_prior(formula) == (pytest.approx(1000 * dH, abs=1000), 8000.0)
    assert entropy_prior(formula) == (pytest.approx(1000 * (dH - dG) / T, abs=1.0), 3.0)


def test_other_compounds_of_aluminium_fluoride_are_open():
    assert enthalpy_prior("KAlF4") == (0.0, 100000.0)
    assert entropy_prior("Cs3AlF6") == (33.0, 8.0)
    assert entropy_prior("KAlF4") == (0.0, 4.0)


def test_neumann_and_kopp_elsewhere():
    assert enthalpy_prior("KMgCl3") == (0.0, 40000.0)
    assert entropy_prior("KMgCl3") == (0.0, 4.0)
    assert entropy_prior("K3LaF6" if "K3LaF6" in double_salts() else "K3NdCl6") == (55.0, 15.0)
