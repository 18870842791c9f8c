"""Computed eutectics, peritectics, minima and compounds of pairs against publications.

First the points anybody who works with these baths knows, with a tolerance that is the spread of the sources named;
then every published row that is not marked unsure or withdrawn, each on its own, and the totals.
A published row meets the computed invariant of its kind with the same solids (any solids where the source names none),
nearest in composition, or nearest in temperature where no composition was published.
Tolerance of a row: 8 K, or the spread of the published values of the same point where that is more. 8 K is the scatter
of thermal analyses of one salt pair in different laboratories (rule of thumb of this project; the sources of one
eutectic in data/invariants.csv span 7 K in the median).
`pytest -s` prints the table: published, found, difference, and that in standard deviations of both.
"""

from collections.abc import Iterable

import numpy as np
import pytest

from thermo.equilibrium.invariants.pair import Invariant, pair_invariants
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import Melts
from thermo.fitting.two_anion_error import solid_called
from thermo.records.published import PublishedInvariant, invariants
from thermo.records.substances import salts
from thermo.records.units import celsius

MET_WITHIN_K = 8.0
MET_WITHIN_X = 0.03
MEETINGS = ("eutectic", "peritectic", "congruent", "highest", "minimum")
TOPS = ("congruent", "peritectic")

# pair, kind, deg C and tolerance, mol% of the second salt and tolerance, sources (c: checked, m: from memory)
KNOWN = [
    # Chiotti et al. 1969 (c) 353.9 at 41.0; ORNL-1556 (c) 352 at 41; Williams 2006 (m) 355 at 40.5
    ("LiCl", "KCl", "eutectic", 353, 4, 41, 1.5),
    # Chou 1982 (c) 658 +- 3 equimolar; Peschl 1978 (c) 662; Sangster & Pelton 1987 (m) 657 at 50.6
    ("NaCl", "KCl", "minimum", 659, 5, 50, 4),
    # ECS abstract 2018 (c) 500 at 49-51; Downs cell article (c) 505 at 51.4; Seltveit & Flood 1958 (m) 500 at 52.8
    ("NaCl", "CaCl2", "eutectic", 502, 6, 52, 2.5),
    # Janz & Tomkins 1981 (c) 594 and 640; Menge 1911 (m) 600 and 638; Seifert & Langenbach 1969 (m) 752, others 741-754
    ("KCl", "CaCl2", "eutectic", 597, 8, 25, None),
    ("KCl", "CaCl2", "congruent", 752, 8, 50, None),
    ("KCl", "CaCl2", "eutectic", 639, 8, 74, None),
    # Janz & Tomkins 1981 (c) 435, 435, 470, 480; Williams 2006 (m) 426; Klemm 1948 (m) 488
    ("KCl", "MgCl2", "eutectic", 430, 10, 32, None),
    ("KCl", "MgCl2", "eutectic", 470, 8, 58, None),
    ("KCl", "MgCl2", "congruent", 486, 8, 50, None),
    # Janz & Tomkins 1981 (c) 450 at 40; Williams 2006 (m) 445; ORNL-CF-56-8-204 (c) 437
    ("NaCl", "MgCl2", "eutectic", 450, 10, 41, None),
    # Janz & Tomkins 1981 (c) 621 at 39; Menge 1911 (m) 614-621 at 44
    ("MgCl2", "CaCl2", "eutectic", 621, 10, 42, None),
    # Janz & Tomkins 1981 (c) 649 at 39; ORNL-2548 (c) 652 at 40; Matiasovsky 1965 (c) 659 at 39.6
    ("LiF", "NaF", "eutectic", 650, 6, 39, None),
    # ORNL-2548 (c) 492 at 50
    ("LiF", "KF", "eutectic", 492, 5, 50, None),
    # ORNL-2548 (c) 710 at 60; ORNL-1252 (c) 722 at 61; Sangster & Pelton 1987 (m) 721 at 60
    ("NaF", "KF", "eutectic", 718, 8, 60, None),
    # Janz & Tomkins 1981 (c) 765 at 21; Roake 1957 (m) 769 at 19.5
    ("LiF", "CaF2", "eutectic", 767, 6, 20, None),
    # ORNL-2387 (c) 808.6 at 32; ORNL-1252 (c) 810; ORNL-2012 (c) 812; Janz & Tomkins 1981 (c) 818
    ("NaF", "CaF2", "eutectic", 814, 8, 32, None),
    # Janz & Tomkins 1981 (c), from Bergman & Dergunov 1941: 830, 1030, 1000; ORNL-2012 (c) 825, ORNL-2548 (c) 990
    ("NaF", "MgF2", "eutectic", 830, 10, 25, None),
    ("NaF", "MgF2", "congruent", 1030, 10, 50, None),
    ("NaF", "MgF2", "eutectic", 1000, 10, 64, None),
    # ORNL-2106 (c) 985 +- 5 at 48.5, eight cooling curves; Gaskell (c) 970 at 45
    ("MgF2", "CaF2", "eutectic", 985, 10, 48, None),
]


def known_id(row) -> str:
    return f"{row[0]}-{row[1]} {row[2]} {row[3]} C"


@pytest.mark.parametrize("row", KNOWN, ids=known_id)
def test_the_points_everybody_knows(row):
    a, b, kind, t_C, t_within, percent, percent_within = row
    of_kind = [point for point in pair_invariants(a, b) if point.kind == kind]
    found = min(of_kind, key=lambda point: abs(100 * point.fractions[1] - percent))
    print(f"\n{known_id(row)} +-{t_within}: {celsius(found.T_K):.1f} +-{found.sigma_K:.1f} C, "
          f"{100 * found.fractions[1]:.1f} mol% {b}")  # fmt: skip
    assert abs(celsius(found.T_K) - t_C) <= t_within
    # no composition tolerance was set where the sources say "about"; 8 mol% tells one eutectic of a pair from the next
    assert abs(100 * found.fractions[1] - percent) <= (percent_within or 8)


def comparable(row: PublishedInvariant) -> bool:
    """Whether the row is an invariant of a melt the program knows, with a temperature, neither unsure nor withdrawn."""
    known = salts()
    return (
        row.kind in MEETINGS
        and row.T_K is not None
        and row.use != "no"
        and not row.likened
        and not row.unsure
        and set(row.pair) <= set(known)
        and len({known[f].anion for f in row.pair}) == 1
    )


ROWS = [row for row in invariants() if comparable(row)]


def row_id(row: PublishedInvariant) -> str:
    place = "" if row.x_b is None else f" {100 * row.x_b:.4g}%"
    return f"{'-'.join(row.pair)} {row.kind}{place} {celsius(row.T_K):.5g}C {row.source}"


def counterpart(row: PublishedInvariant) -> Invariant | None:
    """The computed invariant of this kind and these solids, nearest in composition or, without one, in temperature.

    Of a double salt whose way of melting was not reported: where it melts or falls apart, whichever is higher.
    """
    if row.kind == "highest":
        tops = [p for p in pair_invariants(*row.pair) if p.kind in TOPS and set(row.solids) <= set(p.solids)]
        return max(tops, key=lambda point: point.T_K, default=None)
    points = [point for point in pair_invariants(*row.pair) if point.kind == row.kind]
    same = [point for point in points if set(point.solids) == set(row.solids)]
    if row.x_b is None:
        return min(same, key=lambda point: abs(point.T_K - row.T_K), default=None)
    return min(same or points, key=lambda point: abs(point.fractions[1] - row.x_b), default=None)


def same_point(one: PublishedInvariant, other: PublishedInvariant) -> bool:
    """Whether two rows speak of one point: same pair, kind and (where named) solids, not more than 6 mol% apart.

    A source that names one of two solids speaks of the same point.
    """
    apart = 0.0 if one.x_b is None or other.x_b is None else abs(one.x_b - other.x_b)
    solids = set(one.solids) <= set(other.solids) or set(other.solids) <= set(one.solids)
    kinds = one.kind == other.kind or {one.kind, other.kind} in ({"highest", "peritectic"}, {"highest", "congruent"})
    return one.pair == other.pair and kinds and solids and apart <= 0.06


def tolerance_K(row: PublishedInvariant) -> float:
    """8 K, or the spread of the published values of the same point."""
    values = [other.T_K for other in ROWS if same_point(row, other)]
    return max(MET_WITHIN_K, max(values) - min(values))


def difference_K(row: PublishedInvariant) -> float:
    """Found less published, K; infinite where nothing of the kind was found."""
    found = counterpart(row)
    return np.inf if found is None else found.T_K - row.T_K


# Rows missed, by id: how far off and why. Generated fits change; `pytest -s` shows where.
MISSED: dict[str, str] = {
    "NaCl-MgCl2 peritectic 35.3% 485C janz_tomkins1981": (
        "off by -19 K because NaCl and Na2MgCl4 are held by the eutectic and the other peritectic"
    ),
    "NaCl-MgCl2 eutectic 40% 437C ornl_cf56_8_204": (
        "off by +17 K because a student melting test of 1956 lies below every other source"
    ),
    "MgCl2-BaCl2 peritectic 40% 595C janz_tomkins1981": (
        "off by -15 K because 39 K over the eutectic in 5 mol% is steeper than these liquids allow; printed as 590-600"
    ),
    "KCl-NdCl3 highest 640C ornl3804": (
        "off by -41 K because another source has 610 C, which goes with its own eutectic"
    ),
    "LiF-NaF eutectic 39.6% 659C matiasovsky1965": ("off by -11 K because this source lies 7-10 K above the other two"),
    "KF-AlF3 eutectic 45% 570C janz_tomkins1981": (
        "off by -12 K because two other sources have this point at 558 and 560 deg C"
    ),
}


def expected(rows: Iterable[PublishedInvariant]) -> list:
    return [
        pytest.param(row, id=row_id(row), marks=pytest.mark.xfail(reason=MISSED[row_id(row)], strict=True))
        if row_id(row) in MISSED
        else pytest.param(row, id=row_id(row))
        for row in rows
    ]


@pytest.mark.parametrize("row", expected(ROWS))
def test_every_published_invariant(row):
    found = counterpart(row)
    assert found is not None, f"no {row.kind} of {' and '.join(row.solids) or 'any solids'} computed"
    difference = found.T_K - row.T_K
    sigmas = difference / np.hypot(found.sigma_K, row.T_sigma_K)
    print(f"\n{row_id(row)} +-{row.T_sigma_K:g}: {celsius(found.T_K):.1f} +-{found.sigma_K:.1f} C at "
          f"{100 * found.fractions[1]:.1f} mol%, {difference:+.1f} K, {sigmas:+.1f} sigmas")  # fmt: skip
    assert abs(difference) <= tolerance_K(row)


# Named solids more than FAR_J_mol from balance at a published melt, with D; all others are nearer. One solid has no
# counterpart: LiCl with MgCl2 is held as two solids, not as (Li,Mg)Cl.
FAR_J_mol = 1500.0
FAR = {
    ("MgCl2-BaCl2 peritectic 40% 595C janz_tomkins1981", "BaCl2"): -2255,
    ("NaF-RbF eutectic 73% 675C ornl2548", "NaF"): -2248,
    ("NaF-AlF3 eutectic 46% 680C rasplavy2020", "AlF3"): -2180,
    ("NaF-AlF3 eutectic 46.38% 694C janz_tomkins1981", "AlF3"): -1812,
    ("KCl-NdCl3 eutectic 49.9% 484C zhang1989", "NdCl3"): -2008,
    ("KF-AlF3 peritectic 49.6% 575C ornl3594", "AlF3"): 1911,
    ("KF-AlF3 peritectic 47.5% 580C janz_tomkins1981", "AlF3"): -1733,
    ("LiF-AlF3 eutectic 35.5% 709C janz_tomkins1981", "AlF3"): -1558,
    ("MgF2-CaF2 eutectic 45% 970C gaskell_ch10", "MgF2"): 1539,
}
WITHOUT_COUNTERPART = {("LiCl-MgCl2 eutectic 40% 570C janz_tomkins1981", "(Li,Mg)Cl")}


def test_named_solids_are_in_balance_at_the_published_melt():
    """Driving force of each solid that a source names, at its composition and temperature, J a mole of salt formulas.

    A temperature says little where the curve is steep or near a pure salt's melting point. 1.5 kJ is 40 K of a solid
    that melts with 40 J/(mol K), or the 3 mol% of MET_WITHIN_X on a branch of 50 kJ.
    """
    far, without, count = {}, set(), 0
    for row in ROWS:
        if row.x_b is None:
            continue
        system = salt_system(row.pair)
        melt = Melts(system, np.array([[1 - row.x_b, row.x_b]]))
        for name in row.solids:
            called = solid_called(system, name)
            if called is None:
                without.add((row_id(row), name))
                continue
            D = float(melt.driving_force(called[0], np.array([row.T_K]), near=called[1])[0][0])
            count += 1
            if abs(D) > FAR_J_mol:
                far[row_id(row), name] = round(D)
    assert count > 280
    assert without == WITHOUT_COUNTERPART
    assert far == pytest.approx(FAR, abs=150)


def test_every_missed_row_is_still_in_the_data():
    assert set(MISSED) <= {row_id(row) for row in ROWS}


def test_most_rows_are_met():
    """Demand of the project: 95 % within 8 K or the spread of the sources."""
    differences = np.abs([difference_K(row) for row in ROWS])
    share = np.mean(differences <= [tolerance_K(row) for row in ROWS])
    print(f"\n{len(ROWS)} rows: {share:.1%} within tolerance")
    assert share >= 0.95


def test_nearly_all_rows_are_within_20_K():
    """Demand of the project: 99 %."""
    share = np.mean(np.abs([difference_K(row) for row in ROWS]) <= 20)
    print(f"\n{len(ROWS)} rows: {share:.1%} within 20 K")
    assert share >= 0.99


def test_most_rows_are_in_place():
    """Demand of the project: 90 % of the compositions within 3 mol%."""
    placed = [row for row in ROWS if row.x_b is not None and row.kind != "congruent" and counterpart(row)]
    share = np.mean([abs(counterpart(row).fractions[1] - row.x_b) <= MET_WITHIN_X for row in placed])
    print(f"\n{len(placed)} rows: {share:.1%} in place")
    assert share >= 0.90


def test_the_spreads_are_honest():
    """Of rows that name their own sigma, about two of three within one and 95 of 100 within two standard deviations."""
    found = [(row, counterpart(row)) for row in ROWS]
    z = np.array([(f.T_K - r.T_K) / np.hypot(f.sigma_K, r.T_sigma_K) for r, f in found if f is not None])
    print(f"\nwithin one sigma {np.mean(np.abs(z) < 1):.0%}, within two {np.mean(np.abs(z) < 2):.0%}")
    assert np.mean(np.abs(z) < 1) >= 0.68
    assert np.mean(np.abs(z) < 2) >= 0.95
