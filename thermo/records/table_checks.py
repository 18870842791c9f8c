"""Every cell of a table against what is allowed there, in one place: file, line, column, value, and what may stand.

What a column may hold follows from its name: a unit at its end makes it a number, x a mole fraction, source a key of
sources.csv, `salt` a salt that some table describes. Only the kinds of a few tables are listed by name. A row is a
duplicate where another says the same of the same thing (KEYS; elsewhere all columns but comments and weight).
Limits: nothing here knows whether a value is right, only whether it can be one. Runs when a table is signed, and when
one that is not as signed is read. Worked value: x_b 40 in line 12 of invariants.csv is refused, 0.40 is allowed.
"""

import csv
import io
import math
import re
from collections.abc import Callable

from thermo.records.data_folder import folder
from thermo.records.errors import DataError
from thermo.records.table_forms import columns_of, form_of, may_be_empty

Check = Callable[[str], str | None]  # cell -> what is allowed, None where the cell is
UNIT = re.compile(
    r"_(C|K|pm|pct|Pa|J_mol|J2_mol2|J_mol_K[23]?|J_K_mol|g_cm3|g_cm3_K|cm3_mol|cm6_mol2|per_K|per_MK|mg_m3|ppm|g|mPa_s"
    r"|mol_per_mol|g_per_g|mol|V|A_cm2|cm|cm2_s|h)$"
)
WITHOUT_UNIT = re.compile(  # numbers of one, and those whose unit stands in the row
    r"^(x_?[ab1-4]?|x_high|x_b_sigma|x_[ab]_limit_in_[ab]|critical_x_b|count_[abc]|charge|valence|year|water"
    r"|(product|gas|step)_count|rows|rank|[abcd]|A|C|sigma_factor|measured_pairs|points|step|value|sigma|fusion_[ab]|covariance)$"
)
TEXT = ("dissent_pct",)  # several numbers in one cell
FRACTION = re.compile(r"^(x[1-4]?|x_b|x_high|x_b_sigma|x_[ab]_limit_in_[ab]|critical_x_b)$")
TEMPERATURE = re.compile(
    r"^(T|T_.*|melting_point|boiling_point|.*_limit|from|low|high|dry_by|eutectic|limit_T|critical_T)$"
)
POSITIVE = re.compile(
    r"^(count_[abc]|charge|valence|.*radius_pm|rho298_g_cm3|viscosity_mPa_s|(product|gas|step)_count)$"
)
YES_NO = ("yes", "no")
WORDS: dict[str, tuple[str, ...]] = {
    "origin": ("measured", "fitted", "estimated"),
    "boiling_point_origin": ("measured", "fitted", "estimated"),
    "status": ("fitted", "estimated"),
    "provenance": ("checked", "memory"),
    "unsure": YES_NO,
    "chosen": YES_NO,
    "common": YES_NO,
    "nitride": YES_NO,
    "used_in_fit": YES_NO,
    "used": YES_NO,
    "use": ("fit", "low", "no", "yes", "check"),
    "anion": ("F", "Cl"),
    "group": ("alkali", "alkaline earth", "rare earth", "zinc", "aluminium"),
    "melting": ("congruent", "incongruent", "decomposes", "unknown"),
    "extent": ("complete", "partial", "negligible"),
    "form": ("arrhenius", "polynomial"),
    "log_base": ("10", "e"),
    "deposit": ("liquid", "solid"),
}
KINDS: dict[tuple[str, str], tuple[str, ...]] = {
    ("fitted/joint_equations.csv", "kind"): ("melt", "hold"),
    ("invariants.csv", "kind"): ("eutectic", "peritectic", "congruent", "highest", "minimum", "polymorph", "none"),
    ("invariants.csv", "use"): ("fit", "low", "no"),
    ("mixing.csv", "use"): ("fit", "low", "no"),
    ("liquidus_sections.csv", "use"): ("fit", "low", "no"),
    ("double_salts.csv", "use"): YES_NO,
}
KEYS = {
    "salts.csv": ("formula",),
    "metals.csv": ("symbol",),
    "sources.csv": ("key",),
    "double_salts.csv": ("formula",),
    "triple_salts.csv": ("formula",),
    "hydrates.csv": ("bottle",),
    "observations.csv": ("word",),
    "vessels.csv": ("vessel",),
    "materials.csv": ("material",),
    "formation.csv": ("formula",),
    "viscosity_metals.csv": ("metal",),
    "gibbs/handbook.csv": ("formula",),
    "gibbs/reactants_handbook.csv": ("species",),
    "fires.csv": ("metal",),
    "harvest.csv": ("metal",),
    "drying_steps.csv": ("bottle", "step"),
}
COMMENTS = ("caveat", "note", "use", "used_in_fit", "unsure")
# partners in published pairs that are described nowhere else
OTHER_SALTS = {"AlCl3", "PrCl3", "SmCl3", "TbCl3", "ZnF2", "Al2O3", "CaO", "CaCrO4"}
OTHER_SALTS |= {"LiOH", "NaOH", "Li2CO3", "Na2CO3", "K2CO3"}


def check_table(name: str, content: bytes) -> list[dict[str, str]]:
    """The rows of a table, every cell allowed; DataError for the first that is not, or for a file of another form."""
    rows = _rectangle(name, content)
    if name.startswith("liquidus/"):
        _pair_of_its_name(name)
    columns, optional = columns_of(name), may_be_empty(name)
    checks = {column: _checks(name, column) for column in columns}
    for line, row in rows:
        for column, cell in row.items():
            if not cell.strip():
                allowed = None if column in optional else "a value; this cell may not be empty"
            else:
                allowed = next((said for check in checks[column] if (said := check(cell)) is not None), None)
            if allowed is not None:
                raise DataError(f"data/{name}, line {line}, {column} {cell!r}: allowed is {allowed}")
    _no_duplicates(name, rows)
    return [row for _, row in rows]


def _rectangle(name: str, content: bytes) -> list[tuple[int, dict[str, str]]]:
    """(line, row) of a plain text table with the columns of its form; DataError where the file is none."""
    if form_of(name) is None:
        raise DataError(f"data/{name}: not a table of this project; allowed are those of records/table_forms.py")
    if content.startswith(b"\xef\xbb\xbf"):
        raise DataError(f"data/{name}, line 1: starts with a byte order mark; allowed is plain UTF-8 without one")
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise DataError(f"data/{name}, line {line}: not UTF-8; allowed is plain UTF-8") from None
    if not text.endswith("\n"):
        raise DataError(
            f"data/{name}: cut off in line {text.count(chr(10)) + 1}; allowed is a line end after every row"
        )
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    wanted, rows = columns_of(name), []
    try:
        header = next(reader)
        if header != wanted:
            raise DataError(f"data/{name}, line 1: columns {_apart(header, wanted)}; allowed are {', '.join(wanted)}")
        for cells in reader:
            if len(cells) != len(wanted):
                raise DataError(
                    f"data/{name}, line {reader.line_num}: {len(cells)} cells; allowed are {len(wanted)}, one a column"
                )
            rows.append((reader.line_num, dict(zip(wanted, cells, strict=True))))
    except csv.Error as error:
        raise DataError(f"data/{name}, line {reader.line_num}: {error}; allowed is comma-separated text") from None
    if not rows:
        raise DataError(f"data/{name}: no rows; allowed is at least one")
    return rows


def _pair_of_its_name(name: str) -> None:
    a, mark, b = name.removeprefix("liquidus/").removesuffix(".csv").partition("-")
    strange = [formula for formula in (a, b) if formula not in _salts()]
    if not mark or strange:
        raise DataError(f"data/{name}: {' and '.join(strange)} in its name; allowed is SALT-SALT.csv of known salts")


def _apart(header: list[str], wanted: list[str]) -> str:
    missing = [column for column in wanted if column not in header]
    strange = [column for column in header if column not in wanted]
    parts = [f"lack {', '.join(missing)}"] if missing else []
    parts += [f"have {', '.join(map(repr, strange))}"] if strange else []
    return " and ".join(parts) or "stand in another order"


def _no_duplicates(name: str, rows: list[tuple[int, dict[str, str]]]) -> None:
    key = KEYS.get(name) or tuple(column for column in columns_of(name) if column not in COMMENTS)
    seen: dict[tuple[str, ...], int] = {}
    for line, row in rows:
        first = seen.setdefault(tuple(row[column] for column in key), line)
        if first != line:
            what = ", ".join(row[column] for column in key[:3])
            raise DataError(f"data/{name}, line {line}, {what}: stands in line {first} already; allowed is once")


def _checks(name: str, column: str) -> list[Check]:
    """What a cell of this column must pass, from the column's name."""
    words = KINDS.get((name, column)) or WORDS.get(column)
    if words:
        return [_one_of(words)]
    if column in ("source", "sources") or column.endswith("_source"):
        return [_keys_of(_column("sources.csv", "key") if name != "sources.csv" else set())]
    if re.fullmatch(r"salt(_[abc]|[1-4])?", column):
        return [_name_of("a salt of salts.csv or a compound of one of the tables", _salts())]
    if column == "metal":
        return [_name_of("a metal of metals.csv", _column("metals.csv", "symbol"))]
    if column not in TEXT and (UNIT.search(column) or WITHOUT_UNIT.match(column)):
        return [_number, *_spans(column)]
    return []


def _spans(column: str) -> list[Check]:
    quantity, _, unit = column.rpartition("_")
    if FRACTION.match(column):
        return [_between(0.0, 1.0)]
    if "sigma" in column:
        return [_between(0.0, math.inf)]
    if unit == "C" and TEMPERATURE.match(quantity):
        return [_between(-273.15, 5000.0)]
    if unit == "K" and TEMPERATURE.match(quantity):
        return [_between(0.0, 5000.0)]
    if POSITIVE.match(column):
        return [lambda cell: None if float(cell) > 0 else "a number above 0"]
    return []


def _number(cell: str) -> str | None:
    try:
        finite = math.isfinite(float(cell))
    except ValueError:
        finite = False
    return None if finite else "a number"


def _between(low: float, high: float) -> Check:
    words = f"a number from {low:g}" + (f" to {high:g}" if math.isfinite(high) else " up")
    return lambda cell: None if low <= float(cell) <= high else words


def _one_of(words: tuple[str, ...]) -> Check:
    return lambda cell: None if cell in words else " or ".join(words)


def _name_of(what: str, known: set[str]) -> Check:
    return lambda cell: None if cell in known else what


def _keys_of(known: set[str]) -> Check:
    def check(cell: str) -> str | None:
        strange = [key for key in re.split(r"[;, ]+", cell) if key and key not in known]
        return f"a key of sources.csv, and {strange[0]!r} is none" if strange else None

    return check


def _column(name: str, column: str) -> set[str]:
    """A column of a table as it stands; its own form is checked when its turn comes."""
    text = (folder() / name).read_text(encoding="utf-8", errors="replace")
    return {row.get(column) or "" for row in csv.DictReader(io.StringIO(text))}


def _salts() -> set[str]:
    tables = ("salts.csv", "double_salts.csv", "triple_salts.csv")
    return OTHER_SALTS.union(*(_column(name, "formula") for name in tables))
