"""Each published freezing point of two salts against the computed solid, and sources against each other.

Pairs of one anion. At the published composition the named solid must balance the melt within two of the row's own
standard deviations: that of its temperature, and that of its composition times the slope of the curve. The model's own
error is left out: the point was one of those that made it, so a figure that was typed wrong stands out from the others
of its pair. Rows that do not balance are listed with their distance (OFF): nearly always one source against others of
its pair, or a coarse one. `pytest -s` prints the list as it is now.
"""

from collections.abc import Iterator
from functools import cache
from itertools import combinations

import numpy as np

from tests.each import each
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import Melts
from thermo.fitting.two_anion_error import solid_called
from thermo.records.published import MeltPoint, PublishedInvariant, invariants, liquidus_points, ternary_points
from thermo.records.substances import salts

SIGMAS = 2.0
STEP = 1e-4  # in mole fraction, for the slope of a curve


def compared() -> Iterator[tuple[str, PublishedInvariant, str]]:
    """(id, row, solid) of every row with composition, temperature and named solids, neither unsure nor withdrawn."""
    for row in (*invariants(), *liquidus_points()):
        known = row.x_b is not None and row.T_K is not None and 0 < row.x_b < 1 and set(row.pair) <= set(salts())
        if known and not row.unsure and row.use != "no":
            if len({salts()[f].anion for f in row.pair}) > 1:
                continue  # their models rest on these points and are judged in test_two_anions_published.py
            for solid in row.solids:
                if solid_called(salt_system(row.pair), solid) is not None:
                    yield f"{'-'.join(row.pair)} {100 * row.x_b:.4g}% {solid} {row.source}", row, solid


@cache
def distance(row: PublishedInvariant, solid: str) -> tuple[float, float]:
    """Published less computed temperature of balance in K, and one standard deviation of it as the row states it."""
    system = salt_system(row.pair)
    found = solid_called(system, solid)

    def force(x_b: float) -> tuple[float, float]:
        melt = Melts(system, np.array([[1 - x_b, x_b]]))
        D = melt.driving_force(found[0], np.array([row.T_K]), near=found[1])
        return float(D[0][0]), float(D[1][0])

    D, slope = force(row.x_b)
    per_x = (force(row.x_b + STEP)[0] - D) / STEP / slope
    return D / slope, float(np.hypot(row.T_sigma_K, (row.x_b_sigma or 0.0) * per_x))


OFF = {
    "KCl-MgCl2 32% K2MgCl4 xu2018": -6,
    "NaCl-MgCl2 35.3% Na2MgCl4 janz_tomkins1981": 19,
    "NaCl-MgCl2 39.9% Na2MgCl4 janz_tomkins1981": -9,
    "NaCl-MgCl2 40% Na2MgCl4 ornl_cf56_8_204": -22,
    "MgCl2-BaCl2 40% BaMgCl4 janz_tomkins1981": 21,
    "MgCl2-BaCl2 40% BaCl2 janz_tomkins1981": 78,
    "LiCl-BaCl2 33% LiCl cje1986_licl_bacl2_srcl2": 29,
    "KCl-NdCl3 41% K3NdCl6 zhang1989": 55,
    "KCl-NdCl3 41% K2NdCl5 zhang1989": 22,
    "KCl-NdCl3 49.9% K2NdCl5 zhang1989": -40,
    "KCl-NdCl3 49.9% NdCl3 zhang1989": 56,
    "LiF-CsF 55% LiF ornl2548": 21,
    "NaF-RbF 73% NaF ornl2548": 67,
    "NaF-MgF2 25% NaF janz_tomkins1981": 30,
    "NaF-MgF2 25% NaMgF3 janz_tomkins1981": -33,
    "MgF2-CaF2 45% MgF2 gaskell_ch10": -38,
    "LiF-AlF3 35.5% Li3AlF6 janz_tomkins1981": -20,
    "KF-AlF3 42.8% K3AlF6 ornl3594": -27,
    "LiF-AlF3 14% LiF ornl3594": -12,
    "LiF-AlF3 33.3% Li3AlF6 ornl3594": -11,
    "LiF-AlF3 36.8% AlF3 ornl3594": 57,
    "LiF-AlF3 37.5% AlF3 ornl3594": 21,
    "LiF-AlF3 39.1% AlF3 ornl3594": -16,
    "LiF-AlF3 41.2% AlF3 ornl3594": -46,
    "LiF-AlF3 42.9% AlF3 ornl3594": -40,
    "LiF-AlF3 44.4% AlF3 ornl3594": -52,
    "LiF-AlF3 47.2% AlF3 ornl3594": -44,
    "LiF-AlF3 50% AlF3 ornl3594": 78,
    "NaF-AlF3 52.3% AlF3 ornl3594": 36,
    "NaF-AlF3 54.6% AlF3 ornl3594": -37,
    "NaF-AlF3 32% Na3AlF6 gabcova1995": 9,
    "NaF-AlF3 34% Na3AlF6 gabcova1995": 9,
    "NaF-AlF3 35% Na3AlF6 gabcova1995": 8,
    "NaF-MgF2 5% NaF ornl2799": -2,
    "NaF-MgF2 10% NaF ornl2799": -4,
    "NaF-MgF2 20% NaF ornl2799": 5,
}


def test_every_published_point_is_in_balance():
    """Those in OFF within one standard deviation of the distance written there."""
    rows = list(compared())
    assert len(rows) > 350
    off, allowed = {}, {}
    for name, row, solid in rows:
        apart, own = distance(row, solid)
        if abs(apart) > SIGMAS * own:
            off[name], allowed[name] = round(apart), own
    print("OFF = {", *(f"    {name!r}: {size}," for name, size in off.items()), "}", sep="\n")
    new = {name: size for name, size in off.items() if name not in OFF}
    gone = [name for name in OFF if name not in off]
    moved = {name: (OFF[name], size) for name, size in off.items() if abs(size - OFF.get(name, size)) > allowed[name]}
    assert (new, gone, moved) == ({}, [], {})


def same(one: PublishedInvariant, other: PublishedInvariant) -> bool:
    """Whether two rows speak of one point of a pair: not more than 6 mol% apart, no solid that contradicts."""
    apart = 0.0 if one.x_b is None or other.x_b is None else abs(one.x_b - other.x_b)
    solids = set(one.solids) <= set(other.solids) or set(other.solids) <= set(one.solids)
    return one.pair == other.pair and one.kind == other.kind and solids and apart <= 0.06


def of_full_weight() -> list[PublishedInvariant]:
    return [row for row in invariants() if row.T_K is not None and row.use == "fit" and not row.unsure]


def melts() -> list[MeltPoint]:
    return [row for row in ternary_points() if row.fractions and not row.unsure and row.kind != "liquidus"]


PAIRS = [(n, m) for (n, one), (m, other) in combinations(enumerate(of_full_weight()), 2) if same(one, other)]


@each(PAIRS, compared=40)
def test_sources_of_one_point_agree(n, m):
    """Rows of full weight, within two standard deviations of both and 1 K of rounding."""
    one, other = of_full_weight()[n], of_full_weight()[m]
    assert abs(one.T_K - other.T_K) <= SIGMAS * np.hypot(one.T_sigma_K, other.T_sigma_K) + 1.0


def near(one, other) -> bool:
    """Whether two rows speak of one point of several salts: no salt more than 4 mol% apart."""
    shares = [dict(zip(row.salts, row.fractions, strict=True)) for row in (one, other)]
    return (
        one.kind == other.kind
        and set(one.salts) == set(other.salts)
        and all(abs(shares[0][salt] - shares[1][salt]) <= 0.04 for salt in one.salts)
    )


NEAR = [(n, m) for (n, one), (m, other) in combinations(enumerate(melts()), 2) if near(one, other)]


@each(NEAR, compared=8)
def test_sources_of_one_melt_agree(n, m):
    """Within two standard deviations of both, and 3 K for a difference of up to 4 mol%."""
    one, other = melts()[n], melts()[m]
    assert abs(one.T_K - other.T_K) <= SIGMAS * np.hypot(one.T_sigma_K, other.T_sigma_K) + 3.0
