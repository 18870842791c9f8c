"""Ternary terms of the melt, before and after the published melts of several salts, and what these add to the pairs.

Generated files: data/fitted/ternary_terms.csv (terms of AlF3 melts fitted to their sections, and what is expected of
double salts that mix) and joint_shifts.csv (what the joint update of records/joint adds to every parameter). Terms:
`plain` and `balance` of laws/mixing; a salt, the corner of laws/corner_terms; or two double salts with + between, what
these do to each other in a solid solution. The constants are what leaving published melts out chose
(data/DECISIONS.md).
Worked value: three chlorides that nobody melted together have three corners of 0 +- 25 kJ/mol.
"""

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from thermo.records.data_folder import folder
from thermo.records.parameters import Parameter
from thermo.records.published import melting_points, ternary_points
from thermo.records.remembered import remembered
from thermo.records.substances import double_salts
from thermo.records.tables import read_table

FUSION = "fusion"
MIXING = "+"  # between two compounds, laws/compound_solution
ALUMINIUM = "AlF3"
# J/mol: prior of a corner of three salts, the same of AlF3 in sets with rows of their own, and by how much a measured
# melt is missed at best: by marginal likelihood
CORNER_J_mol, CORNER_ALF3_J_mol = 25000.0, 80000.0
SURFACE_J_mol = MappingProxyType({"Cl": 550.0, "F": 350.0})
# J/mol: what the bands of left-out melts ask for beside what is propagated, one error of a melt, shared by its solids
BLIND = "AlF3, set not measured"
LEFT_J_mol = MappingProxyType({"Cl": 750.0, "F": 0.0, ALUMINIUM: 450.0, BLIND: 1850.0})
SHIFTS = "fitted/joint_shifts.csv"
Key = tuple[frozenset[str], Parameter | str]  # (salts of a pair, parameter), (three salts, term) or (a salt, FUSION)


def is_mixing(term: str) -> bool:
    """Whether a term belongs to two compounds that dissolve in each other as solids, not to the melt."""
    return MIXING in term


def fusion_key(formula: str) -> Key:
    """The energy of melting of a salt, in units of its standard deviation."""
    return frozenset((formula,)), FUSION


@remembered
def fitted_terms() -> Mapping[tuple[frozenset, str], tuple[float, float]]:
    """Terms before the joint update: (three salts, term) -> (value, standard deviation), J/mol."""
    rows = read_table("fitted/ternary_terms.csv")
    names = [frozenset(row[f"salt{n}"] for n in (1, 2, 3)) for row in rows]
    return MappingProxyType(
        {
            (key, row["term"]): (float(row["value_J_mol"]), float(row["sigma_J_mol"]))
            for key, row in zip(names, rows, strict=True)
        }
    )


@remembered
def term_sigma(names: frozenset, term: str) -> float:
    """Standard deviation (J/mol) of a ternary term before the joint update: fitted, or the prior of a corner."""
    if (names, term) in fitted_terms():
        return fitted_terms()[names, term][1]
    measured = ALUMINIUM in names and names in measured_with_aluminium()  # reads every published point: only if asked
    return CORNER_ALF3_J_mol if measured else CORNER_J_mol


@remembered
def measured_with_aluminium() -> frozenset[frozenset[str]]:
    """Sets of salts with AlF3 of which melts were published: rows of their own, or a section from a compound."""
    found = {frozenset(point.salts) for point in ternary_points() if point.fractions}
    for row in melting_points():
        found.add(frozenset(f for name in row.pair for f in _parts(name)))
    return frozenset(names for names in found if ALUMINIUM in names)


def _parts(name: str) -> Iterable[str]:
    """The salts of a double salt, or the salt itself."""
    return double_salts()[name].stoichiometry if name in double_salts() else (name,)


@remembered
def joint_shifts() -> Mapping[tuple[frozenset, str], float]:
    """What the joint update adds: (two or three salts, parameter as the files print it) -> J/mol or J/(mol K).

    Empty before the file was first written.
    """
    if not (folder() / SHIFTS).exists():
        return MappingProxyType({})
    rows = read_table(SHIFTS)
    names = [frozenset(row[f"salt{n}"] for n in (1, 2, 3) if row[f"salt{n}"]) for row in rows]
    shifts = {(key, row["parameter"]): float(row["value"]) for key, row in zip(names, rows, strict=True)}
    return MappingProxyType(shifts)


@remembered
def ternary_terms() -> Mapping[tuple[frozenset, str], tuple[float, float]]:
    """Terms after the joint update: (three salts, term) -> (value, standard deviation before it), J/mol."""
    found = dict(fitted_terms())
    for (names, term), shift in joint_shifts().items():
        if len(names) == 3:
            value = fitted_terms().get((names, term), (0.0, 0.0))[0]
            found[names, term] = value + shift, term_sigma(names, term)
    return MappingProxyType(found)
