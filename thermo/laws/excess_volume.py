"""Excess molar volume of a molten-salt mix: what mixing adds to, or takes from, the volumes of the pure liquids.

V^E = sum over pairs i < j of x_i x_j [sum_k A_k (y_i - y_j)^k + B (T - T_mid) / 100 K], cm3/mol (Redlich & Kister
1948), with y the composition of the pair alone: two salts of one group (alkali, alkaline earth, ...) by
y_i = x_i / (x_i + x_j) (Kohler 1960); salts of two groups by the groups, y_i = X_I / (X_I + X_J) (Toop 1965), because
the open structure near one composition is set by the polyvalent salt whatever alkali is beside it.
B is the measured change with temperature; it is followed 100 K outside the pair's measured span and not further.
A pair never measured: V^E = 0 with a standard deviation of its family (anion and groups) times 4 x_i x_j.
A and B with covariance come from thermo/fitting/volume_fit.py (files data/density/excess_volume*.csv).
Limits: one anion; at most 50 mol% AlF3. Worked value: equimolar KCl-MgCl2 at 1123 K, A_0 alone: V^E = A_0 / 4.
"""

from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from thermo.records.provenance import read_table
from thermo.records.remembered import remembered
from thermo.records.substances import salt

FOLLOWED_K = 100.0  # how far outside its span the temperature term of a pair is followed: common practice, no source
DRIFT_PCT_PER_100K = 0.5  # spread of V^E beyond that, per cent of the volume at equimolar: the scatter of fitted B
TEMPERATURE_TERM = "T"


@dataclass(frozen=True)
class PairExcess:
    """Fitted terms of one pair: names ('0', '1', '2', 'T'), values and covariance in cm3/mol, span in K."""

    salts: tuple[str, str]
    terms: tuple[str, ...]
    values: np.ndarray
    covariance: np.ndarray
    T_lo_K: float
    T_hi_K: float
    rows: int
    caveat: str
    sources: tuple[str, ...]


def family(a: str, b: str) -> str:
    """Family of a pair: anion and the two groups in alphabetical order, as 'Cl: alkali + alkaline earth'."""
    return f"{salt(a).anion}: {' + '.join(sorted((salt(a).group, salt(b).group)))}"


def pair_basis(terms: tuple[str, ...], difference, T_K, T_lo_K: float, T_hi_K: float) -> np.ndarray:
    """Values of the terms at y_i - y_j = difference and T_K, arrays of shape (N,); returns (N, number of terms)."""
    followed = np.clip(T_K, T_lo_K - FOLLOWED_K, T_hi_K + FOLLOWED_K)
    scaled = (followed - (T_lo_K + T_hi_K) / 2) / 100 + 0 * difference
    return np.stack([scaled if t == TEMPERATURE_TERM else difference ** int(t) for t in terms], axis=-1)


def composition_difference(salts: tuple[str, ...], fractions: np.ndarray, i: int, j: int) -> np.ndarray:
    """y_i - y_j of pair (i, j) inside a mix, (N,), by Kohler within a group and Toop between groups."""
    groups = [salt(formula).group for formula in salts]
    if groups[i] == groups[j]:
        first, second = fractions[:, i], fractions[:, j]
    else:
        nothing = np.zeros(len(fractions))
        first = sum((fractions[:, k] for k, g in enumerate(groups) if g == groups[i]), start=nothing)
        second = sum((fractions[:, k] for k, g in enumerate(groups) if g == groups[j]), start=nothing)
    total = first + second
    return np.divide(first - second, total, out=np.zeros_like(total), where=total > 0)


@remembered
def pairs() -> MappingProxyType:
    """Measured pairs of the generated files: (first salt, second salt) -> PairExcess."""
    rows: dict[tuple[str, str], list[dict[str, str]]] = {}
    for row in read_table("fitted/density/excess_volume.csv"):
        rows.setdefault((row["salt_a"], row["salt_b"]), []).append(row)
    covariance = {key: np.zeros((len(found), len(found))) for key, found in rows.items()}
    terms = {key: tuple(row["term"] for row in found) for key, found in rows.items()}
    for row in read_table("fitted/density/excess_volume_covariance.csv"):
        key = (row["salt_a"], row["salt_b"])
        m, n = terms[key].index(row["term_1"]), terms[key].index(row["term_2"])
        covariance[key][m, n] = covariance[key][n, m] = float(row["covariance_cm6_mol2"])
    return MappingProxyType({key: _pair(key, found, covariance[key]) for key, found in rows.items()})


def _pair(key: tuple[str, str], rows: list[dict[str, str]], covariance: np.ndarray) -> PairExcess:
    first = rows[0]
    return PairExcess(
        salts=key,
        terms=tuple(row["term"] for row in rows),
        values=np.array([float(row["value_cm3_mol"]) for row in rows]),
        covariance=covariance,
        T_lo_K=float(first["T_lo_K"]),
        T_hi_K=float(first["T_hi_K"]),
        rows=int(first["rows"]),
        caveat=first["caveat"],
        sources=tuple(first["sources"].split("; ")),
    )


@remembered
def family_sigma_pct() -> MappingProxyType:
    """Standard deviation of an unmeasured equimolar pair, per cent of its volume, by family."""
    return MappingProxyType(
        {row["family"]: float(row["sigma_pct"]) for row in read_table("fitted/density/excess_volume_family.csv")}
    )


def measured_pair(a: str, b: str) -> PairExcess | None:
    """The fitted pair of two salts in either order, or None when it was never measured."""
    return pairs().get((a, b)) or pairs().get((b, a))


def excess_volume(salts: tuple[str, ...], fractions: np.ndarray, T_K, volume: np.ndarray):
    """V^E and its variance, cm3/mol and cm6/mol2, each (N,).

    fractions (N, n) mole fractions; T_K a number or (N,); volume (N,) the additive molar volume, cm3/mol, which scales
    the spread of pairs nobody measured.
    """
    T_K = np.broadcast_to(np.asarray(T_K, dtype=float), volume.shape)
    total, variance = np.zeros_like(volume), np.zeros_like(volume)
    for i in range(len(salts)):
        for j in range(i + 1, len(salts)):
            value, spread = _pair_excess(salts, fractions, i, j, T_K, volume)
            total, variance = total + value, variance + spread
    return total, variance


def _pair_excess(salts, fractions, i, j, T_K, volume):
    product = fractions[:, i] * fractions[:, j]
    pair = measured_pair(salts[i], salts[j])
    if pair is None:
        sigma = family_sigma_pct()[family(salts[i], salts[j])] / 100 * 4 * product * volume
        return np.zeros_like(volume), sigma**2
    i, j = (i, j) if pair.salts[0] == salts[i] else (j, i)
    difference = composition_difference(salts, fractions, i, j)
    basis = product[:, None] * pair_basis(pair.terms, difference, T_K, pair.T_lo_K, pair.T_hi_K)
    beyond = np.maximum(0, np.maximum(pair.T_lo_K - T_K, T_K - pair.T_hi_K) - FOLLOWED_K)
    drift = DRIFT_PCT_PER_100K / 100 * beyond / 100 * 4 * product * volume
    return basis @ pair.values, np.einsum("np,pq,nq->n", basis, pair.covariance, basis) + drift**2
