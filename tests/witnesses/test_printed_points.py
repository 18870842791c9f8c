"""Invariants and melts of several salts against their own print, where the row quotes it in another unit or basis.

Kelvin ("627 K"), weight percent ("61-39 wt%", "28.5 wt% LiCl converted"), the other salt's share ("printed 0.587
LiCl", "68 mol% NaCl"), pairs written the old way ("26.7 mol% CaF2 in K2F2-CaF2"), spreads ("+-6 K stated").
"""

import re

import pytest

from tests.each import NOTHING, each
from tests.witnesses.tables import read_table
from thermo.records.composition import formula_mass

Row = dict[str, str]
NUMBER = r"(\d+(?:\.\d+)?)"
ROWS = range(len(read_table("invariants.csv")))


def words(row: Row) -> str:
    """What the row says of itself: of the caveat only what stands before another source is brought in."""
    return f"{row['locator']}; {row['caveat']}"


def mole_fraction(row: Row, weight_b: float) -> float:
    """x_b of so much of the second salt, mass%."""
    a, b = (100 - weight_b) / formula_mass(row["salt_a"]), weight_b / formula_mass(row["salt_b"])
    return b / (a + b)


@each(ROWS, compared=12)
def test_kelvin_of_an_invariant(n):
    row = read_table("invariants.csv")[n]
    found = re.search(r"(?:printed |\(|^|; |, )([5-9]\d\d|1\d{3}) K\b(?! hot)", words(row))
    if not found or not row["T_C"]:
        return NOTHING
    assert float(row["T_C"]) == pytest.approx(float(found[1]) - 273.15, abs=0.6)  # whole kelvin, whole degrees
    return None


def by_weight(row: Row) -> float | None:
    """Mass% of the second salt that the row quotes as its own."""
    a, b = row["salt_a"], row["salt_b"]
    if found := re.search(rf"{NUMBER} wt% ({a}|{b})\b[^;]*converted", words(row)):
        return float(found[1]) if found[2] == b else 100 - float(found[1])
    if found := re.search(rf"\b{NUMBER}-{NUMBER} wt%", row["locator"]):
        if re.search(r"also|in the original", row["locator"]) and "Kenisarin" not in row["locator"]:
            return None
        return float(found[2])
    return None


@each(ROWS, compared=12)
def test_a_composition_is_the_weight_that_was_printed(n):
    """Printed to 0.1 or 1 %; which of two salts comes first is the pair's order."""
    row = read_table("invariants.csv")[n]
    weight = by_weight(row)
    if weight is None or not row["x_b"]:
        return NOTHING
    if row["locator"].startswith("System 135"):  # of AlF3 beside cryolite, counted as 3 NaF and AlF3
        cryolite, other = (100 - weight) / formula_mass("Na3AlF6"), weight / formula_mass("AlF3")
        assert float(row["x_b"]) == pytest.approx((cryolite + other) / (4 * cryolite + other), abs=2e-3)
        return None
    ordered = (mole_fraction(row, weight), mole_fraction(row, 100 - weight))
    assert min(abs(float(row["x_b"]) - x) for x in ordered) <= 0.006
    return None


OTHERS = re.compile(  # a part of the words that speaks of another source, of solids or of another melt
    r"also|elsewhere|quot|others|older|later|said|gives|has \d|in ORNL|Janz|19\d\d|20\d\d"
    r"|olid|dissolves|\dRbCl|three salts|same in|heat-of-fusion"
)


def by_mole(row: Row) -> tuple[float, float] | None:
    """Least and most x_b that the row quotes as its own in mole percent."""
    a, b = row["salt_a"], row["salt_b"]
    text = words(row).split("; ")
    for part in text:
        if OTHERS.search(part):
            continue
        if found := re.search(rf"(?:printed |about |^){NUMBER}(?:\+-\d+)? ?(?:mol%|%)? ?({a}|{b})\b", part):
            share = float(found[1]) / (100 if float(found[1]) > 1 else 1)
            x = share if found[2] == b else 1 - share
            return x, x
        if found := re.search(rf"^{NUMBER}-{NUMBER} mol%$", part):
            one, other = float(found[1]) / 100, float(found[2]) / 100
            return (other, other) if one + other == pytest.approx(1) else (one, other)
        if found := re.search(rf"^\({NUMBER}-{NUMBER} mol%, \d+ K\)|{NUMBER}-{NUMBER} mol%, \d+ K", part):
            return float(found[4]) / 100, float(found[4]) / 100
        if found := re.search(rf"converted from {NUMBER} mol% (?:{b}|\w+) ?(?:in )?([A-Z][a-z]?)?2?F?2?", part):
            share = float(found[1]) / 100
            if "2F2" in part:  # of the doubled alkali salt, or of the other beside it
                doubled = share if re.search(r"mol% [A-Z][a-z]?2F2$", part) else 1 - share
                x = (1 - doubled) / (1 + doubled)
                return x, x
    return None


@each(ROWS, compared=12)
def test_a_composition_is_the_mole_percent_that_was_printed(n):
    row = read_table("invariants.csv")[n]
    span = by_mole(row)
    if span is None or not row["x_b"]:
        return NOTHING
    assert span[0] - 6e-3 <= float(row["x_b"]) <= span[1] + 6e-3
    return None


@each(ROWS, compared=3)
def test_a_spread_is_the_one_stated(n):
    """ "+-6 K stated": that, or less where others agree."""
    row = read_table("invariants.csv")[n]
    found = re.search(r"\+-(\d+) K stated", words(row))
    if not found:
        return NOTHING
    assert float(row["T_sigma_K"]) == float(found[1])
    return None
