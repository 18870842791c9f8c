"""The fit of double salts in the vapour: a made-up pair comes back, and measured melts left out are met.

Measured: Schrier & Clark 1963 and Kushkin et al. 1967 (boiling points over KCl-MgCl2 and NaCl-MgCl2) and Murgulescu &
Topor 1966 (KCl-CaCl2), all as tabulated in NSRDS-NBS 61 Part IV.
"""

import sys
from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import binom

from thermo.answers.bath_vapour import bath_pressure, sigma_ln_pressure
from thermo.fitting.vapour_fit import SLOPE_K, VapourPoint, fit, points
from thermo.records.composition import from_amounts

BAND, CHANCE, UNLIKELY = 1.645, 0.90, 0.05
MEASURED = points()
PAIRS = sorted({p.salts for p in MEASURED})


def of_pair(pair):
    return [p for p in MEASURED if p.salts == pair]


def computed(p: VapourPoint, found) -> float:
    c = np.exp(found.constant + found.slope_K * (1 / p.T_K - 1 / found.centre_K))
    return p.alone_Pa() + c * p.per_c_Pa()


def test_a_made_up_double_salt_comes_back():
    """ln c = 2.5 at the centre with the prior's slope: nothing pulls it away."""
    own = of_pair(("KCl", "MgCl2"))
    centre = 1 / np.mean([1 / p.T_K for p in own])
    made = [
        replace(p, p_Pa=p.alone_Pa() + np.exp(2.5 + SLOPE_K * (1 / p.T_K - 1 / centre)) * p.per_c_Pa()) for p in own
    ]
    found = fit(made)
    assert found.constant == pytest.approx(2.5, abs=1e-5)
    assert found.slope_K == pytest.approx(SLOPE_K, abs=1.0)
    assert found.rms < 1e-6


@pytest.mark.parametrize("pair", PAIRS, ids="-".join)
def test_a_melt_left_out_is_met(pair):
    """Each composition by the others of its pair, in the 90 % band of the answer and the print."""
    own, held = of_pair(pair), 0
    for p in own:
        found = fit([q for q in own if q.x_b != p.x_b])
        band = sigma_ln_pressure(from_amounts(dict(zip(pair, (1 - p.x_b, p.x_b), strict=True))), p.T_K)
        miss = np.log(p.p_Pa / computed(p, found))
        held += bool(abs(miss) <= BAND * np.hypot(band, p.sigma_ln))
        sys.stdout.write(f"\n{'-'.join(pair)} {p.x_b} {p.T_K:.0f} K: ln {miss:+.2f}, band {band:.2f}")
    assert held >= binom.ppf(UNLIKELY, len(own), CHANCE)


def test_the_salts_alone_fall_short_and_the_double_salt_does_not():
    """KCl-MgCl2 near half and half: the print is twice the two salts (why the law is there), and within 10 % of it."""
    own = [p for p in of_pair(("KCl", "MgCl2")) if max(p.ln_a) < -1.5]
    assert len(own) >= 4
    found = fit(of_pair(("KCl", "MgCl2")))
    for p in own:
        assert p.p_Pa > 1.7 * p.alone_Pa()
        assert p.p_Pa == pytest.approx(computed(p, found), rel=0.10)


@pytest.mark.parametrize("p", points("check"), ids=lambda p: f"{p.T_K:.0f}-{p.p_Pa:.0f}")
def test_potassium_calcium_chloride_has_none(p):
    """Murgulescu & Topor, in no fit: within 1.645 standard deviations without any double salt."""
    ln_a = dict(zip(p.salts, p.ln_a, strict=True))
    found = p.alone_Pa()
    assert set(ln_a) == {"KCl", "CaCl2"}
    assert abs(np.log(p.p_Pa / found)) <= BAND * np.hypot(0.35, p.sigma_ln)  # 0.26 of the line of KCl, 0.2 of activity


def test_the_answer_rests_on_the_fit():
    melt = from_amounts({"KCl": 50, "MgCl2": 50})
    assert bath_pressure(melt, 1360.0) == pytest.approx(27.2 * 133.322, rel=0.1)  # 27.16 mmHg printed at 48.8 mol%
    assert 0.1 < sigma_ln_pressure(melt, 1360.0) < 0.3
