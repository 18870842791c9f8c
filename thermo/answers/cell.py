"""Everything about one run of a cell: charge, metal, halogen, order of deposition, drift, losses, drops, voltage, heat.

Puts the single answers together; command line, page and run sheet show this record. What was not asked for (no bath
mass, no electrodes, nothing weighed) is None. The efficiency used for energy and drift is the one typed, else the one
weighed, else 1, and a note says which.
Worked value: 5 A for 2 h on magnesium: 10 A h, at most 4.534 g, 13.2 g of chlorine.
"""

from dataclasses import dataclass, replace

from thermo.answers.cautions import cautions
from thermo.answers.cell_kind import CellKind, cell_kind
from thermo.answers.deposition import DepositionOrder, deposition_order
from thermo.answers.drift import Drift, bath_drift, consumed_salt
from thermo.answers.droplet import DropTimes, drop_times
from thermo.answers.evidence.start_of_freezing import FreezingStart
from thermo.answers.fed_bath import fed_start
from thermo.answers.halfway import Halfway, halfway
from thermo.answers.heat import Heat, MeltingHeat, heat_balance, melting_heat, oxide_heat_balance
from thermo.answers.metal_loss import Loss, deposit_words, metal_loss
from thermo.answers.power import CellVoltage, Geometry, Range, cell_voltage, current_from_supply
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
    metal_g_per_Ah,
    positive,
    salt_g_per_Ah,
)
from thermo.laws.ventilation import ExposureLimit, dilution_table
from thermo.records.composition import Composition, with_chloride_of
from thermo.records.substances import metal, salt
from thermo.records.units import celsius

DEPTH_CM = 5.0


@dataclass(frozen=True)
class CellRun:
    """What the user typed: amps, hours, and the rest (None: not given). volts: the cell's, not the supply's."""

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
    cathode: str = "rod"
    cathode_metal: str | None = None
    alloy_x: float | None = None
    feed: str | None = None
    anode: str = "carbon"
    supply_V: float | None = None
    supply_A: float | None = None
    furnace_W: float | None = None


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
    kind: CellKind
    melting: MeltingHeat | None
    halfway: Halfway | None

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
            *([self.liquidus.dissolved.words] if self.liquidus.dissolved else ()),
            *self.liquidus.apart,
            *self.order.notes,
            *([self.halfway.text] if self.halfway else ()),
            *(self.weighed.notes if self.weighed else ()),
        ]
        found += [
            self.naming_note,
            *self.halogen.notes,
            *self.kind.notes,
            self.efficiency_note,
            *(self.drift.notes if self.drift else ()),
        ]
        found += _volts_notes(self.run.volts, self.kind.E_V, self.voltage)
        return tuple(dict.fromkeys(note for note in found if note))

    @property
    def sources(self) -> tuple[str, ...]:
        """Keys of the sources of every part, each once."""
        keys = [*self.order.sources, *self.liquidus.sources, *self.loss.solubility.sources]
        keys += self.drops.sources if self.drops else ()
        keys += self.voltage.conductance.sources if self.voltage else ()
        keys += self.kind.sources
        keys += self.halfway.sources if self.halfway else ()
        return tuple(dict.fromkeys(keys))


def describe_cell(composition: Composition, symbol: str, T_K: float, run: CellRun) -> CellAnswer:
    """All answers for one run. InputError in one line for whatever cannot be."""
    state = metal(symbol).state(T_K)
    melt = composition.present
    formula, charge = consumed_salt(melt, symbol), charge_Ah(run.amps, run.hours)
    weighed = _weighed(symbol, run, charge)
    typed = 1.0 if run.efficiency is None else fraction(run.efficiency, "current efficiency")
    used, said = _efficiency(run, typed, weighed)
    order = deposition_order(melt, T_K, symbol)
    gas = halogen(salt(formula).anion, charge)
    kind = cell_kind(melt, symbol, T_K, order, charge, used, run.cathode, run.cathode_metal, run.alloy_x, run.feed,
                     run.anode)  # fmt: skip
    voltage, supply, heat = _electrical(melt, symbol, T_K, kind, run, used)
    fed = kind.feed is not None
    host = "" if kind.host is None else kind.host.name
    chosen = halogen(salt(formula).anion, charge, run.gas_K, run.gas_Pa)
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
        halogen=_none_of(gas) if fed else gas,
        halogen_chosen=_none_of(gas) if fed else chosen,
        salt_g=0.0 if fed else salt_g_per_Ah(formula) * charge * used,
        order=order,
        liquidus=fed_start(melt, run.feed),
        energy_kWh_per_kg=None if run.volts is None else energy_kWh_per_kg(symbol, run.volts, used),
        drift=None if run.bath_g is None or fed else bath_drift(melt, symbol, T_K, run.bath_g, charge, used),
        deposit=deposit_words(state, run.cathode, host),
        loss=metal_loss(melt, formula, T_K, None if voltage is None else voltage.cathode_A_cm2),
        drops=None if state == "vapour" or host else drop_times(melt, symbol, T_K, run.depth_cm),
        air_m3_min=_air(kind, gas, run.hours),
        voltage=voltage,
        supply_A=supply,
        heat=heat,
        efficiency_note=said,
        kind=kind,
        melting=None if run.bath_g is None else melting_heat(melt, run.bath_g, T_K, run.furnace_W),
        halfway=None if host else halfway(melt, formula),
    )


def _weighed(symbol: str, run: CellRun, charge: float) -> CurrentEfficiency | None:
    """The efficiency of what was weighed; None where nothing was."""
    if run.weighed_g is None:
        return None
    return current_efficiency(symbol, run.weighed_g, charge, run.weighed_sigma_g)


def hours_for(symbol: str, grams: float, amps: float, efficiency: float = 1.0) -> float:
    """Hours that a current needs for grams of a metal."""
    return positive(grams, "metal wanted", "g") / (
        metal_g_per_Ah(symbol) * fraction(efficiency, "current efficiency") * positive(amps, "current", "A")
    )


def _none_of(gas: Halogen) -> Halogen:
    """No halogen: what a cell gives that takes an oxide apart."""
    return replace(gas, mol=0.0, g=0.0, L=0.0, NaOH_g=0.0, notes=())


def _air(kind: CellKind, gas: Halogen, hours: float) -> tuple[tuple[ExposureLimit, float], ...]:
    """Air against the halogen, or against CO where a carbon anode burns."""
    if kind.feed is None:
        return dilution_table(gas.formula, gas.L / (60 * hours))
    poison = [reaction for reaction in kind.feed.reactions if reaction.gas == "CO"]
    return dilution_table("CO", kind.feed.litres(poison[0]) / (60 * hours)) if poison else ()


def _electrical(
    melt: Composition, symbol: str, T_K: float, kind: CellKind, run: CellRun, efficiency: float
) -> tuple[CellVoltage | None, Range | None, Heat | None]:
    """Cell voltage, current from the supply and heat, as far as electrodes and volts were given."""
    voltage = supply = None
    fed = kind.feed is not None
    if run.geometry is not None:
        shape = replace(run.geometry, cathode=run.cathode)
        voltage = cell_voltage(melt, T_K, symbol, kind.E_V, run.amps, shape, fed)
        if run.supply_V is not None:
            supply = current_from_supply(melt, T_K, kind.E_V, run.supply_V, shape, run.supply_A, fed)
    volts = run.volts if run.volts is not None and not _of_a_supply(run.volts, voltage) else None
    if volts is None:
        volts = voltage.total_V.mid if voltage else run.volts
    if volts is None:
        return voltage, supply, None
    if kind.feed is not None:
        heat = oxide_heat_balance(kind.feed.main, run.amps, volts, efficiency, run.surface_cm2)
        return voltage, supply, heat
    heat = heat_balance(consumed_salt(melt, symbol), T_K, run.amps, volts, efficiency, run.surface_cm2)
    return voltage, supply, heat


def _of_a_supply(volts: float, voltage: CellVoltage | None) -> bool:
    """Whether volts typed for the cell can only be what a supply is set to."""
    return voltage is not None and volts > 1.5 * voltage.supply_V.high


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


def _volts_notes(volts: float | None, E_V: float, voltage: CellVoltage | None) -> list[str]:
    if volts is None:
        return []
    if volts <= E_V:
        return [f"{volts:g} V does not take the salt apart: it needs more than {E_V:.2f} V"]
    if voltage is not None and _of_a_supply(volts, voltage):
        total = voltage.total_V
        return [
            f"{volts:g} V is far above the {total.mid:.1f} V ({total.low:.1f} to {total.high:.1f}) of these electrodes "
            f"at {voltage.amps:g} A: taken as the setting of a supply, and the heat is counted at {total.mid:.1f} V"
        ]
    return []
