"""Which pairs of salts dissolve in each other as solids, and how far (data/solid_solutions.csv).

extent: complete (one solid over the whole range near the solidus), partial (both ends take up some of the other), or
negligible. Pairs whose known limits all lie below 4 mol% are treated as pure solids, like the negligible ones.
lattice_of: whose crystal takes up the other salt. `both`: one kind of crystal, shared; a formula: that salt's crystal
takes up the other, which itself freezes pure; `each`: two kinds of crystal, each takes up the other salt.
b_in_a, a_in_b: published limits (mole fraction) at limit_T_K, or where that is None at the pair's lowest melting point;
further rows of a pair add limits at other temperatures. critical_T_K, critical_x_b: top of
the miscibility gap; None where unknown. volume_rule_J_mol is the expected size of the excess energy of the solid,
    A = 11.53 r + 89.40 r^2 kJ/mol, r = difference of the solids' molar volumes over the smaller one
(van der Kemp et al., Thermochim. Acta 196 (1992) 301, for common-ion alkali halides), with the volume of a formula
taken as proportional to the cube of the cation-anion distance.
Worked value: NaCl-KCl: distances 2.83 and 3.19 angstrom, r = 0.43, A = 21.6 kJ/mol.
"""

from dataclasses import dataclass, replace

from thermo.records.provenance import number, read_table
from thermo.records.remembered import remembered
from thermo.records.substances import salt, salts
from thermo.records.units import kelvin

SMALLEST_LIMIT = 0.04  # mole fraction; less changes a liquidus by about a degree
ANION_RADIUS_pm = {"F": 133.0, "Cl": 181.0}  # Shannon 1976, six-coordinate, from memory


@dataclass(frozen=True)
class SolidSolution:
    """One pair's mutual solubility in the solid; hosts: salts whose own kind of crystal takes up the other, none where
    both share one kind."""

    pair: tuple[str, str]
    extent: str
    hosts: tuple[str, ...]
    b_in_a: float | None
    a_in_b: float | None
    critical_T_K: float | None
    critical_x_b: float | None
    volume_rule_J_mol: float
    alkali: bool
    source: str
    limit_T_K: float | None = None
    others: tuple["SolidSolution", ...] = ()

    @property
    def sources(self) -> tuple[str, ...]:
        """Source keys of the published limits and of the top of the gap."""
        rows = (self, *self.others)
        return tuple(dict.fromkeys(row.source for row in rows if row.b_in_a or row.a_in_b or row.critical_T_K))

    @property
    def modelled(self) -> bool:
        """Whether the pair gets a solid-solution phase."""
        limits = [limit for limit in (self.b_in_a, self.a_in_b) if limit is not None]
        return self.extent == "complete" or (self.extent == "partial" and (not limits or max(limits) >= SMALLEST_LIMIT))


@remembered
def _table() -> dict[frozenset, SolidSolution]:
    found: dict[frozenset, SolidSolution] = {}
    for row in read_table("solid_solutions.csv"):
        a, b = row["salt_a"], row["salt_b"]
        if a not in salts() or b not in salts():
            continue
        critical_C, limit_C = number(row["critical_T_C"]), number(row["limit_T_C"])
        solution = SolidSolution(
            pair=(a, b),
            extent=row["extent"],
            hosts={"both": (), "each": (a, b)}.get(row["lattice_of"], (row["lattice_of"],)),
            b_in_a=number(row["x_b_limit_in_a"]),
            a_in_b=number(row["x_a_limit_in_b"]),
            critical_T_K=None if critical_C is None else kelvin(critical_C),
            critical_x_b=number(row["critical_x_b"]),
            volume_rule_J_mol=volume_rule(volume(a), volume(b)),
            alkali=salt(a).group == salt(b).group == "alkali",
            source=row["source"],
            limit_T_K=None if limit_C is None else kelvin(limit_C),
        )
        first = found.get(frozenset((a, b)))
        whole = solution if first is None else replace(first, others=(*first.others, solution))
        found[frozenset((a, b))] = whole
    return {key: solution for key, solution in found.items() if solution.modelled}


def volume(formula: str) -> float:
    """What is taken for the volume of a salt's formula: the cube of the cation-anion distance, cubic angstrom."""
    return ((salt(formula).cation_radius_pm + ANION_RADIUS_pm[salt(formula).anion]) / 100) ** 3


def volume_rule(first: float, second: float) -> float:
    """A of two members of these volumes a formula, J/mol."""
    small, large = sorted((first, second))
    r = (large - small) / small
    return 1000 * (11.53 * r + 89.40 * r**2)


def solid_solution(a: str, b: str) -> SolidSolution | None:
    """The pair's solid solution, None where the solids stay pure."""
    return _table().get(frozenset((a, b)))
