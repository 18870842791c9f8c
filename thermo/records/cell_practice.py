"""What data/ says of cells that were run: published cells, metals used as pools, oxides that baths dissolve.

data/published_cells.csv: one cell a row; volts, efficiency and gap where printed. data/trade_baths.csv: baths that the
trade uses, without a cell's figures. data/host_metals.csv: what lies at the bottom as a pool.
data/oxide_solubility.csv: mass% of oxide by the salt of the bath that takes it up.
Worked value: calcium on tin was run with more than 90 % efficiency (Bureau of Mines RI 9315).
"""

from dataclasses import dataclass
from types import MappingProxyType

from thermo.records.provenance import InputError, number, read_table, suggest
from thermo.records.remembered import remembered
from thermo.records.units import ZERO_C

CATHODES = ("rod", "pool", "contact")


@dataclass(frozen=True)
class PublishedCell:
    """One published cell; None where nothing was printed. Efficiencies as fractions."""

    name: str
    metal: str
    anion: str
    bath: str
    basis: str
    feed: str
    cathode: str
    cathode_metal: str
    T_K: float
    current_A_cm2: tuple[float, float] | None
    gap_cm: float | None
    cell_V: tuple[float, float] | None
    efficiency: tuple[float, float] | None
    source: str
    caveat: str


@dataclass(frozen=True)
class Host:
    """A metal used as a pool or as a cathode that takes the deposit up."""

    symbol: str
    name: str
    melting_point_K: float
    density_g_cm3: float
    alloy_melts_K: float | None
    alloy_with: str
    source: str


@dataclass(frozen=True)
class OxideSolubility:
    """Oxide that a bath of one salt takes up at T_K, mass%."""

    oxide: str
    salt: str
    T_K: float
    mass_pct: tuple[float, float]
    source: str


def _pair(row: dict[str, str], low: str, high: str, scale: float = 1.0) -> tuple[float, float] | None:
    first, last = number(row[low]), number(row[high])
    return None if first is None or last is None else (first * scale, last * scale)


@remembered
def published_cells() -> tuple[PublishedCell, ...]:
    """Every published cell, in file order."""
    return tuple(
        PublishedCell(
            name=row["cell"],
            metal=row["metal"],
            anion=row["anion"],
            bath=row["bath"],
            basis=row["basis"],
            feed=row["feed"],
            cathode=row["cathode"],
            cathode_metal=row["cathode_metal"],
            T_K=float(row["T_C"]) + ZERO_C,
            current_A_cm2=_pair(row, "current_low_A_cm2", "current_high_A_cm2"),
            gap_cm=number(row["gap_cm"]),
            cell_V=_pair(row, "cell_low_V", "cell_high_V"),
            efficiency=_pair(row, "efficiency_low_pct", "efficiency_high_pct", 0.01),
            source=row["source"],
            caveat=row["caveat"],
        )
        for row in read_table("published_cells.csv")
    )


@remembered
def baths_in_use() -> tuple[tuple[str, str, str, str], ...]:
    """Metal, bath, basis and source of every published cell's and every trade bath, each bath of a metal once."""
    cells = [(cell.metal, cell.bath, cell.basis, cell.source) for cell in published_cells()]
    trade = [(row["metal"], row["bath"], row["basis"], row["source"]) for row in read_table("trade_baths.csv")]
    return tuple({found[:3]: found for found in reversed([*cells, *trade])}.values())[::-1]


@remembered
def hosts() -> MappingProxyType[str, Host]:
    """Metals that serve as pools, by symbol."""
    found = {}
    for row in read_table("host_metals.csv"):
        alloy_C = number(row["alloy_melts_C"])
        found[row["host"]] = Host(
            symbol=row["host"],
            name=row["name"],
            melting_point_K=float(row["melting_point_C"]) + ZERO_C,
            density_g_cm3=float(row["density_g_cm3"]),
            alloy_melts_K=None if alloy_C is None else alloy_C + ZERO_C,
            alloy_with=row["alloy_with"],
            source=row["source"],
        )
    return MappingProxyType(found)


def host_named(word: str) -> Host:
    """A pool metal by its symbol; InputError with what is allowed."""
    if word not in hosts():
        raise InputError(f"cathode metal {word!r}: no data of such a pool{suggest(word, hosts())}")
    return hosts()[word]


@remembered
def oxide_solubilities() -> tuple[OxideSolubility, ...]:
    """Every row of the oxides that baths take up."""
    return tuple(
        OxideSolubility(
            oxide=row["oxide"],
            salt=row["salt"],
            T_K=float(row["T_C"]) + ZERO_C,
            mass_pct=(float(row["low_mass_pct"]), float(row["high_mass_pct"])),
            source=row["source"],
        )
        for row in read_table("oxide_solubility.csv")
    )


def printed_efficiency(symbol: str, anion: str, cathode: str, cathode_metal: str, feed: str) -> PublishedCell | None:
    """The published cell that is most like this one and prints an efficiency; None where there is none."""
    same = [c for c in published_cells() if c.metal == symbol and c.efficiency is not None]
    same = [c for c in same if (bool(c.feed) and c.feed == feed) or (not feed and c.feed in ("", "LiOH"))]
    same = [c for c in same if feed or c.anion == anion]
    if cathode_metal:
        same = [c for c in same if c.cathode_metal == cathode_metal]

    def unlike(cell: PublishedCell) -> tuple[bool, bool]:
        return cell.cathode != cathode, cell.cathode_metal != cathode_metal

    return min(same, key=unlike, default=None)
