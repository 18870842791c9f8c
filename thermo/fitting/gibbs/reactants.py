"""Generator of data/fitted/gibbs/reactants.csv: Gibbs functions of what water and oxygen bring in, from tables.

Pieces as in thermo/fitting/gibbs/salts.py: G(T) = c0 + c1 T + c2 T ln T + c3 T^2 + c4 T^3 + c5/T, J/mol. For a
compound the zero is its elements at 298.15 K (G counts from the enthalpy of formation), for an element its own enthalpy
at 298.15 K. Species: steam, HCl, HF, oxygen, graphite, CO and CO2, oxides, hydroxides, the two aluminium halides, and
the elements of vessel oxides that thermo/fitting/gibbs/elements.py does not have. Each phase between two transitions is
one piece, cut where a heat capacity needs it (KNOTS). Species without table: data/gibbs/reactants_handbook.csv with
enthalpy of formation, entropy and linear Cp.
Limits: fitted from 298.15 to 2000 K. Worked value: MgO, 973.15 K: G = -601241 - 47240 = -648480 J/mol.
Needs the package janaf (development only).
"""

from itertools import pairwise

import numpy as np

from thermo.fitting.gibbs.elements import END_K
from thermo.fitting.gibbs.salts import T298, Piece, Segment, fit_piece, pinned, table_segments
from thermo.records.provenance import Origin, read_table
from thermo.records.table_text import table_text

TABLES = {
    "H2O": "H-064",
    "HCl": "Cl-026",
    "HF": "F-005",
    "O2": "O-029",
    "C": "C-002",
    "CO": "C-093",
    "CO2": "C-095",
    "Li2O": "Li-016",
    "Na2O": "Na-014",
    "K2O": "K-012",
    "MgO": "Mg-010",
    "CaO": "Ca-029",
    "SrO": "O-015",
    "BaO": "Ba-036",
    "Al2O3": "Al-101",
    "SiO2": "O-039",
    "ZrO2": "O-054",
    "TiO2": "O-045",
    "FeO": "Fe-020",
    "PbO": "O-008",
    "LiOH": "H-020",
    "NaOH": "H-035",
    "KOH": "H-011",
    "CsOH": "Cs-014",
    "AlCl3": "Al-027",
    "AlF3": "Al-043",
    "Al": "Al-004",
    "Si": "Si-004",
    "Zr": "Zr-005",
    "Ti": "Ti-005",
    "Fe": "Fe-007",
    "Pb": "Pb-004",
}
# Where a heat capacity needs more than one polynomial between two transitions: chosen by eye on the residuals.
KNOTS = {"SiO2": (500.0,), "Fe": (600.0, 900.0), "AlF3": (500.0,), "O2": (700.0,)}
HEADER = (
    "species,phase,T_lo_K,T_hi_K,c0_J_mol,c1_J_mol_K,c2_J_mol_K,c3_J_mol_K2,c4_J_mol_K3,c5_J_K_mol,"
    "sigma_J_mol,source,locator,origin,provenance,caveat"
)
SIGMA_J_MOL = 1000.0  # a tabulated enthalpy of formation, typical printed uncertainty of the tables


def table_pieces(species: str) -> list[Piece]:
    """Every phase of a species with a table, from low to high temperature, each pinned at its own first row."""
    pieces: list[Piece] = []
    for segment in table_segments(TABLES[species], 0.0):
        start, stop = float(segment.T_K[0]), min(float(segment.T_K[-1]), END_K)
        if start >= END_K or stop <= start:
            continue
        pieces += _cut(species, f"phase {len({p.phase for p in pieces}) + 1}", segment, start, stop)
    return pieces


def _cut(species: str, phase: str, segment: Segment, start: float, stop: float) -> list[Piece]:
    """One phase, in pieces at its knots: the first pinned to the table, the next to its neighbour."""
    edges = [start, *(knot for knot in KNOTS.get(species, ()) if start < knot < stop), stop]
    pin, pieces = segment.at(start), []
    for low, high in pairwise(edges):
        pieces.append(fit_piece(phase, low, high, segment.between(low, high), pin))
        pin = pieces[-1].pin(high)
    return pieces


def handbook_piece(row: dict[str, str]) -> Piece:
    """One solid from enthalpy of formation, entropy and Cp = a + b T, all at 298.15 K."""
    cp = np.array([float(row["Cp_a_J_mol_K"]), float(row["Cp_b_J_mol_K2"]), 0.0, 0.0])
    enthalpy, entropy = float(row["dHf298_J_mol"]), float(row["S298_J_mol_K"])
    return Piece("solid", T298, END_K, pinned((T298, enthalpy - T298 * entropy, entropy), cp))


def _line(species: str, piece: Piece, sigma: str, words: dict[str, str]) -> list[str]:
    cells = (words[name] for name in ("source", "locator", "origin", "provenance", "caveat"))
    return [species, piece.phase, f"{piece.low:g}", f"{piece.high:g}", *(repr(c) for c in piece.c), sigma, *cells]


def regenerate() -> dict[str, str]:
    """File name under data/ -> its text, computed afresh from the tables and handbook rows."""
    lines: list[list[str]] = []
    for species, index in TABLES.items():
        words = {"source": "janaf1998", "locator": f"table {index}", "origin": Origin.FITTED, "provenance": "checked"}
        words["caveat"] = ""
        lines += [_line(species, piece, f"{SIGMA_J_MOL:g}", words) for piece in table_pieces(species)]
    for row in read_table("gibbs/reactants_handbook.csv"):
        lines.append(_line(row["species"], handbook_piece(row), row["sigma_J_mol"], row))
    return {"fitted/gibbs/reactants.csv": table_text(HEADER, lines)}
