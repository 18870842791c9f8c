"""Where to begin for each metal: a melt, a working temperature and the deposit, set with one tap.

Each melt is a place to start from, not a recommendation: simple baths of salts that can be bought, in mol%, at a
temperature inside the window computed for them (a test holds that). Limits: common practice, no source.
Worked value: START["Na"] is 48 NaCl, 52 CaCl2 at 600 deg C with a liquid deposit.
"""

from dataclasses import dataclass
from types import MappingProxyType

from thermo.present.page.state import OPENING, PageState


@dataclass(frozen=True)
class Start:
    """A melt in mol%, its working temperature in deg C and the deposit wanted."""

    amounts: tuple[tuple[str, float], ...]
    t_C: float
    deposit: str = "liquid"

    def page(self, symbol: str, now: PageState) -> PageState:
        """The page's state with this start; vessel, atmosphere and superheat stay."""
        return PageState(
            self.amounts, "mol", symbol, self.t_C, self.deposit, now.superheat_K, now.vessel, now.atmosphere
        )


START = MappingProxyType(
    {
        "Li": Start((("LiCl", 58.5), ("KCl", 41.5)), 450.0),
        "Na": Start((("NaCl", 48.0), ("CaCl2", 52.0)), 600.0),
        "K": Start((("KCl", 75.0), ("KF", 25.0)), 735.0),
        "Mg": Start(OPENING.amounts, OPENING.t_C),
        "Ca": Start((("CaCl2", 82.0), ("CaF2", 18.0)), 880.0),
        "Sr": Start((("SrCl2", 70.0), ("KCl", 30.0)), 830.0),
        "Ba": Start((("BaCl2", 80.0), ("BaF2", 20.0)), 940.0),
        "Al": Start((("NaF", 63.0), ("AlF3", 30.0), ("CaF2", 7.0)), 990.0),
        "Zn": Start((("ZnCl2", 60.0), ("KCl", 40.0)), 470.0),
        "La": Start((("LaF3", 25.0), ("LiF", 75.0)), 970.0),
        "Ce": Start((("CeF3", 20.0), ("LiF", 80.0)), 850.0),
        "Nd": Start((("NdF3", 30.0), ("LiF", 70.0)), 1060.0),
    }
)
