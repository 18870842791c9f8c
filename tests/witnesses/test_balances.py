"""Nothing is lost: fractions of a melt add up to one, and every compound and reaction balances atom for atom.

These hold for each row of a table by itself, whatever a source prints: a wrong amount cannot pass.
"""

import re
from collections import Counter

import periodictable
import pytest

from tests.each import each
from tests.witnesses.tables import read_table

MELTS = (
    "ternary.csv",
    "melt_values.csv",
    "density/mixtures.csv",
    "density/mixing_volume.csv",
    "conductance.csv",
    "viscosity.csv",
)
LINES = [(name, n) for name in MELTS for n, row in enumerate(read_table(name)) if row["x1"]]


@each(LINES, compared=len(LINES))
def test_the_fractions_of_a_melt_are_one(name, n):
    row = read_table(name)[n]
    parts = [float(row[f"x{k}"]) for k in "1234" if row.get(f"x{k}")]
    assert len(parts) == sum(bool(row.get(f"salt{k}")) for k in "1234")
    assert all(0 < part <= 1 for part in parts)
    assert sum(parts) == pytest.approx(1, abs=1.1e-5)  # converted ones are written to five places


def atoms(parts: dict[str, float]) -> Counter:
    """Atoms by element in so many formulas of each kind."""
    found: Counter = Counter()
    for formula, count in parts.items():
        for element, number in periodictable.formula(formula).atoms.items():
            found[element.symbol] += count * number
    return found


def close(one: Counter, other: Counter) -> bool:
    """The same atoms of every element."""
    return all(one[e] == pytest.approx(other[e], abs=1e-9) for e in one | other)


COMPOUNDS = [(name, n) for name in ("double_salts.csv", "triple_salts.csv") for n in range(len(read_table(name)))]


@each(COMPOUNDS, compared=len(COMPOUNDS))
def test_a_compound_holds_the_atoms_of_its_salts(name, n):
    """Counts are whole and have no common divisor; the formula may stand for a part of them (CaFCl)."""
    row = read_table(name)[n]
    counts = {row[f"salt_{k}"]: float(row[f"count_{k}"]) for k in "abc" if row.get(f"salt_{k}")}
    assert all(count == int(count) for count in counts.values())
    own, parts = atoms({row["formula"]: 1}), atoms(counts)
    times = sum(parts.values()) / sum(own.values())
    assert times == pytest.approx(round(times), abs=1e-9)
    assert close(parts, Counter({e: times * number for e, number in own.items()}))


@each(range(len(read_table("hydrolysis.csv"))))
def test_what_water_makes_of_a_salt_balances(n):
    row = read_table("hydrolysis.csv")[n]
    before = atoms({row["salt"]: 1.0, "H2O": float(row["water"])})
    assert close(before, atoms({row["product"]: float(row["product_count"]), row["gas"]: float(row["gas_count"])}))


@each(range(len(read_table("hydrates.csv"))))
def test_a_bottle_holds_its_salts_its_water_and_what_it_loses(n):
    """The formula on the label (MgCl2.KCl.6H2O) against salts, water and what leaves beside it."""
    row = read_table("hydrates.csv")[n]
    listed = [part.split(":") for part in re.split(r"[; ]+", f"{row['salts']};{row['lost']}") if part]
    parts = {formula: float(count) for formula, count in listed} | {"H2O": float(row["water"])}
    label = Counter()
    for part in re.split(r"\.(?!5)", row["bottle"]):
        count, formula = re.fullmatch(r"(\d*(?:\.\d+)?)(.+)", part).groups()
        label.update({e: float(count or 1) * number for e, number in atoms({formula: 1}).items()})
    assert close(label, atoms(parts))


def test_a_congruent_point_sits_at_its_compound():
    shares = {
        row["formula"]: int(row["count_b"]) / (int(row["count_a"]) + int(row["count_b"]))
        for row in read_table("double_salts.csv")
    }
    rows = [row for row in read_table("invariants.csv") if row["kind"] == "congruent" and row["x_b"]]
    named = [row for row in rows if row["solids"] in shares]
    assert len(named) > 20
    # x is written to five places
    assert [r for r in named if abs(float(r["x_b"]) - shares[r["solids"]]) > 1e-5] == []
