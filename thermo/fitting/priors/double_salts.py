"""What to expect of a double salt before its melting is looked at: heat and entropy of formation from its pure salts.

    dH ~ N(0, 40 kJ)                     double salts form from their salts with little heat
    dS ~ N(0, 2 J/(mol K) a salt)        Neumann & Kopp
    A3LnX6 (large trivalent cation)      dS ~ N(55, 15): stabilised by entropy. K3LnCl6 from KCl and K2LnCl5 has 63-65
                                         J/(mol K) (Gaune-Escard et al., J. Alloys Compd. 204 (1994) 193)
    A3AlF6                               dS ~ N(33, 8): between the tabulated ones of Li, Na and K (31 to 40)
    compounds of AlF3                    dH ~ N(0, 100 kJ): AlF3 binds fluoride strongly
    tabulated (data/double_salts.csv)    dH within 8 kJ, dS within 3 J/(mol K): what the tables claim
Spreads without a source are judgement. Units: J and J/K per mole of the double salt. Limits: solids of the pairs' own
salts.
Worked value: Na3AlF6 (beta) from the JANAF tables near 1285 K: dH -61.5 kJ, dS +39.8 J/K.
"""

from thermo.laws.solids import ENTROPY_SIGMA
from thermo.records.substances import double_salts, salt

DH_J_mol = 40000.0
ALUMINIUM_DH_J_mol = 100000.0
TABULATED = (8000.0, 3.0)  # spread of a tabulated dH, J/mol, and dS, J/(mol K)


def _of_aluminium(formula: str) -> bool:
    return any(salt(f).group == "aluminium" for f in double_salts()[formula].pair)


def enthalpy_prior(formula: str) -> tuple[float, float]:
    """Expected formation enthalpy of a double salt and its spread, J/mol."""
    known = double_salts()[formula].enthalpy_J_mol
    if known is not None:
        return known, TABULATED[0]
    return 0.0, ALUMINIUM_DH_J_mol if _of_aluminium(formula) else DH_J_mol


def entropy_prior(formula: str) -> tuple[float, float]:
    """Expected formation entropy of a double salt and its spread, J/(mol K)."""
    double = double_salts()[formula]
    counts = double.stoichiometry
    if double.tabulated and double.entropy_J_mol_K is not None:
        return double.entropy_J_mol_K, TABULATED[1]
    if sorted(counts.values()) == [1, 3] and any(salt(f).charge == 3 and n == 1 for f, n in counts.items()):
        return (33.0, 8.0) if _of_aluminium(formula) else (55.0, 15.0)
    return 0.0, ENTROPY_SIGMA * sum(counts.values())
