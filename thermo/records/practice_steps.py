"""What data/ says of drying and of harvesting: the steps of each bottle, and what each metal survives.

data/drying_steps.csv: steps of a bottle (a hydrate by its label, or a salt as it is) in order, with doses of ammonium
chloride and the water that is left a mole of salt. data/harvest.csv: one metal a row.
Worked value: MgCl2.6H2O has two steps, 160 deg C for 4 h and 410 deg C.
"""

from dataclasses import dataclass
from types import MappingProxyType

from thermo.records.composition import formula_mass
from thermo.records.hydrates import hydrates
from thermo.records.provenance import InputError, number, read_table
from thermo.records.remembered import remembered
from thermo.records.units import ZERO_C


@dataclass(frozen=True)
class DryingRow:
    """One step: temperature, hours, cover, doses, moles of water left a mole, words, source."""

    bottle: str
    step: int
    T_K: float
    hours: float
    cover: str
    nh4cl_mol_per_mol: float
    nh4cl_g_per_g: float
    water_left_mol: float
    do: str
    until: str
    source: str
    caveat: str

    @property
    def nh4cl_mol(self) -> float:
        """Ammonium chloride of this step, moles a mole of salt; a dose by mass counts the dried double salt."""
        double_salt = formula_mass("MgCl2") + formula_mass("NH4Cl")
        return self.nh4cl_mol_per_mol + self.nh4cl_g_per_g * double_salt / formula_mass("NH4Cl")


@dataclass(frozen=True)
class Harvest:
    """What a metal survives and how it is taken out, washed, melted together, remelted and kept."""

    metal: str
    water: str
    acid: str
    alcohol: str
    take_out: str
    wash: str
    coalesce_above_K: float
    flux: str
    remelt: str
    store: str
    never: str
    source: str
    caveat: str


@remembered
def drying_rows() -> MappingProxyType[str, tuple[DryingRow, ...]]:
    """Steps by bottle, in order."""
    found: dict[str, list[DryingRow]] = {}
    for row in read_table("drying_steps.csv"):
        step = DryingRow(
            bottle=row["bottle"],
            step=int(row["step"]),
            T_K=float(row["T_C"]) + ZERO_C,
            hours=float(row["time_h"]),
            cover=row["cover"],
            nh4cl_mol_per_mol=number(row["nh4cl_mol_per_mol"]) or 0.0,
            nh4cl_g_per_g=number(row["nh4cl_g_per_g"]) or 0.0,
            water_left_mol=float(row["water_left_mol"]),
            do=row["do"],
            until=row["until"],
            source=row["source"],
            caveat=row["caveat"],
        )
        found.setdefault(step.bottle, []).append(step)
    return MappingProxyType({bottle: tuple(steps) for bottle, steps in found.items()})


def rows_of(label: str) -> tuple[DryingRow, ...]:
    """The steps of a bottle; of a hydrate without its own those of the commonest hydrate of the salt."""
    if label in drying_rows():
        return drying_rows()[label]
    if label in hydrates():
        own = hydrates()[label].salt
        usual = [name for name in drying_rows() if name in hydrates() and hydrates()[name].salt == own]
        return drying_rows()[usual[0]] if usual else ()
    return ()


@remembered
def harvests() -> MappingProxyType[str, Harvest]:
    """Every metal's harvest by symbol."""
    found = {}
    for row in read_table("harvest.csv"):
        words = {name: row[name] for name in ("metal", "take_out", "wash", "flux", "remelt", "store", "never")}
        words |= {name: row[f"in_{name}"] for name in ("water", "acid", "alcohol")}
        words |= {name: row[name] for name in ("source", "caveat")}
        found[row["metal"]] = Harvest(coalesce_above_K=float(row["coalesce_above_K"]), **words)
    return MappingProxyType(found)


def harvest_of(symbol: str) -> Harvest:
    """The harvest of one metal; InputError where the data have none."""
    if symbol not in harvests():
        raise InputError(f"metal {symbol!r}: no row in data/harvest.csv (allowed: {', '.join(harvests())})")
    return harvests()[symbol]
