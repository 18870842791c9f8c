"""Salts, metals and double salts as data/ describes them.

salts.csv: the melt components, written per cation (LiCl, CaCl2, LaF3), with melting point (K), heat of fusion (J/mol)
and their standard deviations (spread of the sources, at least 1 % on a heat of fusion: common practice, no source),
boiling point at 1 atm (K; empty where unknown; origin "fitted" where it follows from the tabulated vapour) and
Shannon's radius of the six-coordinate cation (pm).
metals.csv: the metals that may be made or used. double_salts.csv: compounds of two salts, named by their counts;
their dH and dS are fitted and live elsewhere.
Worked value: salt("NaCl").melting_point_K = 1073.8, metal("Mg").valence = 2.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from thermo.records.provenance import InputError, Origin, listed, number, read_table, suggest
from thermo.records.remembered import remembered

GROUPS = ("alkali", "alkaline earth", "rare earth", "zinc", "aluminium")  # salts of one group speak as one in a pair


@dataclass(frozen=True)
class Salt:
    """One component of a melt; temperatures in K, energies in J/mol of the formula, radius in pm."""

    formula: str
    name: str
    cation: str
    anion: str
    charge: int
    group: str
    cation_radius_pm: float
    melting_point_K: float
    melting_point_sigma_K: float
    fusion_enthalpy_J_mol: float
    fusion_enthalpy_sigma_J_mol: float
    boiling_point_K: float | None
    origin: Origin
    provenance: str
    sources: tuple[str, ...]
    caveat: str


@dataclass(frozen=True)
class Metal:
    """One metal; valence is the cation charge in its salt, so electrons per atom deposited."""

    symbol: str
    name: str
    valence: int
    melting_point_K: float
    melting_point_sigma_K: float
    boiling_point_K: float
    fusion_enthalpy_J_mol: float
    origin: Origin
    provenance: str
    sources: tuple[str, ...]
    caveat: str

    def state(self, T_K: float) -> str:
        """'solid', 'liquid' or 'vapour' (above the 1 atm boiling point) of the pure metal at T_K."""
        if self.melting_point_K > T_K:
            return "solid"
        return "liquid" if self.boiling_point_K > T_K else "vapour"


@dataclass(frozen=True)
class DoubleSalt:
    """A compound of two salts: stoichiometry is salt -> count, in the order of `pair`.

    melting: congruent, incongruent, decomposes or unknown. fitted: whether the fit gives it a dH and dS.
    entropy_J_mol_K, enthalpy_J_mol: published entropy and enthalpy of formation from the two salts per formula, where
    known.
    """

    formula: str
    stoichiometry: Mapping[str, int]
    pair: tuple[str, str]
    melting: str
    fitted: bool
    entropy_J_mol_K: float | None
    enthalpy_J_mol: float | None
    sources: tuple[str, ...]
    origin: Origin
    provenance: str
    caveat: str

    @property
    def tabulated(self) -> bool:
        """Whether both heat and entropy of formation are published."""
        return self.enthalpy_J_mol is not None and self.entropy_J_mol_K is not None


def _required(row: dict[str, str], column: str) -> float:
    value = number(row[column])
    if value is None:
        raise InputError(f"data/: {column} of {row.get('formula') or row.get('symbol')} is empty; a number is required")
    return value


def _keys(row: dict[str, str], *columns: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(row[column] for column in columns if row[column]))


def _salt(row: dict[str, str]) -> Salt:
    return Salt(
        formula=row["formula"],
        name=row["name"],
        cation=row["cation"],
        anion=row["anion"],
        charge=int(row["charge"]),
        group=listed(row, "group", GROUPS),
        cation_radius_pm=_required(row, "cation_radius_pm"),
        melting_point_K=_required(row, "melting_point_K"),
        melting_point_sigma_K=_required(row, "melting_point_sigma_K"),
        fusion_enthalpy_J_mol=_required(row, "fusion_enthalpy_J_mol"),
        fusion_enthalpy_sigma_J_mol=_required(row, "fusion_enthalpy_sigma_J_mol"),
        boiling_point_K=number(row["boiling_point_K"]),
        origin=Origin(row["origin"]),
        provenance=row["provenance"],
        sources=_keys(row, "source", "fusion_source", "boiling_point_source", "radius_source"),
        caveat=row["caveat"],
    )


def _metal(row: dict[str, str]) -> Metal:
    return Metal(
        symbol=row["symbol"],
        name=row["name"],
        valence=int(row["valence"]),
        melting_point_K=_required(row, "melting_point_K"),
        melting_point_sigma_K=_required(row, "melting_point_sigma_K"),
        boiling_point_K=_required(row, "boiling_point_K"),
        fusion_enthalpy_J_mol=_required(row, "fusion_enthalpy_J_mol"),
        origin=Origin(row["origin"]),
        provenance=row["provenance"],
        sources=_keys(row, "source"),
        caveat=row["caveat"],
    )


def _double_salt(row: dict[str, str]) -> DoubleSalt:
    pair = (row["salt_a"], row["salt_b"])
    counts = (int(row["count_a"]), int(row["count_b"]))
    return DoubleSalt(
        formula=row["formula"],
        stoichiometry=MappingProxyType(dict(zip(pair, counts, strict=True))),
        pair=pair,
        melting=row["melting"],
        fitted=row["use"] == "yes",
        entropy_J_mol_K=number(row.get("entropy_J_mol_K", "")),  # a column the file has only once a value is known
        enthalpy_J_mol=number(row.get("enthalpy_J_mol", "")),
        sources=_keys(row, "source"),
        origin=Origin(row["origin"]),
        provenance=row["provenance"],
        caveat=row["note"],
    )


@remembered
def salts() -> Mapping[str, Salt]:
    """All salts by formula, in file order."""
    return MappingProxyType({row["formula"]: _salt(row) for row in read_table("salts.csv")})


@remembered
def metals() -> Mapping[str, Metal]:
    """All metals by symbol, in file order."""
    return MappingProxyType({row["symbol"]: _metal(row) for row in read_table("metals.csv")})


@remembered
def double_salts() -> Mapping[str, DoubleSalt]:
    """All double salts by formula, in file order; some are of salts not in salts.csv (AlF3, ZnF2)."""
    return MappingProxyType({row["formula"]: _double_salt(row) for row in read_table("double_salts.csv")})


def salt(formula: str) -> Salt:
    """The salt of this formula; InputError with close matches for an unknown one."""
    if formula == "AlCl3":
        raise InputError(
            "salt 'AlCl3': it boils off at 180 deg C before it melts at 1 atm, and its melts with alkali chlorides are "
            "those of AlCl4 ions that no data here describe; allowed for aluminium are fluoride baths, as "
            "NaF=75 AlF3=25"
        )
    if formula not in salts():
        raise InputError(f"salt {formula!r} is not in the list{suggest(formula, salts())}")
    return salts()[formula]


@remembered
def salt_of(cation: str, anion: str) -> str | None:
    """Formula of the listed salt of these ions ('Mg', 'Cl'); None where there is none."""
    return next((f for f, component in salts().items() if (component.cation, component.anion) == (cation, anion)), None)


def shares_an_ion(a: str, b: str) -> bool:
    """Whether two salts are a system of their own, with solidus, gaps and compounds; others are a section."""
    return salt(a).anion == salt(b).anion or salt(a).cation == salt(b).cation


def listed_salt_of(cation: str, anion: str) -> str:
    """As `salt_of`; InputError where there is none."""
    formula = salt_of(cation, anion)
    if formula is None:
        raise InputError(f"{cation} with {anion}: no such salt in data/salts.csv")
    return formula


def metal(symbol: str) -> Metal:
    """The metal of this symbol; InputError with close matches for an unknown one."""
    if symbol not in metals():
        raise InputError(f"metal {symbol!r} is not in the list{suggest(symbol, metals())}")
    return metals()[symbol]
