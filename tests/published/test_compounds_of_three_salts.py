"""Eutectics beside compounds of three salts, which no fit has seen: only where each compound melts was used.

Sources: J. Cryst. Growth 235 (2002) 596, abstract (LiF with CaAlF5 and with SrAlF5). Between LiF and each compound the
last liquid freezes at the eutectic printed there. Bands, not a tolerance in kelvin: CaF2-AlF3 and SrF2-AlF3 were never
melted alone, and SrF2-AlF3 rests on one point. The computed solids are Li3AlF6 and the fluoride, which hold less energy
than LiF and the compound by less than the bands; the abstract names the latter.
"""

import numpy as np
import pytest

from thermo.equilibrium.freezing.solidus import solidus
from thermo.records.composition import from_amounts
from thermo.records.units import celsius

READ_K = 4.0  # thermal analysis, as given to the rows of that abstract


@pytest.mark.parametrize(("fluoride", "published_C"), [("CaF2", 705.0), ("SrF2", 673.0)])
def test_eutectic_with_lithium_fluoride(fluoride, published_C):
    found = solidus(from_amounts({"LiF": 3, fluoride: 1, "AlF3": 1}))
    away = celsius(found.T_K) - published_C
    print(f"LiF beside Li{fluoride[:2]}AlF6: {celsius(found.T_K):.0f} +- {found.sigma_K:.0f} deg C, {away:+.0f} K")
    assert abs(away) < 1.645 * np.hypot(found.sigma_K, READ_K)
