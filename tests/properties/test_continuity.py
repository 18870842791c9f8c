"""What is printed does not jump while a melt is changed little by little; each jump that is physics is named.

Walks of small steps along lines in composition, through places where something begins: a salt, an anion, 5 mol% of
AlF3, a published melt, the distances from it where it begins to speak (3 mol%) and where it alone speaks (1 mol%).
A step is STEP of mole fraction; the steepest computed liquidus, MgF2 in NaCl, climbs 30 K a mol%, so a step of a
continuous reading is some hundredths of a kelvin at most. The bounds are ten times that.

Jumps that are physics or follow from what is asked, and are left out:
    the solidus where a salt begins: however little of it there is, the last liquid is that of the new eutectic
    a band where another solid becomes the first: it is that of the solid that freezes, and two energies are not equally
    well known; that of the coldest melt near where solids join there, whose errors then partly cancel
    voltages where chloride begins in a fluoride bath: the anode gives chlorine from then on, and they count from it
    a voltage against what begins, a new metal's own or chlorine's: R T ln a has no end
    the window where undissolved fluoride passes 2 mass% (common practice): not walked through
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import strategies as st

from tests.each import NOTHING
from tests.properties.any_melt import BOTH, OF_ANION, one_anion, tried
from thermo.answers.evidence.near import published_of
from thermo.answers.evidence.start_of_freezing import FULL, REACH
from thermo.answers.melt import MeltAnswer, describe_melt
from thermo.records.composition import Composition, from_amounts
from thermo.records.published import ternary_points
from thermo.records.substances import salt, salts

STEP = 1e-5
STARTS = (0.0, 1e-9, 1e-7)  # mole fraction of what begins; AlF3 boils off so readily that 1e-5 lowers a window by 7 K
BOUNDS = {"K": 0.3, "sigma": 0.3, "share": 0.01, "g_cm3": 1e-3, "V": 2e-3, "mass%": 0.02}
SEARCH_K = 0.5  # two searches for the coldest melt near agree to this
SETS = sorted({p.salts for p in ternary_points() if p.fractions and all(f in salts() for f in p.salts)})
OF_ONE = [names for names in SETS if len({salt(f).anion for f in names}) == 1]
FLUORIDES = one_anion(most=3).filter(lambda melt: salt(melt.salts[0]).anion == "F" and "AlF3" not in melt.salts)


def readings(melt: Composition, symbol: str, T_K: float) -> tuple[MeltAnswer, dict[tuple[str, str], float]]:
    """Everything printed that is a number, by (what, its bound)."""
    told = describe_melt(melt, symbol, T_K)
    start = told.liquidus
    found = {("starts to freeze", "K"): start.T_K, ("computed", "K"): start.computed.T_K}
    found |= {("band", "sigma"): start.sigma_K, ("computed band", "sigma"): start.computed.sigma_K}
    if told.density:
        found["density", "g_cm3"], found["its band", "g_cm3"] = told.density.value_g_cm3, told.density.sigma_g_cm3
    if told.float_or_sink and told.float_or_sink.p_float is not None:
        found["floats", "share"] = told.float_or_sink.p_float
    if told.window and told.window.low_K is not None:
        found["window from", "K"], found["window to", "K"] = told.window.low_K, told.window.high_K
        found["window band", "sigma"] = told.window.sigma_low_K
    for couple in told.order.couples if told.order else ():
        found[couple.metal, "V"] = couple.E_V
    for one in told.dissolves:
        if one.mass_percent is not None:
            found[f"{one.salt} dissolves", "mass%"] = one.mass_percent
    return told, found


def steps_of(line: Sequence[dict[str, float]], T_K: float) -> Iterator[tuple]:
    """Two neighbours on a line with what both say: their answers, and (what, bound, before, after)."""
    symbol = salt(next(iter(line[0]))).cation
    told = [readings(from_amounts({f: x for f, x in amounts.items() if x > 0}), symbol, T_K) for amounts in line]
    for (one, before), (two, after) in pairwise(told):
        both = [(what, before[what], after[what]) for what in before if what in after]
        yield one, two, both


def walk(line: Sequence[dict[str, float]], T_K: float):
    """No step of this line jumps; NOTHING where the start of freezing is unknown."""
    compared = NOTHING
    there = {salt(f).cation for f, x in line[0].items() if x > 0}
    chloride = [any(salt(f).anion == "Cl" for f, x in amounts.items() if x > 0) for amounts in (line[0], line[-1])]
    counted = there if chloride[0] == chloride[1] else set()
    for n, (one, two, both) in enumerate(steps_of(line, T_K)):
        if not (one.liquidus.known and two.liquidus.known):
            continue
        compared = None
        same_solid = one.liquidus.first_solid == two.liquidus.first_solid
        for (what, bound), before, after in both:
            if bound == "V" and what not in counted:
                continue
            if bound == "sigma" and not same_solid:
                continue
            assert after == pytest.approx(before, abs=BOUNDS[bound], rel=0.01 if bound == "sigma" else 0), (
                what, line[n], line[n + 1])  # fmt: skip
        near = one.liquidus.coldest_near, two.liquidus.coldest_near
        if None not in near and "AlF3" not in line[-1]:  # with its many compounds there may be two hollows
            assert pytest.approx(near[0].T_K, abs=SEARCH_K) == near[1].T_K, ("coldest near", line[n], line[n + 1])
            if 0.0 in line[0].values() and same_solid:
                low = one.liquidus.sigma_low_K, two.liquidus.sigma_low_K
                assert low[1] == pytest.approx(low[0], abs=SEARCH_K, rel=0.01), ("low side", line[n], line[n + 1])
    return compared


def beginning(melt: Composition, formula: str) -> list[dict[str, float]]:
    own = dict(zip(melt.salts, melt.fractions, strict=True))
    return [{f: (1 - x) * share for f, share in own.items()} | {formula: x} for x in STARTS]


def hottest_K(melt: Composition) -> float:
    return 0.9 * max(salt(f).melting_point_K for f in melt.salts if f != "AlF3")


@tried(20, melt=one_anion(2, 3), pick=st.integers(0, 99))
def test_where_a_salt_begins(melt, pick):
    pool = [f for f in OF_ANION[salt(melt.salts[0]).anion] if f not in melt.salts]
    return NOTHING if melt.salts == ("AlF3",) else walk(beginning(melt, pool[pick % len(pool)]), hottest_K(melt))


@tried(5, melt=one_anion(most=2), pick=st.integers(0, 99), least=0.4)
def test_where_an_anion_begins(melt, pick):
    cations = [f for f in salts() if salt(f).cation in BOTH and salt(f).anion != salt(melt.salts[0]).anion]
    if any(salt(f).cation not in BOTH for f in melt.salts):
        return NOTHING
    return walk(beginning(melt, cations[pick % len(cations)]), hottest_K(melt))


@tried(5, melt=FLUORIDES, share=st.sampled_from([0.05, 0.25]))
def test_about_the_share_from_which_aluminium_fluoride_counts_fully(melt, share):
    """From 5 mol% on its own error of a surface counts (system/one_anion); 25 is cryolite's."""
    own = dict(zip(melt.salts, melt.fractions, strict=True))
    line = [{f: (1 - x) * part for f, part in own.items()} | {"AlF3": x}
            for x in share + STEP * np.arange(-1, 3)]  # fmt: skip
    return walk(line, hottest_K(melt))


@tried(10, names=st.sampled_from(OF_ONE), pick=st.integers(0, 99), seed=st.integers(0, 999), least=0.3)
def test_past_a_published_melt(names, pick, seed):
    rows = published_of(*names)
    if not rows:
        return NOTHING
    row = rows[pick % len(rows)]
    way = np.random.default_rng(seed).normal(size=len(names))
    way -= way.mean()
    way /= np.abs(way).max()
    x = np.array(row.fractions) / sum(row.fractions)
    found = NOTHING
    for place in (0.0, FULL, REACH):
        line = [x + (place + STEP * n) * way for n in range(-1, 3)]
        if min(map(np.min, line)) > 0:
            found = walk([dict(zip(row.salts, map(float, melt), strict=True)) for melt in line], row.T_K + 30.0)
    return found


@tried(8, melt=one_anion(2, 4), seed=st.integers(0, 999))
def test_anywhere(melt, seed):
    """2 mol% along a line in 20 steps of a tenth: no step of T beyond what the steepest branch climbs, 30 K a mol%."""
    if min(melt.fractions) < 0.04:
        return NOTHING
    way = np.random.default_rng(seed).normal(size=len(melt.salts))
    way -= way.mean()
    way /= np.abs(way).max()
    T = [describe_melt(from_amounts(dict(zip(melt.salts, melt.array + s * way, strict=True)))).liquidus.T_K
         for s in np.linspace(-0.01, 0.01, 21)]  # fmt: skip
    assert np.abs(np.diff(T)).max() < 3.0
    return None
