"""Parts of a band: they add up to it, a pair's own is all of it where nothing else is there."""

import pytest

from thermo.equilibrium.freezing.liquidus import liquidus
from thermo.equilibrium.freezing.spread_parts import MELTING, OWN, TERMS, spread_parts
from thermo.records.composition import from_amounts

MELTS = [
    {"NaCl": 60, "CaCl2": 18, "MgCl2": 22},
    {"LiF": 40, "NaF": 30, "LaF3": 20, "CaF2": 10},
    {"NaF": 60, "AlF3": 20, "CaF2": 20},
    {"NaCl": 50, "KCl": 40, "CaF2": 10},
    {"KCl": 70, "MgCl2": 30},
]


@pytest.mark.parametrize("amounts", MELTS, ids="-".join)
def test_they_add_up_to_the_variance_that_is_printed(amounts):
    melt = from_amounts(amounts)
    parts, sigma_K = spread_parts(melt), liquidus(melt).sigma_K
    assert sum(part.share for part in parts) == pytest.approx(1)
    for part in parts:
        assert part.sigma_K**2 == pytest.approx(max(part.share, 0.0) * sigma_K**2, rel=1e-6, abs=1e-9)


def test_of_two_salts_all_is_their_pair_and_their_melting():
    parts = {part.of: part.share for part in spread_parts(from_amounts({"KCl": 70, "MgCl2": 30}))}
    assert parts["KCl", "MgCl2"] + parts[MELTING,] == pytest.approx(1)
    assert parts[OWN,] == pytest.approx(0)
    assert (TERMS,) not in parts


def test_a_pair_without_points_leaves_more_than_one_with_many():
    """LaF3-CaF2 has no point of its own, LiF-NaF an eutectic of several laboratories."""
    melt = from_amounts({"LiF": 40, "NaF": 30, "LaF3": 20, "CaF2": 10})
    parts = {part.of: part.sigma_K for part in spread_parts(melt)}
    assert parts["LaF3", "CaF2"] > 10 * parts["LiF", "NaF"]
