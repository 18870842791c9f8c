"""Laws of freezing that hold for any melt, whatever the fitted coefficients are.

A published number cannot be asked of a melt nobody measured; these can. Where a computed melt never freezes within the
search (no data on its solids) there is nothing to compare, and that is counted.
"""

import numpy as np
import pytest
from hypothesis import strategies as st

from tests.each import NOTHING
from tests.properties.any_melt import BOTH, MOST, OF_ANION, aluminium_baths, melts, one_anion, tried
from thermo.answers.evidence.start_of_freezing import start_of_freezing
from thermo.equilibrium.freezing.liquidus import liquidus
from thermo.equilibrium.freezing.solidus import solidus
from thermo.equilibrium.invariants.lowest import lowest
from thermo.equilibrium.system.driving_force import liquidus_field
from thermo.records.composition import Composition, from_amounts
from thermo.records.provenance import RangeError
from thermo.records.substances import salt

SAME_K = 2e-3  # the liquidus is solved to some 1e-4 K
TRACE = 1e-9  # mole fraction: R T^2/H_fus times this is below 1e-6 K for every salt
SMALL_K = 0.01
OTHERS = 200  # mixes that a lowest melt is held against
THREE = st.sampled_from(["Cl", "F"]).flatmap(
    lambda anion: st.lists(st.sampled_from(OF_ANION[anion]), min_size=3, max_size=3, unique=True)
)


def with_trace(melt: Composition, formula: str) -> Composition:
    """The melt with one more salt, a billionth of it."""
    amounts = dict(zip(melt.salts, melt.fractions, strict=True))
    return from_amounts(amounts | {formula: TRACE})


@tried(15, melt=melts(), seed=st.integers(0, 99))
def test_the_order_of_the_salts_does_not_matter(melt, seed):
    order = np.random.default_rng(seed).permutation(len(melt.salts))
    other = Composition(tuple(melt.salts[i] for i in order), tuple(melt.fractions[i] for i in order))
    one, two = liquidus(melt), liquidus(other)
    assert pytest.approx(one.T_K, abs=SAME_K) == two.T_K
    assert two.known == one.known
    if len(melt.salts) == 1 or not one.known:
        return NOTHING
    assert two.sigma_K == pytest.approx(one.sigma_K, rel=1e-3, abs=0.01)
    return None


@tried(15, melt=one_anion(most=MOST - 1), pick=st.integers(0, 99))
def test_a_trace_of_a_salt_changes_nothing(melt, pick):
    """A billionth of anything of the same anion: the liquidus, its sigma and what leads the answer stay."""
    pool = [f for f in OF_ANION[salt(melt.salts[0]).anion] if f not in melt.salts]
    more = with_trace(melt, pool[pick % len(pool)])
    one, two = start_of_freezing(melt), start_of_freezing(more)
    if not one.known:
        return NOTHING
    assert pytest.approx(one.computed.T_K, abs=SMALL_K) == two.computed.T_K
    assert two.computed.sigma_K == pytest.approx(one.computed.sigma_K, rel=0.01, abs=0.05)
    assert pytest.approx(one.T_K, abs=SMALL_K) == two.T_K
    assert two.sigma_low_K == pytest.approx(one.sigma_low_K, rel=0.01, abs=0.2)  # two searches for the coldest near
    return None


PAIRS = [  # the joint update changes their bands most of those with points: 0.4 to 2.7 times
    {"SrCl2": 65.0, "BaCl2": 35.0},
    {"NaCl": 50.0, "KCl": 50.0},
    {"BaCl2": 50.0, "CaCl2": 50.0},
    {"KCl": 85.0, "CeCl3": 15.0},
]


@pytest.mark.parametrize("amounts", PAIRS, ids="-".join)
def test_a_trace_of_a_third_salt_does_not_change_the_band(amounts):
    melt = from_amounts(amounts)
    one, two = liquidus(melt), liquidus(with_trace(melt, "CsCl"))
    assert pytest.approx(one.T_K, abs=SMALL_K) == two.T_K
    assert two.sigma_K == pytest.approx(one.sigma_K, rel=0.01, abs=0.05)


@tried(6, melt=one_anion(most=2), pick=st.integers(0, 99), least=0.4)
def test_a_trace_of_the_other_anion_changes_nothing(melt, pick):
    """A billionth of the other anion with a cation of the melt: no law may jump where a second anion begins."""
    if any(salt(formula).cation not in BOTH for formula in melt.salts):
        return NOTHING
    own = salt(melt.salts[pick % len(melt.salts)])
    other = next(
        f for anion in ("F", "Cl") if anion != own.anion for f in OF_ANION[anion] if salt(f).cation == own.cation
    )
    one, two = liquidus(melt), liquidus(with_trace(melt, other))
    if not one.known:
        return NOTHING
    assert pytest.approx(one.T_K, abs=SMALL_K) == two.T_K
    assert two.sigma_K == pytest.approx(one.sigma_K, rel=0.01, abs=0.05)
    return None


@tried(20, formula=st.sampled_from(sorted(f for pool in OF_ANION.values() for f in pool)), pick=st.integers(0, 99))
def test_what_is_nearly_pure_melts_like_the_pure_salt(formula, pick):
    pool = [f for f in OF_ANION[salt(formula).anion] if f != formula]
    pure = liquidus(Composition((formula,), (1.0,)))
    nearly = liquidus(from_amounts({formula: 1.0, pool[pick % len(pool)]: TRACE}))
    assert pytest.approx(salt(formula).melting_point_K, abs=0.5) == pure.T_K  # the table's, to its printed rounding
    assert pytest.approx(pure.T_K, abs=SMALL_K) == nearly.T_K


@tried(15, melt=st.one_of(one_anion(2, 3), aluminium_baths(3)), least=0.3)
def test_freezing_ends_below_where_it_starts(melt):
    end = solidus(melt)
    if end.T_K is None:
        return NOTHING
    start = liquidus(melt)
    assert end.T_K <= start.T_K + 0.01
    assert end.sigma_K >= 0
    return None


@tried(2, least=0.3, salts=THREE, seed=st.integers(0, 999))
def test_no_other_mix_freezes_below_the_lowest(salts, seed):
    try:
        found = lowest(salts)
    except RangeError:
        return NOTHING
    others = np.random.default_rng(seed).dirichlet(np.ones(3), OTHERS)
    if "AlF3" in salts:  # beyond half of it nothing is answered
        others = others[others[:, salts.index("AlF3")] <= 0.5]
    assert liquidus_field(tuple(salts), others).T_K.min() > found.T_K - 0.05
    return None
