"""Vapour over melts: the stored ends of each printed line against the report's own table of values between them.

NSRDS-NBS 61 Part IV prints every line twice, as coefficients (tables 92.17 and 90.18) and as values in mmHg (92.18 and
90.19). 0.3 %: four digits are printed and kept. And the spread of a row is that of its report: 5 % for the three sets
that state a precision of 3 % or better, 10 % as stated for NaCl-MgCl2.
"""

import numpy as np
import pytest

from thermo.records.provenance import read_table

MMHG = 133.322
ROWS = read_table("melt_vapour.csv")
PRINTED = [  # alkali chloride, mole fraction of MgCl2, K, mmHg
    ("KCl", 0.208, 1340, 24.71),
    ("KCl", 0.286, 1400, 38.81),
    ("KCl", 0.331, 1380, 30.97),
    ("KCl", 0.394, 1360, 24.64),
    ("KCl", 0.488, 1400, 43.11),
    ("KCl", 0.494, 1380, 32.83),
    ("KCl", 0.591, 1320, 19.26),
    ("KCl", 0.697, 1340, 29.24),
    ("NaCl", 0.71, 1240, 10.87),
    ("NaCl", 0.589, 1260, 12.47),
    ("NaCl", 0.469, 1220, 6.192),
    ("NaCl", 0.358, 1300, 10.29),
    ("NaCl", 0.29, 1200, 3.388),
]


@pytest.mark.parametrize(("alkali", "x", "T_K", "mmHg"), PRINTED)
def test_the_table_of_values_lies_on_the_stored_line(alkali, x, T_K, mmHg):
    own = [row for row in ROWS if row["salt_a"] == alkali and float(row["x_b"]) == x]
    inverse = [1 / float(row["T_K"]) for row in own]
    ln_p = [np.log(float(row["p_Pa"])) for row in own]
    slope = (ln_p[1] - ln_p[0]) / (inverse[1] - inverse[0])
    found = np.exp(ln_p[0] + slope * (1 / T_K - inverse[0])) / MMHG
    assert found == pytest.approx(mmHg, rel=0.003)


def test_potassium_calcium_chloride_falls_steadily_with_calcium_chloride():
    """Printed at two temperatures for eight melts (table 93.10): both fall, and the colder is the lower."""
    own = sorted((r for r in ROWS if r["salt_b"] == "CaCl2"), key=lambda r: (float(r["T_K"]), float(r["x_b"])))
    by_T = {T: [float(r["p_Pa"]) for r in own if r["T_K"] == T] for T in ("1373", "1423")}
    for values in by_T.values():
        assert values == sorted(values, reverse=True)
    assert all(cold < hot for cold, hot in zip(by_T["1373"], by_T["1423"], strict=True))


def test_a_spread_is_that_of_its_report():
    for row in ROWS:
        assert float(row["sigma_factor"]) == (1.1 if row["source"] == "kushkin1967" else 1.05), row
