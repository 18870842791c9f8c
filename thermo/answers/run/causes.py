"""Evidence for each thing that can go wrong in a run, from the numbers of the run alone.

A cause gets a strength from 0 to 1: a probability from the normal distribution where temperatures or voltages are
compared with their spreads; losses of metal and charge in thermo.answers.run.losses. A poor yield calls on every
cause in
full, a good one on those of bad form only, and then in part (run.FORM) and where something was seen.
How far one goes from number to strength is judgement (the constants: common practice, no source); the numbers are not.
Limits: one cause at a time, each as if alone; shorts, stray currents, stirring and wetting are not computed.
Worked value: magnesium at 600 deg C, thermocouple within 10 K: solid, P = Phi(5) = 1.00.
"""

from statistics import NormalDist

import numpy as np

from thermo.answers.drift import LITTLE_LEFT, Bath, freezing_charge
from thermo.answers.evidence.start_of_freezing import COMPUTED, start_of_freezing
from thermo.answers.materials import judge_materials
from thermo.answers.run.facts import READING_K, Cause, Facts
from thermo.answers.run.losses import (
    boiled_off,
    burned_back,
    oxide_on_metal,
    salt_fumes,
    stopped_halfway,
    water_took_charge,
    where_it_went,
)
from thermo.laws.faraday import salt_g_per_Ah
from thermo.records.units import celsius

TRACE = 0.01  # activity of another metal in the deposit below which it is not a cause: common practice, no source
METER_V = 0.02  # standard deviation of an ordinary voltmeter: common practice, no source
RUN_OVER_V = 1.0  # over the decomposition voltage, for electrodes and bath: common practice, no source
UNFIT, WITH_CARE = 0.9, 0.2  # strength of a vessel with that verdict: common practice, no source


def phi(z: float) -> float:
    """Normal distribution."""
    return NormalDist().cdf(z)


def all_causes(facts: Facts) -> tuple[Cause, ...]:
    """Every cause with any strength, in no order; without a salt of the metal only those that do not need one."""
    looks = LOOKS if facts.run.own_salt is not None else WITHOUT_SALT
    return tuple(cause for look in looks for cause in look(facts) if cause.strength > 0)


def solid_deposit(facts: Facts) -> list[Cause]:
    """The metal is below its melting point: sponge, needles, salt held in it."""
    T, melts = facts.run.T_K, facts.element.melting_point_K
    chance = phi((melts - T) / float(np.hypot(READING_K, facts.element.melting_point_sigma_K)))
    side = f"{abs(melts - T):.0f} K {'below' if melts > T else 'above'} it"
    evidence = (
        f"{facts.element.name} melts at {celsius(melts):.0f} deg C, the run was {side}: solid with P {chance:.2f} "
        f"(reading good to {READING_K:.0f} K)"
    )
    remedy = (
        f"run at {celsius(melts) + 20:.0f} deg C or more, or take it solid on purpose: low current, frequent scraping"
    )
    return [
        Cause(
            "solid deposit",
            "the metal was below its melting point: a solid deposit",
            evidence,
            chance * facts.form,
            remedy,
        )
    ]


def frozen_bath(facts: Facts) -> list[Cause]:
    """The bath was partly frozen from the start."""
    own = facts.freezing
    start_K, sigma_K, how = own.T_K, own.sigma_K, f"{own.first_solid} first"
    if own.rests_on != COMPUTED and own.measured is not None:
        how = f"published, {100 * own.measured.rows[0].away:.1f} mol% away; computed {celsius(own.computed.T_K):.0f}"
    chance = phi((start_K - facts.run.T_K) / float(np.hypot(READING_K, sigma_K)))
    evidence = (
        f"starts to freeze at {celsius(start_K):.0f} +- {sigma_K:.0f} deg C ({how}), run at "
        f"{celsius(facts.run.T_K):.0f}: partly frozen with P {chance:.2f}"
    )
    safe_K = start_K + max(30.0, 2 * sigma_K)
    remedy = f"run at {celsius(safe_K):.0f} deg C or more, or take a lower-melting mix"
    return [
        Cause("bath partly frozen", "the bath was partly frozen from the start", evidence, chance * facts.form, remedy)
    ]


def drifted_bath(facts: Facts) -> list[Cause]:
    """The salt of the metal was used up far enough to freeze the bath or to starve the cathode."""
    if facts.bath is None:
        return []
    end = facts.bath.composition(facts.run.charge_Ah)
    after, before = start_of_freezing(end), facts.freezing

    def chance(point) -> float:
        return phi((point.T_K - facts.run.T_K) / float(np.hypot(READING_K, point.sigma_K)))

    formula = facts.bath.formula
    start, left = facts.bath.melt.mass_percent[formula], end.mass_percent[formula]
    moved = f"{formula} went from {start:.1f} to {left:.1f} mass% in {facts.run.charge_Ah:.3g} A h"
    frozen = (
        f"{moved}; freezing point from {celsius(before.T_K):.0f} to {celsius(after.T_K):.0f} +- {after.sigma_K:.0f} "
        f"deg C, run at {celsius(facts.run.T_K):.0f}"
    )
    short = float(np.clip((LITTLE_LEFT - left) / LITTLE_LEFT, 0.0, 1.0))
    rate = salt_g_per_Ah(formula) * facts.bath.efficiency
    feed = f"feed {rate:.3g} g of dry {formula} an ampere hour as it is used up"
    return [
        Cause(
            "bath drifted to freezing",
            "the bath drifted to its freezing point as its salt was used up",
            frozen,
            max(chance(after) - chance(before), 0.0) * facts.form,
            feed,
        ),
        Cause(
            "salt ran short",
            "the salt of the metal ran short",
            f"{moved}: below {LITTLE_LEFT:.0f} % the cathode starves",
            short * facts.form,
            feed,
        ),
    ]


def another_metal(facts: Facts) -> list[Cause]:
    """Another metal comes first or with it, or no salt holds the metal at all."""
    symbol, order = facts.run.symbol, facts.order
    if facts.run.own_salt is None:
        held = ", ".join(couple.metal for couple in order.couples)
        evidence = f"no salt of the bath holds {symbol}; it can give {held}"
        return [
            Cause(
                "no salt of the metal", "no salt of the bath holds the metal", evidence, 1.0, f"add a salt of {symbol}"
            )
        ]
    own, first = order.couple(symbol), order.first
    if len(order.couples) == 1:
        return []
    rival = order.couples[1] if own is first else first
    ahead = own.E_V - rival.E_V
    sigma = rival.gap_sigma_V if own is first else own.gap_sigma_V
    chance = phi(ahead / sigma) if sigma > 0 else float(ahead > 0)
    beside = rival.in_deposit if own is first else 1.0
    evidence = (
        f"{symbol} {own.E_V:.3f} V, {rival.metal} {rival.E_V:.3f} V ({abs(ahead):.3f} +- {sigma:.3f} V "
        f"{'later' if own is first else 'sooner'}): {rival.metal} first with P {chance:.2f}, its activity beside "
        f"{symbol} in balance {beside:.2g}"
    )
    remedy = f"take {rival.salt} out of the bath, or hold more {own.salt} at a lower current"
    return [
        Cause(
            "another metal",
            "another metal comes first or with it",
            evidence,
            max(chance, beside if beside > TRACE else 0.0) * facts.form,
            remedy,
        )
    ]


def too_few_volts(facts: Facts) -> list[Cause]:
    """The voltage did not reach the decomposition voltage."""
    if facts.run.volts is None or facts.run.own_salt is None:
        return []
    own = facts.order.couple(facts.run.symbol)
    sigma = float(np.hypot(own.sigma_V, METER_V))
    chance = phi((own.E_V - facts.run.volts) / sigma)
    evidence = f"{facts.run.volts:.2f} V against {own.E_V:.2f} +- {own.sigma_V:.2f} V to take {own.salt} apart"
    return [
        Cause(
            "voltage too low",
            "the voltage did not reach decomposition",
            evidence,
            chance * facts.shortfall,
            f"hold {own.E_V + RUN_OVER_V:.1f} V or more between electrodes",
        )
    ]


def more_than_possible(facts: Facts) -> list[Cause]:
    """Weighed more than Faraday, balance and meter allow: salt, oxide or another metal in it."""
    if not facts.too_much:
        return []
    chance = 2 * phi((facts.efficiency - 1) / facts.efficiency_sigma) - 1
    over_g = facts.run.weighed_g - facts.most_g
    evidence = (
        f"{facts.run.weighed_g:.4g} g weighed, {facts.run.charge_Ah:.3g} A h make at most {facts.most_g:.4g} g: "
        f"{over_g:.2g} +- {facts.efficiency_sigma * facts.most_g:.1g} g too much"
    )
    remedy = "melt it under flux or wash it and weigh again; check the ammeter"
    return [
        Cause(
            "more than the charge can make",
            "the weighed mass holds salt, oxide or another metal",
            evidence,
            chance,
            remedy,
        )
    ]


def vessel_reduced(facts: Facts) -> list[Cause]:
    """The pot stands the metal, the melt or the heat badly, or not at all."""
    if facts.run.vessel is None:
        return []
    judged = judge_materials(facts.run.composition, facts.run.symbol, facts.run.T_K, facts.run.atmosphere)
    (own,) = (verdict for verdict in judged if verdict.name == facts.run.vessel)
    if own.verdict == "fits":
        return []
    reduced = max((exchange.p_reduces for exchange in own.exchanges), default=0.0)
    chance = max(reduced, UNFIT if own.verdict == "unfit" else WITH_CARE)
    better = [v.name for v in judged if v.verdict == "fits" and "vessel" in v.roles][:3]
    remedy = f"another pot: {' or '.join(better)}" if better else "another pot; none in the table fits without care"
    return [
        Cause(
            "vessel reduced",
            "the vessel did not stand the metal, the melt or the heat",
            f"{own.name}: {'; '.join(own.reasons)}",
            chance * facts.form,
            remedy,
        )
    ]


def freezing_bath_g(facts: Facts) -> tuple[float, float] | None:
    """Bath mass below which drift would have frozen it in this run, and its sigma, g; None where it never freezes."""
    if facts.run.own_salt is None or facts.efficiency <= 0:
        return None
    trial_g = 1000.0
    trial = Bath(facts.run.composition, facts.run.symbol, trial_g, min(facts.efficiency, 1.0))
    freezes = freezing_charge(trial, facts.run.T_K)
    if freezes is None or freezes.charge_Ah == 0:
        return None
    mass_g = trial_g * facts.run.charge_Ah / freezes.charge_Ah
    return mass_g, mass_g * freezes.sigma_Ah / freezes.charge_Ah


LOOKS = (
    solid_deposit,
    frozen_bath,
    drifted_bath,
    another_metal,
    where_it_went,
    boiled_off,
    salt_fumes,
    water_took_charge,
    oxide_on_metal,
    burned_back,
    stopped_halfway,
    too_few_volts,
    more_than_possible,
    vessel_reduced,
)
WITHOUT_SALT = (another_metal, frozen_bath, salt_fumes, more_than_possible)
