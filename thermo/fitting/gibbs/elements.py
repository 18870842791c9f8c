"""Generator of data/fitted/gibbs/elements.csv: Gibbs functions of the metals and of chlorine and fluorine, from tables.

Pieces as in thermo/fitting/gibbs/salts.py: G(T) = c0 + c1 T + c2 T ln T + c3 T^2 + c4 T^3 + c5/T, J/mol, enthalpy of
the reference state at 298.15 K = 0. Three phases a metal: the crystal forms, the liquid (from melting on, carried past
its boiling point, where deposition is still compared with a condensed metal) and the monatomic gas at 1 bar.
Lanthanum, cerium and neodymium have no table: data/gibbs/elements_handbook.csv, form by form, constant or linear Cp.
Limits: fitted from 298.15 to 2000 K. Worked value: magnesium at 1000 K, liquid: -47113 J/mol.
Needs the package janaf (development only).
"""

import numpy as np

from thermo.fitting.gibbs.salts import FORMS, T298, Piece, fit_piece, pinned, table_segments
from thermo.records.provenance import Origin, read_table
from thermo.records.table_text import table_text

END_K = 2000.0
TABLES = {  # reference state, liquid, gas
    "Li": ("Li-001", "Li-003", "Li-005"),
    "Na": ("Na-001", "Na-003", "Na-005"),
    "K": ("K-001", "K-003", "K-005"),
    "Rb": ("Rb-001", "Rb-003", "Rb-005"),
    "Cs": ("Cs-001", "Cs-003", "Cs-005"),
    "Mg": ("Mg-001", "Mg-003", "Mg-005"),
    "Ca": ("Ca-001", "Ca-004", "Ca-006"),
    "Sr": ("Sr-001", "Sr-004", "Sr-006"),
    "Ba": ("Ba-001", "Ba-003", "Ba-005"),
    "Zn": ("Zn-001", "Zn-003", "Zn-005"),
    "Al": ("Al-001", "Al-003", "Al-005"),
}
HALOGENS = {"Cl2": "Cl-073", "F2": "F-054"}
HEADER = (
    "element,phase,T_lo_K,T_hi_K,c0_J_mol,c1_J_mol_K,c2_J_mol_K,c3_J_mol_K2,c4_J_mol_K3,c5_J_K_mol,"
    "source,locator,origin,provenance,caveat"
)


def table_pieces(metal: str) -> list[Piece]:
    """Crystal forms, liquid and gas of a metal with tables, in that order."""
    reference, melt, vapour = (table_segments(index, 0.0) for index in TABLES[metal])
    liquid_from = next(k for k, s in enumerate(reference) if s.T_K[0] > T298 and _is_liquid(s.T_K[0], melt, s.Cp[0]))
    pieces = []
    for k, segment in enumerate(reference[:liquid_from]):
        name = FORMS[k] if liquid_from > 1 else "solid"
        low, high = float(segment.T_K[0]), float(segment.T_K[-1])
        pieces.append(fit_piece(name, low, high, segment, segment.at(low)))
    melting = float(reference[liquid_from].T_K[0])
    liquid = melt[-1].between(melting, END_K)
    pieces.append(fit_piece("liquid", melting, END_K, liquid, reference[liquid_from].at(melting)))
    return [*pieces, gas_piece(vapour[0])]


def _is_liquid(T: float, melt: list, cp: float) -> bool:
    """Whether a segment of the reference table that starts at T with this Cp is the liquid of the liquid table."""
    table = melt[-1]
    return bool(table.T_K[0] <= T) and abs(float(np.interp(T, table.T_K, table.Cp)) - cp) < 0.05


def gas_piece(segment) -> Piece:
    """The ideal gas at 1 bar from 298.15 K to END_K."""
    rows = segment.between(T298, END_K)
    return fit_piece("gas", T298, END_K, rows, rows.at(1000.0))


def handbook_pieces(rows: list[dict[str, str]]) -> list[Piece]:
    """Pieces of a metal without table: rows in order of temperature, each with the heat of the step into it."""
    pieces: list[Piece] = []
    G, S = 0.0, 0.0
    starts = [float(row["T_lo_K"]) for row in rows]
    for row, low, high in zip(rows, starts, [*starts[1:], END_K], strict=True):
        if pieces:
            _, G, S = pieces[-1].pin(low)
            S += float(row["transition_enthalpy_J_mol"]) / low
        else:
            S = float(row["S298_J_mol_K"])
            G = -low * S
        cp = np.array([float(row["Cp_a_J_mol_K"]), float(row["Cp_b_J_mol_K2"]), 0.0, 0.0])
        pieces.append(Piece(row["phase"], low, high, pinned((low, G, S), cp)))
    return pieces


def _line(element: str, piece: Piece, words: dict[str, str]) -> list[str]:
    cells = (words[name] for name in ("source", "locator", "origin", "provenance", "caveat"))
    return [element, piece.phase, f"{piece.low:g}", f"{piece.high:g}", *(repr(c) for c in piece.c), *cells]


def _table_words(locator: str) -> dict[str, str]:
    return {
        "source": "janaf1998",
        "locator": f"table {locator}",
        "origin": Origin.FITTED,
        "provenance": "checked",
        "caveat": "",
    }


def regenerate() -> dict[str, str]:
    """File name under data/ -> its text, computed afresh from the tables and handbook rows."""
    lines: list[list[str]] = []
    for metal, (reference, liquid, gas) in TABLES.items():
        for piece in table_pieces(metal):
            locator = {"liquid": liquid, "gas": gas}.get(piece.phase, reference)
            lines.append(_line(metal, piece, _table_words(locator)))
    handbook: dict[str, list[dict[str, str]]] = {}
    for row in read_table("gibbs/elements_handbook.csv"):
        handbook.setdefault(row["element"], []).append(row)
    for metal, rows in handbook.items():
        for piece, row in zip(handbook_pieces(rows), rows, strict=True):
            lines.append(_line(metal, piece, row))
    for gas, index in HALOGENS.items():
        lines.append(_line(gas, gas_piece(table_segments(index, 0.0)[0]), _table_words(index)))
    return {"fitted/gibbs/elements.csv": table_text(HEADER, lines)}
