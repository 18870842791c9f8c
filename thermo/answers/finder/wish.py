"""What is looked for: a metal, the salts at hand and whatever a melt of them has to keep.

Each condition has a name and the words that say what it keeps out; a search counts by these names. Cost is the user's
own, money a kg of salt; poison means barium salts (every fluoride is one too: leave fluorides out by not listing
them); trouble with water means a salt that no oven dries (thermo.laws.hydrolysis).
Limits: 1 to 5 salts a melt. Worked value: Wish("Na", ("NaCl", "CaCl2")) asks for any melt that gives sodium.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import combinations

import numpy as np

from thermo.answers.drift import LITTLE_LEFT
from thermo.answers.flotation import LIKELY, VERDICTS
from thermo.answers.ranking import Merits, Rank, melt_rank
from thermo.answers.window import Window, operating_window
from thermo.answers.window_limits import MARGIN_K
from thermo.laws.elements import HIGHEST_K, LOWEST_K
from thermo.laws.hydrolysis import hydrolysis_class
from thermo.records.baths import MOST_ALF3
from thermo.records.composition import Composition, anions
from thermo.records.provenance import InputError
from thermo.records.substances import metal, salt, salt_of, salts
from thermo.records.units import celsius

WANTS = {"floats": VERDICTS[:2], "sinks": VERDICTS[:-3:-1]}  # verdicts that answer the wish, the surest first
MOST_SALTS, MOST_IN_LIST = 5, 8
LEAST_OWN = LITTLE_LEFT / 100  # mass fraction of the metal's salt


@dataclass(frozen=True)
class Wish:
    """What is looked for. Temperatures in K, None: not asked; want 'floats', 'sinks' or None.

    chance: probability with which the metal has to do what is wanted and the melt has to be liquid as asked (None: as
    the verdict has it, and the value itself). margin_V: by how much the metal has to come first. share: least and most
    mass fraction of the metal's salts. vapour_Pa: most salt vapour at the working temperature. window_K: least width
    of the window. cost: money a kg by salt, most_cost of a kg of the mix.
    """

    symbol: str
    salts: tuple[str, ...]
    most: int = 3
    T_K: float | None = None
    want: str | None = None
    below_K: float | None = None
    superheat_K: float = 30.0
    deposit: str | None = None
    vessel: str | None = None
    atmosphere: str = "inert"
    chance: float | None = None
    margin_V: float | None = None
    share: tuple[float, float] = (LEAST_OWN, 1.0)
    vapour_Pa: float | None = None
    window_K: float | None = None
    poison: bool = True
    wet: bool = True
    cost: Mapping[str, float] = field(default_factory=dict, hash=False)
    most_cost: float | None = None

    @property
    def own_salts(self) -> tuple[str, ...]:
        """The salts of the list that hold the metal; InputError where none does."""
        found = tuple(formula for formula in self.salts if salt(formula).cation == self.symbol)
        if found:
            return found
        anion = salt(self.salts[0]).anion
        known = [f"add {s.formula}" for s in salts().values() if (s.cation, s.anion) == (self.symbol, anion)]
        needs = known[0] if known else "the data have no such salt"
        raise InputError(f"metal {self.symbol!r}: none of the salts {','.join(self.salts)} holds it ({needs})")

    @property
    def least_chance(self) -> float:
        """Probability of floating or sinking that passes."""
        return LIKELY if self.chance is None else self.chance

    def working_K(self, liquidus_K: np.ndarray) -> np.ndarray:
        """Temperatures at which melts with these liquidus temperatures are judged."""
        if self.T_K is not None:
            return np.full_like(liquidus_K, self.T_K)
        least = metal(self.symbol).melting_point_K + MARGIN_K if self.deposit == "liquid" else 0.0
        return np.maximum(liquidus_K + self.superheat_K, least)

    def rank(self, merits: Merits) -> Rank:
        """Sort key of one melt under these choices."""
        return melt_rank(merits, self.symbol, self.superheat_K, self.want, self.deposit)

    def window(self, melt: Composition, liquidus_K: float | None, sigma_K: float = 0.0) -> Window:
        """The operating window of one melt under these choices; liquidus_K None where it is unknown."""
        choices = (self.symbol, self.deposit, self.superheat_K, self.vessel, self.atmosphere)
        return operating_window(melt, liquidus_K, sigma_K, *choices)

    def price(self, masses: Mapping[str, float]) -> float | None:
        """Money a kg of a mix of these masses; None where a price is missing."""
        if any(formula not in self.cost for formula in masses):
            return None
        return sum(self.cost[formula] * mass for formula, mass in masses.items()) / sum(masses.values())

    def sets(self) -> list[tuple[str, ...]]:
        """Every set of 1 to `most` of the salts that could answer: it holds the metal, and its ions have both salts."""
        counts = range(1, min(self.most, len(self.usable)) + 1)
        found = [names for count in counts for names in combinations(self.usable, count)]
        return [names for names in found if set(names) & set(self.own_salts) and complete(names)]

    @property
    def usable(self) -> tuple[str, ...]:
        """The salts that poison and water leave."""
        kept = [f for f in self.salts if self.poison or salt(f).cation != "Ba"]
        return tuple(f for f in kept if self.wet or hydrolysis_class(f) != "hydrolyses")

    def check(self) -> None:
        """InputError for a metal none of the salts holds, a list that is too long, or an unknown choice."""
        metal(self.symbol)
        listed = f"salts {','.join(self.salts)}"
        longest = len(salts()) if set(self.salts) == set(salts()) else MOST_IN_LIST
        if not 1 <= len(self.salts) <= longest or len(set(self.salts)) != len(self.salts):
            raise InputError(f"{listed}: allowed are 1 to {MOST_IN_LIST} different salts")
        if not 1 <= self.most <= MOST_SALTS:
            raise InputError(f"at most {self.most} salts a melt: allowed is 1 to {MOST_SALTS}")
        if self.want is not None and self.want not in WANTS:
            raise InputError(f"want {self.want!r}: allowed are {' and '.join(WANTS)}")
        if self.chance is not None and not 0.5 <= self.chance < 1:
            raise InputError(f"chance {self.chance:g}: allowed is 0.5 to below 1")
        if not 0 <= self.share[0] < self.share[1] <= 1:
            raise InputError(f"share {self.share[0]:g} to {self.share[1]:g}: allowed is 0 to 1, the least first")
        if self.most_cost is not None and not self.cost:
            raise InputError("a cost limit needs the cost of the salts")
        own = self.own_salts[0]
        self.window(Composition((own,), (1.0,)), salt(own).melting_point_K)  # refuses an unknown deposit, vessel ...


def complete(names: tuple[str, ...]) -> bool:
    """Whether the data have every salt that these ions can form: what a mix of two anions needs."""
    held = anions(names)
    return len(held) < 2 or all(salt_of(salt(f).cation, anion) for f in names for anion in held)


def conditions(wish: Wish) -> dict[str, str]:
    """Name of each condition -> what the melts it keeps out have in common."""
    own, name = " and ".join(wish.own_salts), metal(wish.symbol).name
    sure = "" if wish.chance is None else f" with a chance of {100 * wish.chance:g} %"
    return {
        "poor": f"hold less than {100 * wish.share[0]:.3g} mass% {own}: the cathode would starve",
        "rich": f"hold more than {100 * wish.share[1]:.3g} mass% {own}",
        "dear": f"cost more than {wish.most_cost or 0:g} a kg, or have a salt without a price",
        "hot": f"freeze above the limit asked for{sure}",
        "frozen": f"are not molten with {wish.superheat_K:g} K to spare at the temperature given{sure}",
        "beyond": f"would be judged outside {celsius(LOWEST_K):.0f} to {celsius(HIGHEST_K):.0f} deg C: no voltages",
        "unknown": "freeze nobody knows where: for want of data the computed melt stays liquid",
        "thin": f"hold more than {100 * MOST_ALF3:.0f} mol% AlF3: no density",
        "side": f"are not at least likely to be a bath in which {name} {wish.want}",
        "second": f"do not give {name} first by {wish.margin_V or 0:g} V",
        "vapour": f"give off more than {wish.vapour_Pa or 0:g} Pa of salt vapour",
        "narrow": f"have a window narrower than {wish.window_K or 0:g} K",
    }
