"""What is expected of a pair's solid solutions before its own points are looked at.

One kind of crystal, alkali salts:  G^E = A (1 - T/2565 K) y (1 - y), A = 11.53 r + 89.40 r^2 kJ/mol, r = difference of
    the solids' molar volumes over the smaller (van der Kemp et al., Thermochim. Acta 196 (1992) 301)
other complete solutions:  the same A, a wider guess
other partial solutions:   a few mol% at 900 K, so W = R T ln(1/y) = 20 kJ/mol
A salt in another kind of crystal dissolves against E + W, E its energy in that crystal above its own: together the
    same 20 kJ/mol. E is positive by definition; W stays below 2 R T = 15 kJ/mol, or the host itself would split in two.
    How W changes with T nobody knows beforehand: it falls by some 60 J/(mol K) for MgF2 in LiF (Haven 1950), so +- 30.
Limits: judgement, no source, but for the alkali salts. Worked value: MgCl2 in LiCl: E = 15 +- 8, W = 5 +- 5 kJ/mol.
"""

from thermo.records.parameters import HOSTED, LATTICE, SHARED, SLOPE, Parameter
from thermo.records.solid_solutions import solid_solution

PARTIAL_J_mol = (20000.0, 6000.0)
HOSTED_J_mol = (5000.0, 5000.0)  # W at 900 K
SLOPE_J_mol_K = (0.0, 30.0)  # of W
LATTICE_J_mol = (15000.0, 8000.0)  # E
HALVING_K = 2565.0  # alkali salts


def solid_priors(a: str, b: str) -> dict[Parameter, tuple[float, float]]:
    """Expected value and spread of the pair's solid-solution parameters; empty where the solids stay pure."""
    known = solid_solution(a, b)
    if known is None:
        return {}
    if known.hosts:
        terms = {"a0": HOSTED_J_mol, SLOPE: SLOPE_J_mol_K, LATTICE: LATTICE_J_mol}
        return {Parameter(HOSTED + host, term): prior for host in known.hosts for term, prior in terms.items()}
    size = known.volume_rule_J_mol
    spread = 0.3 * size + (2000.0 if known.alkali else 4000.0)
    if known.extent == "partial" and not known.alkali:
        size, spread = PARTIAL_J_mol
    slope = (-size / HALVING_K, 0.3 * size / HALVING_K + 1.0) if known.alkali else (0.0, 2.0)
    terms = {"a0": (size, spread), "b0": slope, "a1": (0.0, 0.15 * spread + 1000.0)}
    return {Parameter(SHARED, term): prior for term, prior in terms.items()}
