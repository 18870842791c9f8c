"""Integrity of data/: form, units in headers, sources, provenance words, and pins against silent edits."""

import csv
import re
from functools import cache

import periodictable
import pytest

from thermo.answers.evidence.melts import LOWEST_KINDS
from thermo.fitting.priors.compound_rule import formation_rule
from thermo.records.data_folder import names
from thermo.records.fitted import own_strengths
from thermo.records.provenance import DATA, read_table, sources
from thermo.records.published import invariants, liquidus_points, mixing_points
from thermo.records.substances import double_salts, salts
from thermo.records.table_checks import UNIT, WITHOUT_UNIT
from thermo.records.table_forms import FORMS, columns_of

FILES = names()
EVIDENCE = [
    "invariants.csv",
    "liquidus_sections.csv",
    "mixing.csv",
    "ternary.csv",
    "double_salts.csv",
    "triple_salts.csv",
    "solid_solutions.csv",
    "melt_values.csv",
    *[name for name in FILES if name.startswith("liquidus/")],
]
NAMES_IN_DIGITS = ("salt4", "term", "term_1", "term_2", "log_base")  # words that happen to be numbers
ORIGINS = {"measured", "fitted", "estimated"}
PROVENANCES = {"checked", "memory"}


@cache
def table(name: str) -> list[dict[str, str]]:
    return read_table(name)


def numeric(column: str, rows: list[dict[str, str]]) -> bool:
    cells = [row[column] for row in rows if row[column] != ""]
    try:
        [float(cell) for cell in cells]
    except ValueError:
        return False
    return bool(cells)


@pytest.mark.parametrize("name", FILES)
def test_plain_rectangular_text(name):
    raw = (DATA / name).read_bytes()
    text = raw.decode("utf-8")
    assert not text.startswith("\ufeff")
    assert "\r" not in text
    assert text.endswith("\n")
    header, *rows = csv.reader(text.splitlines())
    assert all(header)
    assert len(set(header)) == len(header)
    assert {len(row) for row in rows} == {len(header)}
    assert not re.search(r"/(work|tmp|root)/|shared/lit", text)


@pytest.mark.parametrize("name", [name for name in FILES if name != "sources.csv"])
def test_numbers_carry_their_unit_in_the_header(name):
    rows = table(name)
    header = set(rows[0])
    named_by_row = set()
    if header & {"unit", "quantity", "parameter"}:
        named_by_row |= {"value", "sigma", "fusion_a", "fusion_b"}
    if "form" in header:  # coefficients of a formula named in the row
        named_by_row |= set("abcd")
    if {"row", "column"} <= header:  # parameters named in the row
        named_by_row |= {"covariance"}
    bare = [
        column
        for column in rows[0]
        if numeric(column, rows)
        and column not in named_by_row
        and not UNIT.search(column)
        and not WITHOUT_UNIT.match(column)
        and column not in NAMES_IN_DIGITS
    ]
    assert bare == []


def cited_keys() -> set[str]:
    keys = set()
    for name in FILES:
        if name == "sources.csv":
            continue
        for row in table(name):
            for column, cell in row.items():
                if column in ("source", "sources") or column.endswith("_source"):
                    keys |= {key for key in re.split(r"[;, ]+", cell) if key}
    return keys


def test_every_source_key_resolves():
    assert cited_keys() - set(sources()) == set()


def test_every_source_is_used():
    code = "".join(path.read_text(encoding="utf-8") for path in (DATA.parent / "thermo").rglob("*.py"))
    cited = cited_keys()
    unused = {key for key in sources() if key not in cited and not re.search(rf"\b{re.escape(key)}\b", code)}
    assert unused == set()


def test_source_keys_are_unique_and_plain():
    keys = [row["key"] for row in table("sources.csv")]
    assert len(keys) == len(set(keys))
    assert [key for key in keys if not re.fullmatch(r"[a-z][a-z0-9_]*", key)] == []
    assert [row["key"] for row in table("sources.csv") if not row["title"]] == []


@pytest.mark.parametrize("name", [name for name in FILES if "origin" in table(name)[0]])
def test_origin_and_provenance_words(name):
    rows = table(name)
    assert {row["origin"] for row in rows} <= ORIGINS
    if "provenance" in rows[0]:
        assert {row["provenance"] for row in rows} <= PROVENANCES


@pytest.mark.parametrize("name", [name for name in FILES if "unsure" in table(name)[0]])
def test_unsure_rows_say_so_and_never_have_full_weight(name):
    for row in table(name):
        text = row["note"] if "note" in row else row["caveat"]
        assert row["unsure"] == ("yes" if text.startswith("unsure: ") else "no"), row
        if row["unsure"] == "yes" and name in EVIDENCE:
            assert row["provenance"] == "memory", row
            assert row.get("use", "no") in ("low", "no", "yes"), row


def test_no_table_says_unsure_in_words_alone():
    words = [name for name in FILES for row in table(name) if (row.get("caveat") or "").startswith("unsure")]
    assert [name for name in words if "unsure" not in table(name)[0]] == []


@pytest.mark.parametrize("name", [name for name in EVIDENCE if "use" in table(name)[0] and name != "double_salts.csv"])
def test_less_than_full_weight_has_a_reason(name):
    assert [row for row in table(name) if row["use"] in ("low", "no") and not row["caveat"]] == []


@pytest.mark.parametrize("name", [name for name in EVIDENCE if "locator" in table(name)[0]])
def test_a_checked_row_says_where_it_was_read(name):
    assert [row for row in table(name) if row["provenance"] == "checked" and not row["locator"]] == []


@pytest.mark.parametrize("name", ["ternary.csv", "melt_values.csv"])
def test_mole_fractions_sum_to_one(name):
    for row in table(name):
        names = [row[f"salt{n}"] for n in "1234" if row[f"salt{n}"]]
        fractions = [float(row[f"x{n}"]) for n in "1234" if row[f"x{n}"]]
        assert row["system"] == "-".join(names)
        assert len(names) == len(set(names))
        if name == "ternary.csv" and not fractions:  # only a temperature was published
            assert row["used_in_fit"] == "no"
            assert row["kind"] in LOWEST_KINDS
            continue
        assert len(names) == len(fractions)
        assert all(0 < x < 1 for x in fractions)
        # fractions are written to four places
        assert sum(fractions) == pytest.approx(1, abs=1e-9), row


def elements(formula: str) -> set[str]:
    """Elements in a solid's name; (Na,K)Cl and Na3AlF6.4BaCl2 included."""
    return set(re.findall(r"[A-Z][a-z]?", formula))


def test_solids_are_made_of_the_two_salts():
    for row in (*invariants(), *liquidus_points()):
        allowed = elements(row.pair[0]) | elements(row.pair[1])
        for solid in row.solids:
            assert elements(solid) <= allowed, row


def test_double_salts_add_up():
    for row in table("double_salts.csv"):
        parts = periodictable.formula(row["formula"]).mass
        salts_mass = sum(int(row[f"count_{s}"]) * periodictable.formula(row[f"salt_{s}"]).mass for s in "ab")
        times = round(salts_mass / parts)  # CaFCl stands for half of CaF2 + CaCl2
        assert times * parts == pytest.approx(salts_mass, rel=1e-12), row["formula"]
        assert row["melting"] in ("congruent", "incongruent", "decomposes", "unknown")
        assert row["use"] in ("yes", "no")


def test_congruent_points_sit_at_their_compound():
    for point in invariants():
        if point.kind == "congruent" and point.solids[0] in double_salts():
            salt = double_salts()[point.solids[0]]
            b = salt.stoichiometry[point.pair[1]] / sum(salt.stoichiometry.values())
            # x is written to five places
            assert point.x_b == pytest.approx(b, abs=1e-5), point


def test_every_fitted_double_salt_has_a_published_point_or_a_rule():
    seen = {(frozenset(point.pair), solid) for point in invariants() if point.use != "no" for solid in point.solids}
    unseen = [s for s in double_salts().values() if s.fitted and (frozenset(s.pair), s.formula) not in seen]
    assert [s.formula for s in unseen if formation_rule(s.formula, own_strengths()) is None] == []


def test_a_pure_salt_freezes_below_its_melting_point():
    for point in (*invariants(), *liquidus_points()):
        for solid in point.solids:
            if solid in salts() and solid in point.pair and point.T_K is not None and point.use != "no":
                # one standard deviation of the point: compositions near the pure salt touch the melting point
                above = point.T_K - salts()[solid].melting_point_K
                assert above < point.T_sigma_K, point


def test_liquidus_files_hold_no_invariants_and_no_end_members():
    known = {(i.pair, i.x_b, i.T_K, i.source) for i in invariants() if i.kind != "congruent"}
    for point in liquidus_points():
        assert 0 < point.x_b < 1
        assert (point.pair, point.x_b, point.T_K, point.source) not in known


def test_one_order_of_salts_a_pair():
    rows = (*invariants(), *liquidus_points(), *mixing_points())
    pairs = {row.pair for row in rows} | {s.pair for s in double_salts().values()}
    pairs |= {(row["salt_a"], row["salt_b"]) for row in table("solid_solutions.csv")}
    assert [pair for pair in pairs if pair[::-1] in pairs] == []


def test_no_row_twice():
    for name in EVIDENCE:
        if "use" in table(name)[0]:
            seen = [
                tuple(value for column, value in row.items() if column not in ("caveat", "note", "use"))
                for row in table(name)
            ]
            assert len(seen) == len(set(seen)), name


# data/README.md describes every table: its headings are the tables, the names in backticks their columns
README = (DATA / "README.md").read_text(encoding="utf-8")
COMMON_PART = README[README.index("## Columns that many") : README.index("## Salts, metals")]
COMMON = set(re.findall(r"`(\w+)`", COMMON_PART))
SECTIONS = dict(re.findall(r"(?m)^### (\S+)\n((?:(?!#).*\n?)*)", README))


def test_every_table_has_its_section_and_no_other():
    assert set(SECTIONS) == set(FORMS)


@pytest.mark.parametrize("name", FORMS)
def test_the_columns_described_are_those_of_the_table(name):
    named = set(re.findall(r"`(\w+)`", SECTIONS[name]))
    columns = set(columns_of(name))
    assert columns - COMMON <= named, f"not described: {sorted(columns - COMMON - named)}"
    assert named <= columns | {"x_b"}, f"no such column: {sorted(named - columns)}"
