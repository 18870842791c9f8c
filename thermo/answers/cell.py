"""Everything about one run of a cell: charge, metal, halogen, order of deposition, drift, losses, drops, voltage, heat.

Puts the single answers together; command line, page and run sheet show this record. What was not asked for (no bath
mass, no electrodes, nothing weighed) is None. The efficiency used for energy and drift is the one typed, else the one
weighed, else 1, and a note says which.
Worked value: 5 A for 2 h on magnesium: 10 A h, at most 4.534 g, 13.2 g of chlorine.
"""

from dataclasses import dataclass

from thermo.answers.cautions import cautions
from thermo.answers.deposition import DepositionOrder, deposition_order
from thermo.answers.drift import Drift, bath_drift, consumed_salt
from thermo.answers.droplet import DropTimes, drop_times
from thermo.answers.evidence.start_of_freezing import FreezingStart, start_of_freezing
from thermo.answers.power import (
    CellVoltage,
    Geometry,
    Heat,
    Range,
    cell_voltage,
    current_from_supply,
    heat_balance,
)
from thermo.laws.density import melt_density
from thermo.laws.faraday import (
    ATM_PA,
    BALANCE_SIGMA_G,
    ROOM_K,
    CurrentEfficiency,
    Halogen,
    charge_Ah,
    current_efficiency,
    energy_kWh_per_kg,
    fraction,
    halogen,
    metal_g,
    salt_g_per_Ah,
)
from thermo.laws.metal_solubility import (
    ELECTRONS_S_CM2,
    LOSS_FACTOR,
    MetalSolubility,
    electron_conductance,
    loss_current_density,
    metal_solubility,
)
from thermo.laws.ventilation import HOOD_M3_MIN, MIXING, ExposureLimit, dilution_air, limits_of
from thermo.records.composition import Composition, formula_mass, with_chloride_of
from thermo.records.substances import metal, salt
from thermo.records.units import celsius

DEPTH_CM = 5.0
DEPOSIT = {
    "solid": "solid: grows as dendrites, sponge or powder that hold salt; low current density, frequent scraping, then "
    "remelt under flux",
    "liquid": "liquid: drops grow together and collect; no dendrites",
    "vapour": "vapour: leaves the bath and burns in air; only a closed, cooled collector under inert gas holds it",
}


@dataclass(frozen=True)
class CellRun:
    """What the user typed: amps, hours, and the optional rest (None: not given)."""

    amps: float
    hours: float
    bath_g: float | None = None
    efficiency: float | None = None
    weighed_g: float | None = None
    weighed_sigma_g: float = BALANCE_SIGMA_G
    volts: float | None = None
    geometry: Geometry | None = None
    surface_cm2: float | None = None
    depth_cm: float = DEPTH_CM
    gas_K: float = ROOM_K
    gas_Pa: float = ATM_PA


@dataclass(frozen=True)
class Loss:
    """Metal that dissolves in the bath: solubility, current density lost (A/cm2, good to a factor of three)."""

    solubility: MetalSolubility
    loss_A_cm2: float | None
    best_efficiency: float | None
    text: str


@dataclass(frozen=True)
class CellAnswer:
    """One run of a cell; parts that were not asked for, or that the state of the metal rules out, are None."""

    composition: Composition
    metal: str
    T_K: float
    run: CellRun
    charge_Ah: float
    metal_g_max: float
    metal_g_expected: float
    efficiency_used: float
    weighed: CurrentEfficiency | None
    halogen: Halogen
    halogen_chosen: Halogen
    salt_g: float
    order: DepositionOrder
    liquidus: FreezingStart
    energy_kWh_per_kg: float | None
    drift: Drift | None
    deposit: str
    loss: Loss
    drops: DropTimes | None
    air_m3_min: tuple[tuple[ExposureLimit, float], ...]
    voltage: CellVoltage | None
    supply_A: Range | None
    heat: Heat | None
    efficiency_note: str

    @property
    def naming_note(self) -> str:
        """How the ions are named where the salt that is used up was not weighed in; '' where it was."""
        named = with_chloride_of(self.composition, self.metal)
        if set(named.salts) == set(self.composition.salts):
            return ""
        shares = ", ".join(f"{x:.1f} {formula}" for formula, x in named.mole_percent.items())
        return f"named by the chloride that is used up, the same ions are (mol%) {shares}"

    @property
    def cautions(self) -> tuple[str, ...]:
        """What the bath and the metal want watched."""
        return cautions(self.composition, self.metal)

    @property
    def notes(self) -> tuple[str, ...]:
        """What the parts have to say, each line once."""
        found = [
            *_frozen(self.liquidus, self.T_K),
            *self.liquidus.notes[: int(self.liquidus.measured is not None)],
            *self.order.notes,
            *(self.weighed.notes if self.weighed else ()),
        ]
        found += [
            self.naming_note,
            *self.halogen.notes,
            self.efficiency_note,
            *(self.drift.notes if self.drift else ()),
        ]
        found += _too_low(self.run.volts, self.order.couple(self.metal).E_V)
        return tuple(dict.fromkeys(note for note in found if note))

    @property
    def sources(self) -> tuple[str, ...]:
        """Keys of the sources of every part, each once."""
        keys = [*self.order.sources, *self.liquidus.sources, *self.loss.solubility.sources]
        keys += self.drops.sources if self.drops else ()
        keys += self.voltage.conductance.sources if self.voltage else ()
        return tuple(dict.fromkeys(keys))


def describe_cell(composition: Composition, symbol: str, T_K: float, run: CellRun) -> CellAnswer:
    """All answers for one run. InputError in one line for whatever cannot be."""
    state = metal(symbol).state(T_K)
    melt = composition.present
    formula, charge = consumed_salt(melt, symbol), charge_Ah(run.amps, run.hours)
    weighed = None
    if run.weighed_g is not None:
        weighed = current_efficiency(symbol, run.weighed_g, charge, run.weighed_sigma_g)
    typed = 1.0 if run.efficiency is None else fraction(run.efficiency, "current efficiency")
    used, said = _efficiency(run, typed, weighed)
    order, gas = deposition_order(melt, T_K, symbol), halogen(salt(formula).anion, charge)
    voltage, supply, heat = _electrical(melt, symbol, T_K, order.couple(symbol).E_V, run, used)
    return CellAnswer(
        composition=melt,
        metal=symbol,
        T_K=T_K,
        run=run,
        charge_Ah=charge,
        metal_g_max=metal_g(symbol, charge),
        metal_g_expected=metal_g(symbol, charge, typed),
        efficiency_used=used,
        weighed=weighed,
        halogen=gas,
        halogen_chosen=halogen(salt(formula).anion, charge, run.gas_K, run.gas_Pa),
        salt_g=salt_g_per_Ah(formula) * charge * used,
        order=order,
        liquidus=start_of_freezing(melt),
        energy_kWh_per_kg=None if run.volts is None else energy_kWh_per_kg(symbol, run.volts, used),
        drift=None if run.bath_g is None else bath_drift(melt, symbol, T_K, run.bath_g, charge, used),
        deposit=DEPOSIT[state],
        loss=metal_loss(melt, formula, T_K, None if voltage is None else voltage.cathode_A_cm2),
        drops=None if state == "vapour" else drop_times(melt, symbol, T_K, run.depth_cm),
        air_m3_min=dilution_table(gas.formula, gas.L / (60 * run.hours)),
        voltage=voltage,
        supply_A=supply,
        heat=heat,
        efficiency_note=said,
    )


def _electrical(
    melt: Composition, symbol: str, T_K: float, E_V: float, run: CellRun, efficiency: float
) -> tuple[CellVoltage | None, Range | None, Heat | None]:
    """Cell voltage, current from the supply and heat, as far as electrodes and volts were given."""
    voltage = supply = None
    if run.geometry is not None:
        voltage = cell_voltage(melt, T_K, symbol, E_V, run.amps, run.geometry)
        if run.volts is not None:
            supply = current_from_supply(melt, T_K, E_V, run.volts, run.geometry)
    volts = run.volts if run.volts is not None else voltage.total_V.mid if voltage else None
    if volts is None:
        return voltage, supply, None
    heat = heat_balance(consumed_salt(melt, symbol), T_K, run.amps, volts, efficiency, run.surface_cm2)
    return voltage, supply, heat


def _efficiency(run: CellRun, typed: float, weighed: CurrentEfficiency | None) -> tuple[float, str]:
    """Efficiency for energy and drift, and a line that says where it comes from."""
    if run.efficiency is not None:
        return typed, ""
    if weighed is not None and weighed.value > 0:
        return min(weighed.value, 1.0), f"energy and drift use the weighed efficiency, {100 * weighed.value:.1f} %"
    return 1.0, "no current efficiency given: 100 % taken, the most metal and the fastest drift"


def _frozen(freezing: FreezingStart, T_K: float) -> list[str]:
    if freezing.T_K <= T_K:
        return []
    return [
        f"at {celsius(T_K):.0f} deg C the bath is partly frozen: it starts to freeze ({freezing.first_solid}) at "
        f"{celsius(freezing.T_K):.0f} +- {freezing.sigma_K:.0f} deg C"
    ]


def _too_low(volts: float | None, E_V: float) -> list[str]:
    if volts is None or volts > E_V:
        return []
    return [f"{volts:g} V does not take the salt apart: it needs more than {E_V:.2f} V"]


def dilution_table(gas: str, release_L_min: float) -> tuple[tuple[ExposureLimit, float], ...]:
    """Air in m3/min that would hold the uncaptured gas at each published limit, perfectly mixed (K = 1)."""
    known = ((limit, limit.ppm) for limit in limits_of(gas))
    return tuple((limit, dilution_air(release_L_min, ppm) / 1000) for limit, ppm in known if ppm is not None)


def capture_note(air_m3_min: tuple[tuple[ExposureLimit, float], ...]) -> str:
    """One line: why the gas is caught at the anode and not diluted; '' where no limit is known."""
    if not air_m3_min:
        return ""
    limit, flow = max(air_m3_min, key=lambda entry: entry[1])
    return (
        f"uncaptured, it would take {flow:.3g} m3/min of perfectly mixed air to stay at {limit.name}, "
        f"{MIXING[0]:g} to {MIXING[1]:g} times that in a real room, "
        f"against about {HOOD_M3_MIN:g} m3/min of a fume hood: capture at the anode and scrub"
    )


def metal_loss(melt: Composition, formula: str, T_K: float, cathode_A_cm2: float | None = None) -> Loss:
    """What dissolving metal costs; best_efficiency only where a cathode current density is known."""
    share = with_chloride_of(melt, salt(formula).cation).mole_percent[formula] / 100
    found = metal_solubility(formula, T_K, share)
    if found.fraction is None:
        words = "metal and salt mix freely: no metal collects" if found.miscible else "no published value near"
        return Loss(found, None, None, words)
    mass = sum(x * formula_mass(f) for f, x in zip(melt.salts, melt.fractions, strict=True))
    loss = loss_current_density(found, melt_density(melt, T_K).value_g_cm3, mass)
    text = (
        f"about {100 * found.fraction:.2g} mol% dissolves; {loss:.2g} A/cm2 of cathode burns back to salt (within a "
        f"factor of {LOSS_FACTOR:g}): the efficiency rises with current density"
    )
    if formula in ELECTRONS_S_CM2:
        extra = electron_conductance(found, melt_density(melt, T_K).value_g_cm3, mass)
        text += f"; its electrons add about {extra:.2g} S/cm, a short circuit through the bath"
    best = None if cathode_A_cm2 is None else max(0.0, 1 - loss / cathode_A_cm2)
    return Loss(found, loss, best, text)
