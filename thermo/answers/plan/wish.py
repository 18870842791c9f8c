"""What a person has and wants: the question that a plan answers.

Masses in g, volumes in mL, lengths in cm, temperatures in K; None where it was not told.
Worked value: 25 g of magnesium from carnallite, NaCl and flake, in a 600 mL steel pot, with 12 V and 40 A.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from thermo.answers.power import check_cathode
from thermo.answers.window import check_wishes
from thermo.laws.faraday import positive
from thermo.laws.oxide_cell import oxide_named
from thermo.records.composition import Composition
from thermo.records.substances import metal


@dataclass(frozen=True)
class PlanWish:
    """The melt, the metal and how much of it, the bottles, the pot, the electrodes, the supply and the furnace."""

    composition: Composition
    symbol: str
    want_g: float
    total_g: float | None = None
    bottles: Mapping[str, str] = field(default_factory=dict)
    assays: Mapping[str, float] = field(default_factory=dict)
    supply_V: float | None = None
    supply_A: float | None = None
    furnace_W: float | None = None
    vessel: str | None = None
    pot_mL: float | None = None
    deposit: str | None = None
    atmosphere: str = "inert"
    T_K: float | None = None
    cathode: str | None = None
    cathode_metal: str | None = None
    feed: str | None = None
    anode: str = "carbon"

    def check(self) -> None:
        """InputError in one line for anything that cannot be."""
        metal(self.symbol)
        positive(self.want_g, "metal wanted", "g")
        for value, name, unit in (
            (self.total_g, "total", "g"),
            (self.supply_V, "supply voltage", "V"),
            (self.supply_A, "supply current", "A"),
            (self.furnace_W, "furnace power", "W"),
            (self.pot_mL, "pot", "mL"),
        ):
            if value is not None:
                positive(value, name, unit)
        if self.cathode is not None:
            check_cathode(self.cathode)
        if self.feed is not None:
            oxide_named(self.feed)
        check_wishes(self.symbol, self.deposit, 30.0, self.vessel, self.atmosphere)
