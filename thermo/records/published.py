"""Published melting and mixing data as data/ has them: invariants, liquidus points, mixing points, more salts.

Every row keeps its source, locator, origin, provenance and one standard deviation. `use` says what a fit may do with
it: fit, low (unsure, secondary or out of line: a quarter of the weight) or no (superseded, misprinted, repeated
elsewhere, or a fact without numbers); the reason stands in the caveat. x_b is the mole fraction of the second salt of
the pair, 0 to 1; T in K. Unknown numbers are None. No physics here, and salts need not be in data/salts.csv.
Asked for a pair, the readers return its rows in the order asked: x, solids' roles and quantities of a and b swapped
where the file has the salts the other way round.
Worked value: invariants("KCl", "LiCl") holds the eutectic of Chiotti et al. 1969 at x_b = 0.59 (LiCl), 627.05 K.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from thermo.records.data_folder import folder
from thermo.records.provenance import listed, number, read_table
from thermo.records.reference import PublishedRow, reference
from thermo.records.remembered import remembered
from thermo.records.units import kelvin

# "highest": temperature of a double salt, not said whether it melts there or falls apart
KINDS = ("eutectic", "peritectic", "congruent", "highest", "minimum", "polymorph", "none")
QUANTITIES = (
    "enthalpy_of_mixing_J_mol",
    "excess_gibbs_J_mol",
    "excess_potential_a_J_mol",
    "excess_potential_b_J_mol",
    "activity_a",
    "activity_b",
    "activity_coefficient_a_infinite",
    "activity_coefficient_b_infinite",
)


@dataclass(frozen=True)
class PublishedInvariant(PublishedRow):
    """A point where a melt of two salts meets the named solids at one temperature, or the note that there is none.

    x_b and its sigma are None where only a temperature was published, T_K where only a composition or a fact was.
    """

    pair: tuple[str, str]
    kind: str
    x_b: float | None
    x_b_sigma: float | None
    T_K: float | None
    T_sigma_K: float | None
    solids: tuple[str, ...]

    @property
    def known_T_K(self) -> tuple[float, float]:
        """T and its standard deviation; ValueError for a row that has none."""
        if self.T_K is None or self.T_sigma_K is None:
            raise ValueError(f"{self.kind} of {'-'.join(self.pair)} ({self.source}): no temperature was published")
        return self.T_K, self.T_sigma_K

    def flipped(self) -> "PublishedInvariant":
        """The same point with the salts in the other order."""
        return replace(self, pair=self.pair[::-1], x_b=_other(self.x_b))


@dataclass(frozen=True)
class PublishedPoint(PublishedRow):
    """A liquidus point: first solid(s) at x_b and T; solids is empty where the source does not name it."""

    pair: tuple[str, str]
    x_b: float
    T_K: float
    T_sigma_K: float
    solids: tuple[str, ...]

    @property
    def kind(self) -> str:
        """'liquidus', beside the kinds of invariants."""
        return "liquidus"

    @property
    def x_b_sigma(self) -> float | None:
        """None: not stated with any point."""
        return None

    def flipped(self) -> "PublishedPoint":
        """The same point with the salts in the other order."""
        return replace(self, pair=self.pair[::-1], x_b=1 - self.x_b)


@dataclass(frozen=True)
class MixingPoint(PublishedRow):
    """One mixing quantity of the liquid (names in QUANTITIES; J/mol, activities against the pure liquid)."""

    pair: tuple[str, str]
    quantity: str
    x_b: float
    T_K: float
    value: float
    sigma: float

    def flipped(self) -> "MixingPoint":
        """The same value with the salts in the other order: a quantity of a becomes one of b."""
        swap = {"_a_": "_b_", "_b_": "_a_"}
        quantity = f"{self.quantity}_"
        for old, new in swap.items():
            if old in quantity:
                quantity = quantity.replace(old, new)
                break
        return replace(self, pair=self.pair[::-1], quantity=quantity[:-1], x_b=1 - self.x_b)


@dataclass(frozen=True)
class MeltPoint(PublishedRow):
    """A published invariant or lowest point of a melt of three or four salts; `use` is 'fit' only where used_in_fit.

    fractions: empty where only the temperature was published.
    """

    salts: tuple[str, ...]
    fractions: tuple[float, ...]
    kind: str
    T_K: float
    T_sigma_K: float
    solids: tuple[str, ...]


@dataclass(frozen=True)
class MeltValue(PublishedRow):
    """One value measured on a whole melt: heat of fusion, or activity or excess potential of `of_salt` in it.

    quantity: enthalpy_of_fusion_J_mol (per mole of salt formulas), excess_potential_J_mol or activity.
    """

    salts: tuple[str, ...]
    fractions: tuple[float, ...]
    quantity: str
    of_salt: str
    T_K: float
    value: float
    sigma: float


def _other(x: float | None) -> float | None:
    return None if x is None else 1 - x


def _kelvin(text: str) -> float | None:
    t_C = number(text)
    return None if t_C is None else kelvin(t_C)


def _names(text: str) -> tuple[str, ...]:
    return tuple(text.split("+")) if text else ()


def _invariant(row: dict[str, str]) -> PublishedInvariant:
    return PublishedInvariant(
        reference=reference(row),
        pair=(row["salt_a"], row["salt_b"]),
        kind=listed(row, "kind", KINDS),
        x_b=number(row["x_b"]),
        x_b_sigma=number(row["x_b_sigma"]),
        T_K=_kelvin(row["T_C"]),
        T_sigma_K=number(row["T_sigma_K"]),
        solids=_names(row["solids"]),
    )


def _point(row: dict[str, str], pair: tuple[str, str]) -> PublishedPoint:
    return PublishedPoint(
        reference=reference(row),
        pair=pair,
        x_b=float(row["x_b"]),
        T_K=kelvin(float(row["T_C"])),
        T_sigma_K=float(row["T_sigma_K"]),
        solids=_names(row["solid"]),
    )


def _mixing(row: dict[str, str]) -> MixingPoint:
    return MixingPoint(
        reference=reference(row),
        pair=(row["salt_a"], row["salt_b"]),
        quantity=listed(row, "quantity", QUANTITIES),
        x_b=float(row["x_b"]),
        T_K=kelvin(float(row["T_C"])),
        value=float(row["value"]),
        sigma=float(row["sigma"]),
    )


def _composition(row: dict[str, str]) -> dict[str, tuple]:
    places = [n for n in "1234" if row[f"salt{n}"]]
    return {
        "salts": tuple(row[f"salt{n}"] for n in places),
        "fractions": tuple(float(row[f"x{n}"]) for n in places if row[f"x{n}"]),
    }


def _melt_value(row: dict[str, str]) -> MeltValue:
    return MeltValue(
        reference=reference(row),
        **_composition(row),
        quantity=row["quantity"],
        of_salt=row["of_salt"],
        T_K=kelvin(float(row["T_C"])),
        value=float(row["value"]),
        sigma=float(row["sigma"]),
    )


def _melt(row: dict[str, str]) -> MeltPoint:
    return MeltPoint(
        reference=reference(row),
        **_composition(row),
        kind=row["kind"],
        T_K=kelvin(float(row["T_C"])),
        T_sigma_K=float(row["T_sigma_K"]),
        solids=_names(row["solids"]),
    )


@remembered
def _all_invariants() -> tuple[PublishedInvariant, ...]:
    return tuple(_invariant(row) for row in read_table("invariants.csv"))


@remembered
def _all_points() -> tuple[PublishedPoint, ...]:
    found = []
    for path in sorted((folder() / "liquidus").glob("*.csv")):
        a, b = path.stem.split("-")
        found += [_point(row, (a, b)) for row in read_table(f"liquidus/{path.name}")]
    sections = read_table("liquidus_sections.csv")
    return (*found, *(_point(row, (row["salt_a"], row["salt_b"])) for row in sections))


@remembered
def _all_mixing() -> tuple[MixingPoint, ...]:
    return tuple(_mixing(row) for row in read_table("mixing.csv"))


@remembered
def _all_melts() -> tuple[MeltPoint, ...]:
    return tuple(_melt(row) for row in read_table("ternary.csv"))


@remembered
def _melts_by_salts() -> Mapping[frozenset[str], tuple[MeltPoint, ...]]:
    found: dict[frozenset[str], list[MeltPoint]] = {}
    for point in _all_melts():
        found.setdefault(frozenset(point.salts), []).append(point)
    return {names: tuple(points) for names, points in found.items()}


@remembered
def melt_values() -> tuple[MeltValue, ...]:
    """Values measured on whole melts (data/melt_values.csv), none of them fitted: what the tests hold the model to."""
    return tuple(_melt_value(row) for row in read_table("melt_values.csv"))


def _of_pair(rows: Iterable, a: str | None, b: str | None) -> tuple:
    if a is None and b is None:
        return tuple(rows)
    return tuple(row if row.pair == (a, b) else row.flipped() for row in rows if row.pair in ((a, b), (b, a)))


def invariants(a: str | None = None, b: str | None = None) -> tuple[PublishedInvariant, ...]:
    """Published invariants: all in file order, or those of one pair oriented a-b (x_b counts b)."""
    return _of_pair(_all_invariants(), a, b)


def liquidus_points(a: str | None = None, b: str | None = None) -> tuple[PublishedPoint, ...]:
    """Published liquidus points, sections with a double salt as an end member included; as `invariants`."""
    return _of_pair(_all_points(), a, b)


def melting_points(a: str | None = None, b: str | None = None) -> list[PublishedInvariant | PublishedPoint]:
    """Invariants, then liquidus points; as `invariants`."""
    return [*invariants(a, b), *liquidus_points(a, b)]


def mixing_points(a: str | None = None, b: str | None = None) -> tuple[MixingPoint, ...]:
    """Published mixing quantities of liquids of two salts; as `invariants`."""
    return _of_pair(_all_mixing(), a, b)


def ternary_points(*salts: str) -> tuple[MeltPoint, ...]:
    """Published points of melts of three and four salts: all, or those of exactly these salts in any order."""
    return _melts_by_salts().get(frozenset(salts), ()) if salts else _all_melts()
