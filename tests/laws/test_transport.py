"""The mixing rule of conductance and viscosity: measured melts come back, the rest is marked."""

import itertools
import math

import numpy as np
import pytest

from thermo.laws.conductance import conductance, conductance_table
from thermo.laws.transport import Equation
from thermo.laws.viscosity import metal_viscosity, viscosity, viscosity_table
from thermo.records.composition import from_amounts
from thermo.records.provenance import InputError, RangeError, read_table, sources
from thermo.records.substances import metals, salts

TABLES = {"conductance.csv": conductance_table(), "viscosity.csv": viscosity_table()}
MEASURED = [
    (file, row)
    for file in TABLES
    for row in read_table(file)
    if row["use"] == "yes" and row["salt2"] and row["provenance"] == "checked"
]


def line(form="polynomial", coefficients=(1.0, 2e-3, 0.0, 0.0), span=(1000.0, 1200.0)):
    return Equation("test", form, coefficients, *span, 0.02, "measured", "checked", "janz1968", "", False)


@pytest.mark.parametrize("file", TABLES)
def test_rows_are_known_and_resolve(file):
    rows = read_table(file)
    for row in rows:
        assert {row["salt1"], row["salt2"] or row["salt1"]} <= set(salts())
        assert row["source"] in sources()
        assert float(row["x1"]) + float(row["x2"] or 0) == pytest.approx(1, abs=1e-6)
        assert float(row["T_lo_K"]) <= float(row["T_hi_K"])
        assert row["provenance"] == "memory" if row["caveat"].startswith("unsure: recalled") else True
    assert set(TABLES[file].pure) == set(salts())


@pytest.mark.parametrize(("file", "row"), MEASURED, ids=lambda v: v if isinstance(v, str) else v["locator"][:12])
def test_a_measured_melt_gives_back_its_equation(file, row):
    T = (float(row["T_lo_K"]) + float(row["T_hi_K"])) / 2
    a, b, c, d = (float(row[name]) for name in "abcd")
    expected = a * math.exp(b / T) if row["form"] == "arrhenius" else a + T * (b + T * (c + T * d))
    melt = from_amounts({row["salt1"]: float(row["x1"]), row["salt2"]: float(row["x2"])})
    assert TABLES[file].at(melt, T).value == pytest.approx(expected, rel=1e-9)


def test_spread_at_a_measured_melt_is_the_stated_one():
    # KCl with 31.8 mol% MgCl2, 5 % stated (Janz & Tomkins 1981, system 92).
    found = conductance(from_amounts({"KCl": 68.2, "MgCl2": 31.8}), 950.0)
    assert found.sigma_rel == pytest.approx(0.05, rel=1e-3)
    assert found.origin == "measured"
    assert found.caveats == ()


def test_order_of_the_salts_does_not_matter():
    one = conductance(from_amounts({"KCl": 60, "MgCl2": 25, "NaCl": 15}), 1000.0)
    other = conductance(from_amounts({"NaCl": 15, "MgCl2": 25, "KCl": 60}), 1000.0)
    assert one.value == pytest.approx(other.value, rel=1e-12)
    assert one.sigma_rel == pytest.approx(other.sigma_rel, rel=1e-12)


def test_a_trace_changes_little():
    pure = viscosity(from_amounts({"NaCl": 1}), 1100.0).value
    assert viscosity(from_amounts({"NaCl": 1, "KCl": 1e-6}), 1100.0).value == pytest.approx(pure, rel=1e-4)


def test_unmeasured_pair_is_estimated_and_wide():
    found = conductance(from_amounts({"NaCl": 50, "CaCl2": 50}), 1100.0)
    assert found.origin == "estimated"
    assert any("no measurement of CaCl2-NaCl in the data" in note for note in found.caveats)
    assert found.sigma_rel > 0.15


def test_three_salts_are_wider_than_two():
    two = conductance(from_amounts({"KCl": 60, "MgCl2": 40}), 950.0)
    three = conductance(from_amounts({"KCl": 40, "MgCl2": 40, "NaCl": 20}), 1000.0)
    assert three.sigma_rel > two.sigma_rel


def test_band_is_lognormal():
    found = viscosity(from_amounts({"KCl": 1}), 1100.0)
    low, high = found.band
    assert low * high == pytest.approx(found.value**2)
    assert high / found.value == pytest.approx(math.exp(found.sigma_rel))


def test_continued_outside_as_arrhenius():
    equation = line()
    slope = (equation.ln(1200.0, 0.0) - equation.ln(1000.0, 0.0)) / (1 / 1200 - 1 / 1000)
    assert equation.ln(900.0, 0.0) == pytest.approx(equation.ln(1000.0, 0.0) + slope * (1 / 900 - 1 / 1000))
    assert equation.outside_K(900.0) == 100.0
    assert equation.outside_K(1100.0) == 0.0


def test_short_span_uses_the_common_slope():
    equation = line(span=(1000.0, 1020.0))
    assert equation.ln(900.0, -1500.0) == pytest.approx(equation.ln(1000.0, 0.0) - 1500.0 * (1 / 900 - 1 / 1000))


def test_far_from_the_span_is_said_and_widens():
    near, far = (conductance(from_amounts({"KCl": 68.2, "MgCl2": 31.8}), T) for T in (950.0, 700.0))
    assert any("130 K beyond" in note for note in far.caveats)
    assert far.sigma_rel == pytest.approx(math.hypot(near.sigma_rel, 0.13), rel=1e-3)  # 10 % a hundred kelvin


def test_conductance_rises_and_viscosity_falls_with_temperature():
    for formula in salts():
        melt = from_amounts({formula: 1})
        T = salts()[formula].melting_point_K
        assert conductance(melt, T + 100).value > conductance(melt, T).value
        assert viscosity(melt, T + 100).value < viscosity(melt, T).value


def test_metals():
    assert {row["metal"] for row in read_table("viscosity_metals.csv")} == set(metals())
    assert metal_viscosity("Mg").value == 1.25  # Iida & Guthrie 1988, recalled
    assert metal_viscosity("Sr").caveats


def test_refusals():
    with pytest.raises(InputError, match="metal 'X'"):
        metal_viscosity("X")
    with pytest.raises(RangeError, match="above 0 K"):
        conductance(from_amounts({"NaCl": 1}), float("nan"))


@pytest.mark.parametrize(("table", "slope_K"), [(conductance_table(), -1800.0), (viscosity_table(), 3000.0)])
def test_short_spans_go_on_with_the_common_slope_of_their_property(table, slope_K):
    """Conductance rises by exp(-1800 K/T), viscosity falls by exp(3000 K/T): near the median of the measured slopes."""
    lines = [*table.pure.values(), *(line for rows in table.pairs.values() for _, line in rows)]
    measured = [line for line in lines if line.origin == "measured" and not line.unsure]
    slopes = [
        (line.ln(line.T_hi_K, 0.0) - line.ln(line.T_lo_K, 0.0)) / (1 / line.T_hi_K - 1 / line.T_lo_K)
        for line in measured
        if line.T_hi_K - line.T_lo_K >= 80
    ]
    assert np.quantile(slopes, 0.25) < slope_K < np.quantile(slopes, 0.75)
    short = next(line for line in measured if line.T_hi_K - line.T_lo_K < 80)
    further = short.T_hi_K + 100
    grown = short.ln(further, table.common_K) - short.ln(short.T_hi_K, table.common_K)
    assert grown == pytest.approx(slope_K * (1 / further - 1 / short.T_hi_K), rel=1e-9)


@pytest.mark.parametrize(("width_K", "own"), [(79.0, False), (81.0, True)])
def test_a_span_of_80_K_has_a_slope_of_its_own(width_K, own):
    measured = line(form="arrhenius", coefficients=(5.0, -1000.0, 0.0, 0.0), span=(1000.0, 1000.0 + width_K))
    edge, further = 1000.0 + width_K, 1200.0
    slope = (measured.ln(further, -1800.0) - measured.ln(edge, -1800.0)) / (1 / further - 1 / edge)
    assert slope == pytest.approx(-1000.0 if own else -1800.0, rel=1e-9)


def excess_at_equal_amounts(table, pair):
    """ln of a measured pair at half and half above the mean of its pure salts, at the middle of its spans."""
    rows = table.pairs[pair]
    T = sum((line.T_lo_K + line.T_hi_K) / 2 for _, line in rows) / len(rows)
    ends = [table.pure[formula].ln(T, table.common_K) for formula in pair]
    t = [0.0, *(at for at, _ in rows), 1.0]
    off = [0.0, *(line.ln(T, table.common_K) - (1 - at) * ends[0] - at * ends[1] for at, line in rows), 0.0]
    n = next(n for n in range(1, len(t)) if t[n] >= 0.5)
    return off[n - 1] + (0.5 - t[n - 1]) / (t[n] - t[n - 1]) * (off[n] - off[n - 1])


@pytest.mark.parametrize("table", TABLES.values(), ids=TABLES)
def test_a_pair_never_measured_is_the_mean_of_those_that_were(table):
    found = [excess_at_equal_amounts(table, pair) for pair in table.pairs]
    assert table.unmeasured == pytest.approx((np.mean(found), np.std(found, ddof=1)), rel=1e-9)


@pytest.mark.parametrize("table", TABLES.values(), ids=TABLES)
@pytest.mark.parametrize("shares", [(0.5, 0.5), (0.2, 0.8), (0.2, 0.3, 0.5)])
def test_a_melt_of_unmeasured_pairs_by_hand(table, shares):
    """The docstring's sum: mean and scatter times 4 t (1 - t) (x_i + x_j)^2, 0.15 times 27 x x x, the pure salts' own.

    All within their spans or no further off than the sum says: 10 % a hundred kelvin.
    """
    names, T = ("RbCl", "SrCl2", "LaCl3")[: len(shares)], 1180.0
    x = dict(zip(names, shares, strict=True))
    mean, scatter = table.unmeasured
    ln = sum(s * table.pure[f].ln(T, table.common_K) for f, s in x.items())
    variance = sum((s * table.pure[f].sigma_rel) ** 2 for f, s in x.items())
    variance += (0.001 * sum(s * table.pure[f].outside_K(T) for f, s in x.items())) ** 2
    for a, b in itertools.combinations(x.values(), 2):
        own = 4 * a * b  # (a + b)^2 times 4 t (1 - t)
        ln += own * mean
        variance += (own * scatter) ** 2
    if len(shares) == 3:
        variance += (0.15 * 27 * math.prod(shares)) ** 2
    found = table.at(from_amounts({f: 100 * s for f, s in x.items()}), T)
    assert found.value == pytest.approx(math.exp(ln), rel=1e-9)
    assert found.sigma_rel == pytest.approx(math.sqrt(variance), rel=1e-9)


@pytest.mark.parametrize(("percent", "said"), [(0.52, True), (0.48, False)])
def test_a_pair_below_4_x_x_of_2_percent_needs_no_caveat(percent, said):
    """4 x (1 - x) is 0.0207 and 0.0191."""
    found = conductance(from_amounts({"NaCl": 100 - percent, "CaCl2": percent}), 1100.0)
    assert any("CaCl2-NaCl" in note for note in found.caveats) is said


@pytest.mark.parametrize(("beyond_K", "said"), [(51.0, True), (49.0, False)])
def test_fifty_kelvin_beyond_what_was_measured_is_said(beyond_K, said):
    line = conductance_table().pure["NaCl"]
    found = conductance(from_amounts({"NaCl": 1}), line.T_hi_K + beyond_K)
    assert any(f"{beyond_K:.0f} K beyond" in note for note in found.caveats) is said


@pytest.mark.parametrize(("percent", "said"), [(44.4, True), (38.0, False), (68.6, False), (52.0, True)])
def test_the_doubt_of_the_nearest_measured_melt_speaks(percent, said):
    """BaCl2 with MgCl2: of the melts at 35.5, 44.4 and 68.6 mol% the middle one is doubtful in its print."""
    found = conductance(from_amounts({"BaCl2": 100 - percent, "MgCl2": percent}), 1100.0)
    assert any(note.startswith("BaCl2-MgCl2:") for note in found.caveats) is said


def test_the_spread_of_a_metals_viscosity_is_that_of_its_row():
    """Magnesium: 10 %."""
    assert metal_viscosity("Mg").sigma_rel == pytest.approx(0.10, rel=1e-12)
