"""What data/ says of metals against the things that hold them: fires, and materials that a metal eats.

data/metal_attack.csv: `dissolves` (the metal takes the material up: from the temperature given on it is unfit),
`leaches` (takes one part of it out), `enters`, `carbide`, `nitride`, `alloys` (slow: a limit, no refusal), `wets`
(spreads on it: no harm).
data/fires.csv: what puts a burning metal out, what must never touch it, whether it burns in nitrogen, how it is kept.
Worked value: nickel 200 holding magnesium: dissolves from 507 deg C, the eutectic of the two metals.
"""

from dataclasses import dataclass
from types import MappingProxyType

from thermo.records.provenance import number, read_table
from thermo.records.remembered import remembered
from thermo.records.units import ZERO_C


@dataclass(frozen=True)
class Attack:
    """One metal against one material; from_K is None where no temperature is known (then: at any)."""

    material: str
    metal: str
    kind: str
    from_K: float | None
    words: str
    source: str

    def unfit(self, T_K: float) -> bool:
        """Whether the material is taken up by the metal at this temperature."""
        return self.kind == "dissolves" and (self.from_K is None or self.from_K <= T_K)


@dataclass(frozen=True)
class Fire:
    """A burning metal: what puts it out, what never, whether it burns in nitrogen, how the metal is kept."""

    metal: str
    put_out_with: str
    never: str
    nitride: bool
    kept_under: str
    source: str


@remembered
def attacks() -> MappingProxyType[tuple[str, str], Attack]:
    """Every known attack by (material, metal)."""
    found = {}
    for row in read_table("metal_attack.csv"):
        from_C = number(row["from_C"])
        from_K = None if from_C is None else from_C + ZERO_C
        key = row["material"], row["metal"]
        found[key] = Attack(*key, row["kind"], from_K, row["words"], row["source"])
    return MappingProxyType(found)


def attack_by(symbol: str | None, material: str) -> Attack | None:
    """What a metal does to a material; None without a metal and where nothing is known."""
    return None if symbol is None else attacks().get((material, symbol))


@remembered
def fires() -> MappingProxyType[str, Fire]:
    """Every metal's fire by symbol."""
    rows = read_table("fires.csv")
    return MappingProxyType({row["metal"]: _fire(row) for row in rows})


def _fire(row: dict[str, str]) -> Fire:
    return Fire(
        row["metal"], row["put_out_with"], row["never"], row["nitride"] == "yes", row["kept_under"], row["source"]
    )
