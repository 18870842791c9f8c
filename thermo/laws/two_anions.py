"""Gibbs energy of a melt of several cations with fluoride and chloride: pairs of a cation with an anion.

    G / mol of cations = sum X_i (q_i G_iF + r_i G_iCl) + R T [sum X_i ln X_i + zbar sum_j Y_j ln Y_j]
        + Z R T sum X_i [q_i ln(q_i / b) + r_i ln(r_i / (1 - b))]
        + b g_F(X_i q_i / b) + (1 - b) g_Cl(X_i r_i / (1 - b)) + sum X_i h_i(q_i)
X cation fractions, Y anion shares, z charges, zbar = sum X_i z_i, q_i and r_i the shares of fluoride and chloride
among the Z neighbours of cation i and b = sum X_i q_i (laws/ion_pairs), G_ij the pure liquid salts, J/mol. g_F and g_Cl
are the excess energies of the melts of one anion, here at the cations that sit around that anion; h_i that of MF_z
with MCl_z, at the anions around that cation. The pairs follow the energies of exchange alone, g and h are felt through
them.
Ideal mixing on two lattices (Temkin 1945: a(MX_z) = X_M Y_X^z) is what stays with equal E_i / z_i; the first correction
to it that of Blander & Yosim (J. Chem. Phys. 39 (1963) 2610). Derivatives of G (m_ij excess potential of salt i in the
melt of anion j alone, s(u) = ln(1 + e^u), t, w, eta, A, A1, C, det of laws/ion_pairs):
    RT ln a(MF_z)  = RT (ln X_i + z_i ln Y_F)  + Z RT [s(t) - s(t - w_i) - w_i] + own_i + k1 z_i r_i + k2 Z (b - q_i)
    RT ln a(MCl_z) = RT (ln X_i + z_i ln Y_Cl) + Z RT [s(t) - s(t - w_i)]       + own_i - k1 z_i q_i + k2 Z (b - q_i)
    own_i = q_i m_iF + r_i m_iCl + h_i,   delta_i = m_iF - m_iCl + dh_i/dq_i
    P = sum X_i delta_i eta_i,  Q = sum z_i X_i delta_i eta_i / Z,  k1 = (C Q - A P) / det,  k2 = (A1 P - A Q) / det
One cation, or one anion, gives its own melt exactly.
Limits: fluoride and chloride; liquid. Worked value: MgF2-MgCl2, x = 0.5: ideal a(MgF2) = 1 * 0.5^2 = 0.25.
"""

import numpy as np

from thermo.laws.ion_pairs import ABSENT, Ions, Neighbours

NEIGHBOURS = 3.3  # Z, chosen on driving forces of named solids at published melts (data/DECISIONS.md)


def both(of_fluorides: np.ndarray, of_chlorides: np.ndarray) -> np.ndarray:
    """Values of every MF_z, then of every MCl_z: two (N, c) to (N, 2 c)."""
    return np.concatenate([of_fluorides, of_chlorides], axis=1)


def ideal_logs(ions: Ions) -> np.ndarray:
    """ln of the activity of every MF_z, then every MCl_z, on two ideal lattices: (N, 2 c)."""
    log_X = np.log(np.maximum(ions.X, ABSENT))
    return both(*(log_X + ions.z * np.log(Y)[:, None] for Y in (ions.fluoride, ions.chloride)))


def pair_logs(ions: Ions, around: Neighbours, Z: float) -> np.ndarray:
    """ln of the activities with the pairs, but without interactions: (N, 2 c)."""
    chloride = Z * (np.logaddexp(0, around.t)[:, None] - np.logaddexp(0, around.t[:, None] - around.w))
    return ideal_logs(ions) + both(chloride - Z * around.w, chloride)


def pair_slopes(ions: Ions, around: Neighbours, e_slope: np.ndarray, Z: float) -> np.ndarray:
    """Derivatives of `pair_logs` while the exchange energies e = E / RT change at the rate `e_slope` (N, c)."""
    t, theta = around.answer(ions, e_slope, Z)
    w = (e_slope + ions.z * theta[:, None]) / Z
    common = -around.away * t[:, None]
    return Z * both(common - around.r * w, common + around.q * w)


def local_cations(ions: Ions, around: Neighbours) -> tuple[np.ndarray, np.ndarray]:
    """Cation fractions around fluoride and around chloride, (N, c) each."""
    return ions.X * around.q / around.b[:, None], ions.X * around.r / around.rest[:, None]


def anion_shape(around: Neighbours, order: int) -> tuple[np.ndarray, np.ndarray]:
    """h = q r (q - r)^order around every cation and dh/dq, (N, c) each."""
    apart = around.q - around.r
    shape = apart**order
    slope = -apart * shape
    if order:
        slope = slope + 2 * order * around.eta * apart ** (order - 1)
    return around.eta * shape, slope


def interactions(
    ions: Ions, around: Neighbours, of_F: np.ndarray, of_Cl: np.ndarray, h: np.ndarray, h_slope: np.ndarray, Z: float
) -> np.ndarray:
    """What interactions give to the potentials of every MF_z, then MCl_z: (N, 2 c), in the units of the inputs.

    of_F, of_Cl (N, c): excess potentials m_iF, m_iCl of the melts of one anion at `local_cations`; h and its slope
    dh/dq (N, c) around each cation. One cation: k1 = delta / z, k2 = 0. Linear in the inputs, which may also be (K, c)
    beside one melt.
    """
    X, z, q, r, eta = ions.X, ions.z, around.q, around.r, around.eta
    own = q * of_F + r * of_Cl + h
    delta = of_F - of_Cl + h_slope
    if len(z) == 1:
        k1, k2 = delta[:, 0] / z[0], 0.0 * delta[:, 0]
    else:
        A, A1, C, det = around.A, around.A1, around.C, around.det
        P, Q = (X * delta * eta).sum(axis=1), (z * X * delta * eta).sum(axis=1) / Z
        k1, k2 = (C * Q - A * P) / det, (A1 * P - A * Q) / det
    common = own - (k2 * Z)[:, None] * around.away
    trade = k1[:, None] * z
    return both(common + trade * r, common - trade * q)
