"""Gibbs energy of a melt of several cations with fluoride and chloride: mixing on two ion lattices.

    G/mol of cations = sum X_i Y_j G_ij + R T (sum X_i ln X_i + zbar sum Y_j ln Y_j)
                       + sum_j Y_j G^E_j(X) + sum_i X_i H_i(Y) + sum_il X_i X_l Y_F Y_Cl W_il
X cation fractions, Y anion fractions, zbar = sum X_i z_i anions per cation, G_ij the pure liquid salt of cation i and
anion j, J/mol. Ideal mixing on both lattices (Temkin 1945): a(MX_z) = X_M Y_X^z. The energy of exchange comes from the
pure salts alone: with E_i = G_iF - G_iCl and e_i = E_i / z_i - sum X_l E_l / zbar, the potential of MF_z moves by
-Y_Cl z_i e_i and that of MCl_z by +Y_F z_i e_i. Interactions of the cations G^E_j are those of the fluorides and the
chlorides, each weighted by its anion's share; interactions of the anions H_i likewise by the cation's (Flood, Forland &
Grjotheim, Z. anorg. Chem. 276 (1954) 289). W is the first correction for ions that prefer their own partners (Blander &
Yosim, J. Chem. Phys. 39 (1963) 2610), W_il = -d tanh(d / (2 Z R T_0)), d = |E_i/z_i - E_l/z_l|, Z = 5, saturating like
the preference of laws/mixing. Potentials follow by differentiation: mu(MX_z) = dG/dN_M + z dG/dM_X with N cations and M
anion charges.
Limits: fluoride and chloride; E linear in T. Worked value: MgF2-MgCl2, x = 0.5: ideal a(MgF2) = 1 * 0.5^2 = 0.25.
"""

from dataclasses import dataclass

import numpy as np

from thermo.laws.mixing import preference_strength

NEIGHBOURS = 5
_ABSENT = 1e-30


@dataclass(frozen=True)
class Ions:
    """Cation fractions X (N, c), anion shares Y_F and Y_Cl (N,), charges z (c,) of melts.

    Both shares are kept: 1 - Y_F would lose a trace of chloride.
    """

    X: np.ndarray
    fluoride: np.ndarray
    chloride: np.ndarray
    z: np.ndarray

    @property
    def mean_charge(self) -> np.ndarray:
        """Anions per cation (N,)."""
        return self.X @ self.z

    @property
    def ratio(self) -> np.ndarray:
        """z_i / zbar, (N, c)."""
        return self.z / self.mean_charge[:, None]


def ions_of(fractions: np.ndarray, cation: np.ndarray, is_fluoride: np.ndarray, z: np.ndarray) -> Ions:
    """Ions of melts given as mole fractions of salts (N, n); `cation` (n,) positions, `is_fluoride` (n,) booleans."""
    X = np.zeros((len(fractions), len(z)))
    np.add.at(X.T, cation, fractions.T)
    anions = fractions * z[cation]
    fluoride, chloride = anions[:, is_fluoride].sum(axis=1), anions[:, ~is_fluoride].sum(axis=1)
    return Ions(X, fluoride / (fluoride + chloride), chloride / (fluoride + chloride), z)


def ideal_logs(ions: Ions) -> np.ndarray:
    """ln of the ideal activity of every MF_z, then every MCl_z: (N, 2 c)."""
    log_X = np.log(np.maximum(ions.X, _ABSENT))
    log_F, log_Cl = (np.log(np.maximum(y, _ABSENT))[:, None] for y in (ions.fluoride, ions.chloride))
    return np.hstack([log_X + ions.z * log_F, log_X + ions.z * log_Cl])


def exchange(ions: Ions, E: np.ndarray) -> np.ndarray:
    """What the exchange energies E_i (c,) do to the potentials of every MF_z, then MCl_z: (N, 2 c), units of E."""
    e = E / ions.z - (ions.X @ E / ions.mean_charge)[:, None]
    return np.hstack([-ions.chloride[:, None] * ions.z * e, ions.fluoride[:, None] * ions.z * e])


def cation_term(ions: Ions, potentials: np.ndarray, fluoride: bool) -> np.ndarray:
    """One interaction of the cations beside one anion: its own potentials (N, c) spread over both anions, (N, 2 c)."""
    mean = (ions.X * potentials).sum(axis=1)
    share = ions.fluoride if fluoride else ions.chloride
    own = share[:, None] * potentials
    towards_F = mean * ((1.0 if fluoride else 0.0) - share)
    towards_Cl = mean * ((0.0 if fluoride else 1.0) - share)
    return np.hstack([own + ions.ratio * towards_F[:, None], own + ions.ratio * towards_Cl[:, None]])


def anion_term(ions: Ions, cation: int, order: int) -> np.ndarray:
    """X_cation Y_F Y_Cl (Y_F - Y_Cl)^order (coefficient 1) as potentials, (N, 2 c)."""
    y = ions.fluoride
    h = y * (1 - y) * (2 * y - 1) ** order
    slope = (1 - 2 * y) * (2 * y - 1) ** order
    if order:
        slope = slope + 2 * order * y * (1 - y) * (2 * y - 1) ** (order - 1)
    raw = np.zeros_like(ions.X)
    raw[:, cation] = h
    return _with_anion_slope(ions, raw, ions.X[:, cation] * slope)


def pairing_term(ions: Ions, i: int, j: int) -> np.ndarray:
    """X_i X_j Y_F Y_Cl (coefficient 1) as potentials, (N, 2 c)."""
    y = ions.fluoride
    product = ions.X[:, i] * ions.X[:, j]
    raw = np.repeat(-product[:, None], ions.X.shape[1], axis=1)
    raw[:, i] += ions.X[:, j]
    raw[:, j] += ions.X[:, i]
    return _with_anion_slope(ions, raw * (y * (1 - y))[:, None], product * (1 - 2 * y))


def _with_anion_slope(ions: Ions, raw: np.ndarray, slope: np.ndarray) -> np.ndarray:
    """Potentials from the cation part and dG/dY_F per mole of cations."""
    towards_F = (slope * ions.chloride)[:, None] * ions.ratio
    towards_Cl = (-slope * ions.fluoride)[:, None] * ions.ratio
    return np.hstack([raw + towards_F, raw + towards_Cl])


def pairing_strength(difference_J_mol: float) -> float:
    """W_il, J/mol, from the exchange energy per equivalent."""
    return preference_strength(difference_J_mol, 1 / (2 * NEIGHBOURS))
