"""Which metal a melt gives up first, how far behind the next one is, and what that means for the deposit.

    E_i = E0_i(T) - (R T / z_i F) ln a_i        V; the lowest deposits first
E0 of thermo.laws.formation (liquid salt, halogen at 1 bar, condensed metal of activity 1, or its gas at 1 bar above its
boiling point, where that is lower), a_i of thermo.equilibrium.freezing.activity. A second metal behind by the gap d
stands in
balance with the first at the activity exp(-z F d / R T) in the deposit: at 700 deg C and z = 1 that is 3 % for 0.3 V.
Limits: balance, so small currents; a starved cathode takes the next metal too. Alloying is not computed.
Worked value: 20/40/40 mass% MgCl2-NaCl-KCl at 700 deg C, ideal: Mg 2.597 V.
"""

import math
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from thermo.equilibrium.freezing.activity import Activities, activities
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.laws.formation import Voltage, decomposition_voltage
from thermo.records.composition import Composition
from thermo.records.provenance import InputError, Origin
from thermo.records.substances import listed_salt_of, metal, salt
from thermo.records.units import F, R

ALLOY_V = 0.1  # below this gap the two metals come together; up to TRACES_V traces: common practice, no source
TRACES_V = 0.3
LITTLE_CHLORIDE = 0.05  # share of the anions: common practice, no source
SURE = 0.95  # chance below which the order of two metals is too close to call, as for float or sink
NEAR_TIES = {
    ("Cl", frozenset(("Na", "Ca"))): "NaCl and CaCl2 take the same voltage within 0.04 V from 500 to 900 deg C: their "
    "amounts decide. Sodium made here holds calcium, which drops out as the sodium cools (common practice)",
    ("Cl", frozenset(("Li", "Sr"))): "LiCl and SrCl2 lie 0.06 V apart, lithium first at equal activity",
    ("Cl", frozenset(("K", "Ba"))): "KCl and BaCl2 lie 0.07 V apart, potassium first at equal activity: barium is not "
    "won from a bath that holds potassium, sodium, calcium, strontium or lithium",
    ("Cl", frozenset(("K", "Sr"))): "KCl and SrCl2 lie 0.05 V apart, strontium first at equal activity",
    ("Cl", frozenset(("Li", "Ca"))): "LiCl and CaCl2 lie 0.1 V apart, calcium first at equal activity",
    ("Cl", frozenset(("K", "Rb"))): "KCl and RbCl take the same voltage within their spread",
    ("F", frozenset(("Na", "K"))): "NaF and KF take the same voltage within 0.01 V",
    ("F", frozenset(("Li", "Ca"))): "LiF and CaF2 lie 0.03 V apart",
    ("F", frozenset(("Sr", "Ba"))): "SrF2 and BaF2 take the same voltage within 0.01 V",
}
FLUORIDE_ORDER = (
    "fluorides do not follow the order of the chlorides: sodium and potassium come before the rare earths and about "
    "level with magnesium, lithium and the other alkaline earths after them"
)
RARE_EARTHS = ("La", "Ce", "Nd")


@dataclass(frozen=True)
class Couple:
    """One metal of the melt: voltage and spread, gap above the first metal and its spread, activity of its salt.

    metal_state 'condensed' or 'gas' (1 bar); in_deposit: its activity in a deposit of the first metal, in balance.
    """

    metal: str
    salt: str
    E_V: float
    sigma_V: float
    E0_V: float
    metal_state: str
    gap_V: float
    gap_sigma_V: float
    mole_fraction: float
    activity: float
    activity_sigma: float
    in_deposit: float

    @property
    def p_behind(self) -> float:
        """Chance that the first metal does come before this one."""
        return NormalDist().cdf(self.gap_V / self.gap_sigma_V) if self.gap_sigma_V > 0 else 1.0

    @property
    def behind(self) -> str:
        """The gap with its spread, V, without the unit."""
        return f"{self.gap_V:.2f} +- {self.gap_sigma_V:.2f}"


@dataclass(frozen=True)
class DepositionOrder:
    """Metals of a melt at T_K in the order they deposit, what the gap means, and plain words about it."""

    composition: Composition
    T_K: float
    couples: tuple[Couple, ...]
    meaning: str
    p_first: float
    status: Origin
    notes: tuple[str, ...]
    sources: tuple[str, ...]

    @property
    def first(self) -> Couple:
        """The metal that deposits first."""
        return self.couples[0]

    @property
    def margin_V(self) -> float | None:
        """Gap between the first metal and the next; None where the melt holds one metal."""
        return self.couples[1].gap_V if len(self.couples) > 1 else None

    @property
    def first_words(self) -> str:
        """The first metal, or the first two where the data cannot tell them apart, and the gap to the next."""
        if len(self.couples) < 2:
            return self.first.metal
        if self.p_first < SURE:
            return f"{self.first.metal} or {_rival(self.couples).metal}, too close to call"
        second = self.couples[1]
        return f"{self.first.metal}, {second.behind} V before {second.metal}"

    def standing(self, symbol: str) -> tuple[str, bool]:
        """Whether a metal deposits first, in one line ('' where the melt holds no other); True where it does not."""
        own = next((c for c in self.couples if c.metal == symbol), None)
        if own is None or len(self.couples) < 2:
            return "", False
        first, second = self.couples[:2]
        if (self.p_first if own is first else own.p_behind) < SURE:
            other = _rival(self.couples) if own is first else first
            return f"Whether {symbol} or {other.metal} deposits first is too close to call.", False
        if own is not first:
            return f"Not first to deposit: {first.metal} comes {own.behind} V before it.", True
        alloy = ": expect an alloy" if self.meaning == "alloy" else ""
        return f"Deposits first, {second.behind} V before {second.metal}{alloy}.", False

    def couple(self, symbol: str) -> Couple:
        """The row of one metal; InputError where no salt of the melt holds it."""
        for entry in self.couples:
            if entry.metal == symbol:
                return entry
        held = ", ".join(entry.metal for entry in self.couples)
        raise InputError(f"metal {symbol!r}: no salt of this melt holds it (allowed: {held})")


def deposition_order(
    composition: Composition, T_K: float, wanted: str | None = None, system: SaltSystem | None = None
) -> DepositionOrder:
    """Order of deposition at T_K; `wanted` adds a line that says whether that metal is first.

    With two anions every metal is ranked against chlorine, and a note says how much later fluorine comes.
    """
    acts = activities(composition, T_K, system)
    standard = [decomposition_voltage(formula, T_K) for formula in acts.salts]
    charges = np.array([salt(formula).charge for formula in acts.salts])
    E = np.array([v.value_V for v in standard]) - R * T_K / (charges * F) * np.log(acts.values)
    covariance = acts.covariance_J2_mol2 / np.outer(charges * F, charges * F)
    covariance += np.diag([v.sigma_V**2 for v in standard])
    ranked = [int(i) for i in np.argsort(E, kind="stable")]
    couples = tuple(_couple(i, ranked[0], E, covariance, acts, standard[i]) for i in ranked)
    p_first = _chance_first(couples)
    if wanted is not None:
        metal(wanted)
    notes = [*_meaning_notes(couples, p_first), *_wanted_notes(couples, wanted), *_known_ties(couples)]
    notes += [*_gas_notes(couples), *_halogen_notes(acts, couples[0]), *_estimated(acts)]
    keys = [key for v in standard for key in v.sources] + list(acts.sources)
    return DepositionOrder(
        composition.present,
        T_K,
        couples,
        gap_meaning(couples[1].gap_V if len(couples) > 1 else math.inf),
        p_first,
        acts.status,
        tuple(dict.fromkeys(notes)),
        tuple(dict.fromkeys(keys)),
    )


def _couple(i: int, first: int, E: np.ndarray, covariance: np.ndarray, acts: Activities, standard: Voltage) -> Couple:
    record = salt(acts.salts[i])
    gap = float(E[i] - E[first])
    variance = covariance[i, i] + covariance[first, first] - 2 * covariance[i, first]
    activity = float(acts.values[i])
    return Couple(
        metal=record.cation,
        salt=record.formula,
        E_V=float(E[i]),
        sigma_V=math.sqrt(covariance[i, i]),
        E0_V=standard.value_V,
        metal_state=standard.metal_state,
        gap_V=gap,
        gap_sigma_V=math.sqrt(max(variance, 0.0)),
        mole_fraction=float(acts.fractions[i]),
        activity=activity,
        activity_sigma=activity * float(acts.sigma_ln[i]),
        in_deposit=math.exp(-record.charge * F * gap / (R * acts.T_K)),
    )


def _rival(couples: tuple[Couple, ...]) -> Couple:
    """Of two metals or more the one that may come before the first likeliest."""
    return min(couples[1:], key=lambda couple: couple.p_behind)


def _chance_first(couples: tuple[Couple, ...]) -> float:
    """Chance that the first metal is the first, against the likeliest rival."""
    return _rival(couples).p_behind if len(couples) > 1 else 1.0


def gap_meaning(gap_V: float) -> str:
    """'alloy' below 0.1 V, 'traces' to 0.3 V, 'clean' above: rule of thumb, common practice."""
    if gap_V < ALLOY_V:
        return "alloy"
    return "traces" if gap_V < TRACES_V else "clean"


def _meaning_notes(couples: tuple[Couple, ...], p_first: float) -> list[str]:
    if len(couples) == 1:
        return [f"only {couples[0].metal} can deposit"]
    first, second = couples[:2]
    words = {
        "alloy": "expect an alloy of both",
        "traces": f"expect {first.metal} with traces to some percent of {second.metal}",
        "clean": f"{first.metal} comes clean until its salt runs short at the cathode",
    }[gap_meaning(second.gap_V)]
    notes = [
        f"{first.metal} before {second.metal} by {second.gap_V:.3f} +- {second.gap_sigma_V:.3f} V: {words} "
        f"(activity of {second.metal} in balance {_percent(second.in_deposit)})"
    ]
    if p_first < SURE:
        notes.append(f"which of {first.metal} and {_rival(couples).metal} comes first is too close to call")
    return notes


def _percent(share: float) -> str:
    return f"{100 * share:.2g} %" if share > 1e-4 else "below 0.01 %"


def _wanted_notes(couples: tuple[Couple, ...], wanted: str | None) -> list[str]:
    if wanted is None or couples[0].metal == wanted:
        return []
    own = [c for c in couples if c.metal == wanted]
    if not own:
        return [f"no salt of this melt holds {wanted}: none can deposit"]
    before = ", ".join(c.metal for c in couples[: couples.index(own[0])])
    gap, spread = own[0].gap_V, own[0].gap_sigma_V
    if own[0].p_behind < SURE:
        return [
            f"{wanted} is not clearly first: {before} computed {gap:.3f} +- {spread:.3f} V easier, too close to call"
        ]
    return [f"{wanted} is not first: {before} before it, {gap:.3f} V easier; this bath gives {couples[0].metal}"]


def _known_ties(couples: tuple[Couple, ...]) -> list[str]:
    """Near ties among the metals that could join the first one, and the order of fluorides where it surprises."""
    anion = salt(couples[0].salt).anion
    close = [c.metal for c in couples if c.gap_V < TRACES_V]
    notes = [text for (ion, pair), text in NEAR_TIES.items() if ion == anion and pair <= set(close)]
    held = {c.metal for c in couples}
    if anion == "F" and held & {"Na", "K", "Rb", "Cs"} and held & {*RARE_EARTHS, "Mg"}:
        notes.append(FLUORIDE_ORDER)
    return notes


def _gas_notes(couples: tuple[Couple, ...]) -> list[str]:
    return [
        f"{c.metal} is above its boiling point: its voltage is that of the vapour at 1 bar, which leaves the bath and "
        "burns in air"
        for c in couples
        if c.metal_state == "gas" and c.gap_V < TRACES_V
    ]


def _halogen_notes(acts: Activities, first: Couple) -> list[str]:
    """Of two anions: what the anode gives, by how much, and how little chloride there may be."""
    if acts.ln_fluorides is None:
        return []
    own = listed_salt_of(first.metal, "F")
    charge = salt(own).charge
    log = float(acts.ln_fluorides[acts.salts.index(first.salt)])
    later = decomposition_voltage(own, acts.T_K).value_V - R * acts.T_K / (charge * F) * log - first.E_V
    share = float(acts.fractions.sum())
    notes = [f"the anode gives chlorine: fluorine from this melt would take {later:.1f} V more"]
    if share < LITTLE_CHLORIDE:
        notes.append(
            f"only {100 * share:.2g} % of the anions are chloride: once it is short at the anode, fluorides follow "
            "(CF4 and anode effect on carbon)"
        )
    return notes


def _estimated(acts: Activities) -> list[str]:
    if acts.status == Origin.FITTED:
        return []
    return ["activities rest in part on the size rule, not on measurements of all pairs"]
