"""Generator of data/fitted/gibbs/phases.csv: Gibbs functions of the pure salts, piece by piece, from tables.

A piece is G(T) = c0 + c1 T + c2 T ln T + c3 T^2 + c4 T^3 + c5/T in J/mol (T in K; enthalpy of the crystal at
298.15 K = 0), that is Cp = a + b T + c T^2 + d/T^2. Each piece is pinned: at one temperature G and S = -dG/dT are
given, and the Cp terms (as few as follow the table) are fitted by least squares to the tabulated G, S and Cp. The
first pin is the melting point; each further piece is pinned to its neighbour, so G and S run on without a step and
two solid forms cross where the table puts their transition, with the table's heat. Coefficients of Cp are rounded
before the pin fixes c1 and c0, so the text does not depend on the last bits of the linear algebra.

Liquids: the tables replace the liquid below an assumed glass transition by a glass with the crystal's Cp. That is a
convention, not a measurement, and a melt that freezes at 400 deg C needs the liquid: the liquid's own Cp is carried
on downwards. It drifts from the table's glass, and only NaCl and NaF (whose tabulated liquid Cp climbs on cooling)
would be more than 140 J/mol away at 0.6 Tm; for these two the Cp below the glass transition is the largest constant
that stays within 140 J/mol there. Above the glass transition every liquid follows its table within a few J/mol.

Salts without table: handbook entropy, linear Cp of the crystal and constant dCp (data/gibbs/handbook.csv) with the
melting point and heat of fusion of data/salts.csv. CsCl: its crystal from the table, its melt with the heat of fusion
of data/salts.csv, because the table's 15.9 kJ/mol stands alone against two calorimetries (20.25 and 19.52 kJ/mol).
Worked value: NaCl, liquid minus crystal at 1073.8 K: 0 J/mol, slope -28158/1073.8 = -26.22 J/(mol K).
Needs the package janaf (development only).
"""

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from thermo.records.provenance import Origin, read_table
from thermo.records.substances import Salt, salts
from thermo.records.table_text import table_text

T298 = 298.15
TERMS = 4  # Cp = a + b T + c T^2 + d/T^2
TABLES = {
    "LiCl": ("Cl-041", "Cl-042"),
    "NaCl": ("Cl-053", "Cl-054"),
    "KCl": ("Cl-036", "Cl-037"),
    "CsCl": ("Cl-005", "Cl-006"),
    "MgCl2": ("Cl-093", "Cl-094"),
    "CaCl2": ("Ca-009", "Ca-010"),
    "SrCl2": ("Cl-119", "Cl-120"),
    "BaCl2": ("Ba-013", "Ba-014"),
    "LiF": ("F-021", "F-022"),
    "NaF": ("F-033", "F-034"),
    "KF": ("F-017", "F-018"),
    "CsF": ("Cs-008", "Cs-009"),
    "MgF2": ("F-072", "F-073"),
    "CaF2": ("Ca-014", "Ca-015"),
    "SrF2": ("F-102", "F-103"),
    "BaF2": ("Ba-019", "Ba-020"),
    "AlF3": ("Al-041", "Al-042"),
}
# Where a crystal's Cp needs more than one polynomial between two transitions: chosen by eye on the residuals.
KNOTS = {
    "LiF": (600.0,),
    "MgF2": (600.0,),
    "CaF2": (600.0,),
    "SrCl2": (600.0,),
    "BaCl2": (800.0,),
    "SrF2": (600.0, 1100.0, 1300.0, 1484.0, 1600.0),
    "BaF2": (800.0, 1100.0, 1200.0, 1300.0, 1400.0),
    "AlF3": (500.0,),
}
FORMS = ("alpha", "beta", "gamma")
HYPOTHETICAL = {"AlF3"}  # sublimes: its liquid is the table's definition, glass and all, and has no error of its own
HANDBOOK_HEAT = {"CsCl": "ornl3293"}  # whose heat of fusion, from salts.csv, replaces the table's
GLASS_ALLOWANCE = 140.0  # J/mol at 0.6 Tm: the agreement promised with the table is 150
HANDBOOK_END = 2500.0  # K
LIQUID_KNOT = 1500.0  # K, where a curved liquid Cp levels off
TABLE_DCP_SIGMA = 2.0  # J/(mol K), liquid less solid below melting, 3 % of a liquid Cp: common practice, no source
HEADER = (
    "formula,phase,T_lo_K,T_hi_K,c0_J_mol,c1_J_mol_K,c2_J_mol_K,c3_J_mol_K2,c4_J_mol_K3,c5_J_K_mol,"
    "dCp_sigma_J_mol_K,source,locator,origin,provenance,caveat"
)


@dataclass(frozen=True)
class Segment:
    """One phase of a table between two transitions: columns T_K, Cp, S (J/(mol K)), G (J/mol), each shape (rows,)."""

    T_K: np.ndarray
    Cp: np.ndarray
    S: np.ndarray
    G: np.ndarray

    def between(self, low: float, high: float) -> "Segment":
        """The rows with low <= T <= high."""
        kept = (low <= self.T_K) & (high >= self.T_K)
        return Segment(self.T_K[kept], self.Cp[kept], self.S[kept], self.G[kept])

    def at(self, T: float) -> tuple[float, float, float]:
        """(T, G, S) of the row at T."""
        row = int(np.flatnonzero(self.T_K == T)[0])
        return T, float(self.G[row]), float(self.S[row])


@dataclass(frozen=True)
class Piece:
    """One row of phases.csv: a phase between two temperatures and its six coefficients."""

    phase: str
    low: float
    high: float
    c: tuple[float, ...]
    caveat: str = ""

    def pin(self, T: float) -> tuple[float, float, float]:
        """(T, G, S) of this piece at T."""
        c0, c1, c2, c3, c4, c5 = self.c
        G = c0 + c1 * T + c2 * T * np.log(T) + c3 * T**2 + c4 * T**3 + c5 / T
        S = -(c1 + c2 * (1 + np.log(T)) + 2 * c3 * T + 3 * c4 * T**2 - c5 / T**2)
        return T, float(G), float(S)


def _rows(index: str) -> tuple[float, list[list[float]]]:
    """Enthalpy of formation at 298.15 K (J/mol) and the rows [T, Cp, S, -(G-H)/T] from 298.15 K up."""
    import janaf  # development only: the program itself reads data/gibbs

    formation, rows = 0.0, []
    for line in janaf.Table(index).raw.splitlines()[2:]:
        cells = line.split("\t")
        if len(cells) < 5 or not cells[1].strip() or float(cells[0]) < T298:
            continue
        if float(cells[0]) == T298:
            formation = 1000 * float(cells[5])
        rows.append([float(cell) for cell in cells[:4]])
    return formation, rows


def table_segments(index: str, reference_J_mol: float) -> list[Segment]:
    """Phases of JANAF table `index`; G counts from the enthalpy of formation `reference_J_mol` (the crystal's)."""
    formation, rows = _rows(index)
    groups: list[list[list[float]]] = [[rows[0]]]
    for before, row in pairwise(rows):
        if row == before:  # a tie line printed twice
            continue
        if row[0] == before[0] and row[1] != before[1]:  # same temperature, another Cp: the next phase begins
            groups.append([row])
        elif row[0] != before[0]:
            groups[-1].append(row)
    segments = []
    for group in groups:
        T, Cp, S, function = np.array(group).T
        segments.append(Segment(T, Cp, S, formation - reference_J_mol - T * function))
    return segments


def pinned(pin: tuple[float, float, float], cp: np.ndarray) -> tuple[float, ...]:
    """Six coefficients from the Cp terms, with G and S exact at the pin; what is stored is what is used."""
    T, G, S = pin
    a, b, c, d = (float(f"{value:.7g}") for value in cp)
    c2, c3, c4, c5 = (float(f"{value:.12g}") + 0.0 for value in (-a, -b / 2, -c / 6, -d / 2))  # + 0.0: no minus zero
    c1 = round(float(-S - c2 * (1 + np.log(T)) - 2 * c3 * T - 3 * c4 * T**2 + c5 / T**2), 7)
    c0 = round(float(G - c1 * T - c2 * T * np.log(T) - c3 * T**2 - c4 * T**3 - c5 / T), 4)
    return c0, c1, c2, c3, c4, c5


def _columns(T: np.ndarray, T0: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Cp, S and G of each unit Cp term (1, T, T^2, 1/T^2) integrated from T0: shapes (rows, 4)."""
    cp = np.stack([np.ones_like(T), T, T**2, T**-2], axis=1)
    enthalpy = np.stack([T - T0, (T**2 - T0**2) / 2, (T**3 - T0**3) / 3, 1 / T0 - 1 / T], axis=1)
    entropy = np.stack([np.log(T / T0), T - T0, (T**2 - T0**2) / 2, (T0**-2 - T**-2) / 2], axis=1)
    return cp, entropy, enthalpy - T[:, None] * entropy


def fit_piece(phase: str, low: float, high: float, rows: Segment, pin: tuple[float, float, float]) -> Piece:
    """The fewest Cp terms that follow G within 2 J/mol and Cp within 0.3 J/(mol K), pinned at (T, G, S)."""
    T0, G0, S0 = pin
    cp, entropy, gibbs = _columns(rows.T_K, T0)
    # Weights: last printed digits of the table (G 1 J/mol, S 0.005 J/(mol K)) and 0.2 J/(mol K) on Cp for shape.
    matrix = np.concatenate([gibbs, entropy / 0.005, cp / 0.2])
    target = np.concatenate([rows.G - G0 + S0 * (rows.T_K - T0), (rows.S - S0) / 0.005, rows.Cp / 0.2])
    scale = np.array([1.0, 1e-3, 1e-6, 1e5])
    most = min(TERMS, len(rows.T_K) + 1)  # a row gives G, S and Cp; the pin is one row
    for count in range(1, most + 1):
        answer = np.linalg.lstsq(matrix[:, :count] * scale[:count], target, rcond=None)[0]
        terms = np.zeros(TERMS)
        terms[:count] = answer * scale[:count]
        off_G = np.abs(gibbs @ terms - target[: len(rows.T_K)]).max()
        if off_G < 2.0 and np.abs(cp @ terms - rows.Cp).max() < 0.3:
            break
    return Piece(phase, low, high, pinned(pin, terms))


def solid_pieces(formula: str, segments: list[Segment], melting_K: float, pin=None) -> list[Piece]:
    """Pieces of the crystal, lowest temperature first; pinned at the melting point, then neighbour to neighbour."""
    top = segments[-1]
    name = FORMS[len(segments) - 1] if len(segments) > 1 else "solid"
    end = float(top.T_K[-1])
    pieces = [fit_piece(name, melting_K, end, top.between(melting_K, end), pin or top.at(melting_K))]
    pin = pieces[0].pin(melting_K)
    for form in reversed(range(len(segments))):
        segment = segments[form]
        name = FORMS[form] if len(segments) > 1 else "solid"
        start, stop = float(segment.T_K[0]), melting_K if segment is top else float(segment.T_K[-1])
        if segment is not top:  # two forms have one G where they cross; the table gives the step in entropy
            T, G, S = pieces[0].pin(stop)
            pin = (T, G, S - float(segments[form + 1].S[0] - segment.S[-1]))
        edges = [start, *(knot for knot in KNOTS.get(formula, ()) if start < knot < stop), stop]
        for low, high in reversed(list(pairwise(edges))):
            pieces.insert(0, fit_piece(name, low, high, segment.between(low, high), pin))
            pin = pieces[0].pin(low)
    return pieces


def _glass_gap(piece: Piece, glass: Segment, T: float) -> float:
    """Piece minus table at T (J/mol), the table interpolated by cubic Hermite in G with slope -S."""
    row = int(np.searchsorted(glass.T_K, T))
    T0, T1 = glass.T_K[row - 1], glass.T_K[row]
    h, u = T1 - T0, (T - T0) / (T1 - T0)
    values = glass.G[row - 1] * (1 + 2 * u) * (1 - u) ** 2 + glass.G[row] * u**2 * (3 - 2 * u)
    slopes = -h * (glass.S[row - 1] * u * (1 - u) ** 2 - glass.S[row] * u**2 * (1 - u))
    return piece.pin(T)[1] - float(values + slopes)


def liquid_pieces(segments: list[Segment], pin: tuple[float, float, float]) -> list[Piece]:
    """Pieces of the liquid, lowest temperature first, pinned at the melting point."""
    liquid = segments[-1]
    start, end = float(liquid.T_K[0]), float(liquid.T_K[-1])
    whole = fit_piece("liquid", T298, end, liquid, pin)
    if len(segments) == 1:
        return [whole]
    glass, T_check = segments[0], 0.6 * pin[0]
    if T_check >= start or abs(_glass_gap(whole, glass, T_check)) <= GLASS_ALLOWANCE:
        return [replace(whole, caveat=f"liquid carried on below the table's assumed glass transition at {start:.0f} K")]
    upper = [fit_piece("liquid", start, LIQUID_KNOT, liquid.between(start, LIQUID_KNOT), pin)]
    hot = liquid.between(LIQUID_KNOT, end)
    upper.append(fit_piece("liquid", LIQUID_KNOT, end, hot, upper[0].pin(LIQUID_KNOT)))

    def constant(cp: float) -> Piece:
        return Piece("liquid", T298, start, pinned(upper[0].pin(start), np.array([cp, 0.0, 0.0, 0.0])))

    at_zero, at_one = (_glass_gap(constant(cp), glass, T_check) for cp in (0.0, 1.0))
    cp = (-GLASS_ALLOWANCE - at_zero) / (at_one - at_zero)  # the gap is linear in this constant
    words = f"constant Cp below the table's assumed glass transition at {start:.0f} K, within 150 J/mol of its glass"
    return [replace(constant(cp), caveat=words), *upper]


def handbook_pieces(row: dict[str, str], record: Salt) -> list[Piece]:
    """Solid and liquid of a salt without table: linear Cp of the crystal, constant dCp, fusion from salts.csv."""
    cp = np.array([float(row["Cp_solid_a_J_mol_K"]), float(row["Cp_solid_b_J_mol_K2"]), 0.0, 0.0])
    entropy = float(row["S298_J_mol_K"])
    solid = Piece("solid", T298, HANDBOOK_END, pinned((T298, -T298 * entropy, entropy), cp))
    T, G, S = solid.pin(record.melting_point_K)
    cp[0] += float(row["dCp_fusion_J_mol_K"])
    pin = (T, G, S + record.fusion_enthalpy_J_mol / T)
    return [solid, Piece("liquid", T298, HANDBOOK_END, pinned(pin, cp))]


def table_pieces(formula: str, record: Salt) -> list[Piece]:
    """Solid forms and liquid of a salt with tables, in that order."""
    reference = _rows(TABLES[formula][0])[0]
    crystal, melt = (table_segments(index, reference) for index in TABLES[formula])
    solids = solid_pieces(formula, crystal, record.melting_point_K)
    T, G, S = crystal[-1].at(record.melting_point_K)
    heat = record.fusion_enthalpy_J_mol if formula in HANDBOOK_HEAT else T * (melt[-1].at(T)[2] - S)
    if formula in HANDBOOK_HEAT:  # the table's Cp on another heat: shift its liquid by a constant dH and dS
        shift = heat / T - (melt[-1].at(T)[2] - S)
        melt = [Segment(s.T_K, s.Cp, s.S + shift, s.G - shift * (s.T_K - T)) for s in melt]
    pin = (T, G, S + heat / T)
    if formula in HYPOTHETICAL:
        words = "hypothetical liquid, the standard state of AlF3 in melts; below 1850 K with the crystal's Cp"
        return [*solids, *(replace(p, phase="liquid", caveat=words) for p in solid_pieces(formula, melt, T, pin))]
    return [*solids, *liquid_pieces(melt, pin)]


def _line(formula: str, piece: Piece, dcp_sigma: float, words: dict[str, str]) -> list[str]:
    spread = f"{dcp_sigma:g}" if piece.phase == "liquid" else "0"
    named = (words[name] for name in ("source", "locator", "origin", "provenance", "caveat"))
    return [formula, piece.phase, f"{piece.low:g}", f"{piece.high:g}", *(repr(c) for c in piece.c), spread, *named]


def _table_words(formula: str, piece: Piece) -> dict[str, str]:
    crystal, melt = TABLES[formula]
    words = {"source": "janaf1998", "origin": Origin.FITTED, "provenance": "checked", "caveat": piece.caveat}
    words["locator"] = f"table {melt if piece.phase == 'liquid' else crystal}"
    if piece.phase == "liquid" and formula in HANDBOOK_HEAT:
        words["source"] = HANDBOOK_HEAT[formula]
        words["caveat"] = "heat of fusion of data/salts.csv instead of the table's: only Cp is the table's"
    return words


def regenerate() -> dict[str, str]:
    """File name under data/ -> its text, computed afresh from the tables and handbook rows."""
    handbook = {row["formula"]: row for row in read_table("gibbs/handbook.csv")}
    lines: list[list[str]] = []
    for formula, record in salts().items():
        if formula in TABLES:
            pieces = table_pieces(formula, record)
            sigma = 0.0 if formula in HYPOTHETICAL else TABLE_DCP_SIGMA
            lines += [_line(formula, p, sigma, _table_words(formula, p)) for p in pieces]
        else:
            row = handbook[formula]
            sigma = float(row["dCp_fusion_sigma_J_mol_K"])
            lines += [_line(formula, p, sigma, row) for p in handbook_pieces(row, record)]
    return {"fitted/gibbs/phases.csv": table_text(HEADER, lines)}
