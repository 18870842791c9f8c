"""One rule for all generated files: what another processor may write otherwise, and what is a difference."""

import csv
import io

import numpy as np
import pytest

from thermo.fitting.agreement import OF_SIGMA, RELATIVE, differing, disagreements
from thermo.records.provenance import DATA
from thermo.records.table_text import digits, table_text

HEADER = "salt_a,salt_b,term,value,sigma,points"
FILES = sorted(path.relative_to(DATA).as_posix() for path in (DATA / "fitted").rglob("*.csv"))


def table(value: str = "-4686.54", sigma: str = "809.639", points: str = "8", term: str = "a0") -> str:
    return f"{HEADER}\nLiCl,NaCl,{term},{value},{sigma},{points}\n"


def apart(**changed) -> bool:
    return disagreements("made up", table(), table(**changed)) != []


def test_a_number_may_move_by_a_thousandth_of_its_spread():
    assert not apart(value=f"{-4686.54 + 0.9 * OF_SIGMA * 809.639:.8g}")
    assert apart(value=f"{-4686.54 + 1.1 * OF_SIGMA * 809.639:.8g}")
    assert not apart(sigma="809.640")
    assert apart(sigma="812.000")


def test_words_and_counts_must_be_the_same():
    assert apart(points="9")
    assert apart(term="a1")
    assert apart(value="")
    assert apart(value="nan")


@pytest.mark.parametrize(
    ("was", "now", "same"),
    [
        ("1.57e+03", "1.58e+03", True),  # three digits, one step
        ("1.57e+03", "1.60e+03", False),
        ("1e+04", "1.01e+04", True),  # %g drops zeros: one step of three digits
        ("2e+04", "3e+04", False),
        ("0.50", "0.51", True),
        ("0.50", "0.52", False),
        ("217.9277445", f"{217.9277445 * (1 + 0.9 * RELATIVE)!r}", True),
        ("217.9277445", f"{217.9277445 * (1 + 1.1 * RELATIVE)!r}", False),
        ("0", "1e-12", False),  # no scale given: noise is written as 0, see digits
    ],
)
def test_without_a_spread_the_digits_written_count(was, now, same):
    lines = disagreements("made up", f"what,size\nx,{was}\n", f"what,size\nx,{now}\n")
    assert (lines == []) == same


def test_a_covariance_is_measured_by_the_two_spreads():
    def text(off: float) -> str:
        return table_text(
            "salt,row,column,covariance", [["x", "a", "a", 4.0], ["x", "b", "a", off], ["x", "b", "b", 9.0]]
        )

    assert disagreements("made up", text(1e-5), text(1e-5 + 0.9 * OF_SIGMA * 6)) == []
    (line,) = disagreements("made up", text(1e-5), text(1e-5 + 1.1 * OF_SIGMA * 6))
    assert "line 3" in line


def test_columns_rows_and_files():
    (line,) = disagreements("made up", table(), table().replace("term", "name"))
    assert "columns" in line
    (line,) = disagreements("made up", table(), table() + "LiCl,KCl,a0,1,1,1\n")
    assert "2 rows instead of 1" in line
    assert differing({"x.csv": None}, {"x.csv": table()}) == ["data/x.csv: missing"]
    many = table() + "LiCl,KCl,a0,1,1,1\n" * 9
    *_, last = differing({"x.csv": many}, {"x.csv": many.replace(",1,1,1", ",2,1,1")})
    assert last == "data/x.csv: 6 rows more"


def test_rounding_is_written_as_nothing():
    assert digits(-7.5e-17, beside=976.0) == "0"  # an odd term of KCl-RbCl that no point tells of
    assert digits(-0.0076651, beside=14.6) == "-0.0076651"
    assert digits(0.0, beside=0.0) == "0"


def is_number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return True


def as_noisy(text: str, size: float) -> str:
    """The file with every number off by so much of itself."""
    random = np.random.default_rng(5)
    header, *rows = csv.reader(io.StringIO(text))
    for row in rows:
        for k, cell in enumerate(row):
            if "." in cell and is_number(cell):
                row[k] = repr(float(float(cell) * (1 + size * random.uniform(0.5, 1) * random.choice([-1, 1]))))
    return table_text(",".join(header), rows)


@pytest.mark.parametrize("name", FILES)
def test_every_file_bears_noise_and_no_change(name):
    text = (DATA / name).read_text(encoding="utf-8")
    assert disagreements(name, text, as_noisy(text, 2e-6)) == []  # the most that five BLAS kernels make
    if "." in text:
        assert disagreements(name, text, as_noisy(text, 0.2)) != []


def test_no_generated_number_is_rounding():
    """Nothing but 0 is below 1e-14 of its unit; the smallest numbers, T^3 terms of Cp, are near 1e-7 J/(mol K4)."""
    for name in FILES:
        for row in csv.reader(io.StringIO((DATA / name).read_text(encoding="utf-8"))):
            for cell in row:
                if is_number(cell):
                    assert float(cell) == 0 or abs(float(cell)) > 1e-14, (name, row)
