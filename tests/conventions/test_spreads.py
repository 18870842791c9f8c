"""Spreads as data/README.md says they were given: by set, series, method or source, and larger only with a reason.

No law contradicts a standard deviation that is 5 % off: these are conventions, and catch a cell that was typed into the
wrong row. Each holds for every row it is about; a row with a larger spread has a caveat of its own.
"""

from collections import Counter, defaultdict
from pathlib import Path

import pytest

from tests.each import NOTHING, each
from thermo.records.data_folder import DATA
from thermo.records.provenance import read_table

Row = dict[str, str]


def grouped(rows: list[Row], *columns: str) -> dict[tuple[str, ...], list[Row]]:
    found = defaultdict(list)
    for row in rows:
        found[tuple(row[column] for column in columns)].append(row)
    return found


def own_words(row: Row, rows: list[Row]) -> set[str]:
    """Parts of a caveat that not all rows of the set share."""
    return set(row["caveat"].split("; ")) - set.intersection(*(set(r["caveat"].split("; ")) for r in rows)) - {""}


# ---------------------------------------------------------------- densities
SETS = sorted({row["set"] for row in read_table("density/mixtures.csv")})


@each(SETS, compared=25)
def test_a_set_shares_one_error_of_scale(name):
    rows = [row for row in read_table("density/mixtures.csv") if row["set"] == name]
    if len(rows) == 1 or name in ("ornl", "williams2006"):  # collected from several mixtures, each with its own
        return NOTHING
    assert len({row["scale_pct"] for row in rows}) == 1
    return None


@each(SETS, compared=20)
def test_a_melt_has_the_spread_of_its_set_or_a_reason(name):
    """The commonest of the set; a larger one with words of its own in the caveat."""
    rows = [row for row in read_table("density/mixtures.csv") if row["set"] == name]
    if len(rows) < 3 or name in ("ornl", "williams2006"):
        return NOTHING
    common, count = Counter(row["sigma_pct"] for row in rows).most_common(1)[0]
    assert count > len(rows) / 2
    for row in rows:
        if row["sigma_pct"] != common:
            assert float(row["sigma_pct"]) > float(common)
            assert own_words(row, rows)
    return None


REPORT_PCT = 1.0  # pure ends of the sets of Janz & Tomkins 1981, chosen or not


@each(sorted({row["salt"] for row in read_table("density/salts.csv")}), compared=18)
def test_lines_of_one_evaluation_have_one_spread(salt):
    """The handbook, the pages of 1968 and their quotation share a salt's spread; sets of the later report have 1 %."""
    rows = [row for row in read_table("density/salts.csv") if row["salt"] == salt]
    one = {float(row["sigma_pct"]) for row in rows if row["source"] in ("crc", "janz1968", "ottewitte1982")}
    assert len(one) <= 1
    later = [row for row in rows if row["source"] == "janz_tomkins1981" and row["chosen"] == "no"]
    for row in later:  # systems 51 and 52 are the handbook's own lines
        assert float(row["sigma_pct"]) in (
            {REPORT_PCT} if row["locator"][:9] not in ("system 51", "system 52") else one
        )
    return None if len(rows) > 1 else NOTHING


# ---------------------------------------------------------------- freezing
def series() -> dict[tuple[str, ...], list[Row]]:
    """Liquidus points by table, source, pair and solid; melts of several salts by source, system and kind."""
    found = {}
    for path in sorted((Path(DATA) / "liquidus").glob("*.csv")):
        for key, rows in grouped(read_table(f"liquidus/{path.name}"), "source", "solid").items():
            found[path.stem, *key] = rows
    found |= grouped(read_table("liquidus_sections.csv"), "source", "salt_a", "salt_b")
    melts = grouped(read_table("ternary.csv"), "source", "system", "kind")
    found |= {key: rows for key, rows in melts.items() if key[2] == "liquidus"}
    return {key: sure for key, rows in found.items() if len(sure := [r for r in rows if r["unsure"] == "no"]) > 2}


# read from a quench or a break in one curve, or with a reason in the row: more than one spread
MIXED = {
    ("LiF-AlF3", "ornl3594", "AlF3"),
    ("LiF-SrF2", "ornl3594", "SrF2"),
    ("na3alf6_k3alf6_liquidus", "NaF-KF-AlF3", "liquidus"),
    ("ornl3594", "LiF-KF-AlF3", "liquidus"),
    ("ornl3594", "LiF-NaF-AlF3", "liquidus"),
}


@each([(key,) for key in sorted(series())], compared=20)
def test_a_series_has_one_spread(case):
    (key,) = case
    if key in MIXED:
        return NOTHING
    assert len({row["T_sigma_K"] for row in series()[key]}) == 1
    return None


# ---------------------------------------------------------------- mixing, vapour, metals in salts
SHARES = {  # (source, quantity): share of the value, least; elsewhere the source states one itself
    ("sangster_pelton1987", "enthalpy_of_mixing_J_mol"): (0.10, 300),
    ("sangster_pelton1987", "excess_gibbs_J_mol"): (0.10, 300),
    ("hersh_kleppa1965", "enthalpy_of_mixing_J_mol"): (0.15, 300),
    ("holm_kleppa1968", "enthalpy_of_mixing_J_mol"): (0.15, 400),
    ("zhang_li_fang2000", "excess_gibbs_J_mol"): (0.15, 500),
    ("liao2023", "excess_gibbs_J_mol"): (0.15, 500),
    ("gaune_escard1994_ndcl3", "enthalpy_of_mixing_J_mol"): (0.05, 300),
    ("chiotti1969", "excess_gibbs_J_mol"): (0.15, 300),
    ("ornl3293", "activity_a"): (0.02, 0.0),
}
FLAT = {  # 300 J/mol for the pair measured most often; 200 near zero
    ("chiotti1969", "excess_gibbs_J_mol", "LiCl", "KCl"),
    ("holm_kleppa1968", "enthalpy_of_mixing_J_mol", "KF", "RbF"),
}
TABLE_II = (0.05, 40)  # excess potentials of Chiotti et al. from points of a liquidus


@each(range(len(read_table("mixing.csv"))), compared=80)
def test_a_spread_of_mixing_is_its_share_of_the_value(n):
    """To three digits."""
    row = read_table("mixing.csv")[n]
    share, least = SHARES.get((row["source"], row["quantity"]), (None, None))
    if "Table II;" in row["locator"] and row["quantity"].startswith("excess_potential"):
        share, least = TABLE_II
    pair = row["salt_a"], row["salt_b"]
    known = (row["source"], row["quantity"], *pair) in FLAT
    if share is None or known:
        return NOTHING
    assert float(row["sigma"]) == pytest.approx(max(share * abs(float(row["value"])), least), rel=0.006)
    return None


FACTORS = {  # (source, kind): factor of one standard deviation
    ("janaf1998", "salt"): 1.3,
    ("janaf1998", "metal"): 1.15,
    ("alcock1984", "metal"): 1.1,
    ("ornl1252", "salt"): 1.5,
    ("kubaschewski", "salt"): 1.5,
    ("eir411", "salt"): 5.0,
    ("crc", "salt"): 10.0,  # a boiling point and Trouton's slope
}


@each(range(len(read_table("volatility.csv"))), compared=58)
def test_a_factor_of_vapour_pressure_is_that_of_its_source(n):
    """AlF3 (a solid) and strontium (two evaluations disagree) have larger ones."""
    row = read_table("volatility.csv")[n]
    factor = FACTORS.get((row["source"], row["kind"]))
    if factor is None:
        return NOTHING
    if row["formula"] in ("AlF3", "Sr"):
        assert float(row["sigma_factor"]) == {"AlF3": 3.0, "Sr": 1.25}[row["formula"]]
    else:
        assert float(row["sigma_factor"]) == factor
    return None


@each(range(len(read_table("metal_solubility.csv"))), compared=18)
def test_a_spread_of_solubility_is_that_of_its_kind(n):
    """The top of a gap 20 %; printed as about, and magnesium and zinc, 30 %; an estimate 60 %."""
    row = read_table("metal_solubility.csv")[n]
    if row["kind"] == "miscible above":
        assert float(row["sigma_pct"]) == 20
        return None
    if row["origin"] == "estimated" or row["metal"] in ("Mg", "Zn"):
        assert float(row["sigma_pct"]) == (60 if row["origin"] == "estimated" else 30)
        return None
    return NOTHING


# ---------------------------------------------------------------- drying
INSTRUCTIONS = grouped(read_table("drying_steps.csv"), "do", "until")
# one short word each for different salts: an oven of its own for each
SHORT = {"oven", "bake", "oven; no dust, it is a poison"}


@each(sorted(INSTRUCTIONS), compared=12)
def test_one_instruction_has_one_temperature_and_time(do, until):
    rows = INSTRUCTIONS[do, until]
    if len(rows) == 1 or do in SHORT:
        return NOTHING
    assert len({(row["T_C"], row["time_h"]) for row in rows}) == 1
    return None
