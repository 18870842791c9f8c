"""Where metal and charge can be lost: afloat, sunk, boiled off, to water, to oxide, dissolved, stopped halfway.

Part of thermo.answers.run.causes. A strength is the share of the loss that a mechanism can carry, or a chance from
densities with their spread, times the shortfall of the yield. Constants: common practice, no source.
Limits: equilibrium numbers; stirring, wetting and oxide skins are not in them.
Worked value: 8.9 A h lost would take 2.99 g of water, 1.5 % of a 200 g bath.
"""

import numpy as np

from thermo.answers.bath_vapour import bath_pressure, most_volatile
from thermo.answers.drying import WATER_BAR, doubt
from thermo.answers.halfway import halfway
from thermo.answers.run.facts import Cause, Facts
from thermo.answers.weighing import WATER_AH_G
from thermo.laws.faraday import ATM_PA
from thermo.laws.hydrolysis import halide_cover_bar, hydrolysis_class, oxide_route
from thermo.laws.metal_solubility import metal_solubility
from thermo.laws.volatility import metal_pressure
from thermo.records.composition import formula_mass, with_chloride_of
from thermo.records.units import celsius

# All of these: common practice, no source.
OVEN_DRY = 0.005  # mass fraction of water left in oven-dried salts
HELD_WATER = 0.02  # the same in salts that hydrolyse, or that came as hydrates
UNWEIGHED = 0.15  # strength of a cause whose number needs the mass of the bath, which was not told
METAL_PA, SALT_PA = 10132.5, 1000.0  # vapour pressures that cost metal, or salt
PLACE = 0.6  # strength of metal that floated or sank for certain: it may still have been caught
LOOSE = 0.3  # share of a solid deposit that comes off the cathode
INERT = 0.3  # chance that metal on top burns under inert gas, against 1 in air
FUMES = 0.2  # strength of salt vapour at SALT_PA: it seldom costs metal
SEEN, DISPUTED = 0.5, 0.25  # strength of an ion of lower charge where every report of these salts saw it, and else
FILM = 0.6  # strength of an oxide film where steam is certain to make oxide


def where_it_went(facts: Facts) -> list[Cause]:
    """Floated and burned, sank out of sight, or hung in the melt."""
    verdict = facts.verdict
    if verdict.p_float is None:
        return []
    p, air = verdict.p_float, facts.run.atmosphere == "air"
    loose = PLACE * facts.shortfall * (LOOSE if verdict.state == "solid" else 1.0)
    number = (
        f"melt minus metal {verdict.difference_g_cm3:+.3f} +- {verdict.sigma_g_cm3:.3f} g/cm3: {verdict.verdict} "
        f"(P float {p:.2f}); {facts.missing_g:.3g} g missing"
    )
    top = loose * p * (1.0 if air else INERT)
    hood = (
        "hood the cathode and lead argon in" if air else "hood the cathode; keep the gas space free of air and chlorine"
    )
    return [
        Cause(
            "floated and burned",
            "the metal floated and burned or met chlorine",
            f"{number}, {'air' if air else 'inert gas'} above",
            top,
            f"{hood}; flux cover",
        ),
        Cause(
            "sank",
            "the metal sank out of sight",
            number,
            loose * (1 - p),
            "look on the bottom; a cup there, or a heavier bath to float it",
        ),
        Cause(
            "hung in the melt",
            "the metal hung in the melt as fine drops",
            number,
            loose * (1 - abs(2 * p - 1)),
            "widen the density gap: heavier salt to float it, or a lighter bath",
        ),
    ]


def boiled_off(facts: Facts) -> list[Cause]:
    """Metal lost as vapour."""
    T, pressure = facts.run.T_K, metal_pressure(facts.run.symbol, facts.run.T_K)
    strength = 1.0 if facts.verdict.state == "vapour" else float(np.clip(pressure / METAL_PA, 0.0, 1.0))
    evidence = (
        f"vapour of {facts.element.name} at {celsius(T):.0f} deg C: {pressure / ATM_PA:.2g} atm, boils at "
        f"{celsius(facts.element.boiling_point_K):.0f}"
    )
    return [
        Cause(
            "metal boiled off",
            "the metal boiled off",
            evidence,
            strength * facts.shortfall,
            "run cooler; condense the vapour under argon",
        )
    ]


def salt_fumes(facts: Facts) -> list[Cause]:
    """Salt carried up by its vapour: a crust, and a bath that changes."""
    melt, T = facts.run.composition, facts.run.T_K
    pressure = bath_pressure(melt, T)
    evidence = f"vapour of the bath {pressure:.3g} Pa, mostly {most_volatile(melt, T)}; {SALT_PA:.0f} Pa fumes visibly"
    strength = FUMES * float(np.clip(pressure / SALT_PA, 0.0, 1.0)) * facts.form
    return [
        Cause(
            "salt vapour",
            "salt left as vapour",
            evidence,
            strength,
            "run cooler, or cover the pot; less of the volatile salt",
        )
    ]


def water_took_charge(facts: Facts) -> list[Cause]:
    """Residual water is electrolysed before the salt: 2 F per mole."""
    run = facts.run
    wet = bool(run.hydrates) or any(hydrolysis_class(f) == "hydrolyses" for f in run.composition.salts)
    fraction = HELD_WATER if wet else OVEN_DRY
    needed_g = facts.lost_Ah / WATER_AH_G
    head = (
        f"the {facts.lost_Ah:.3g} A h that made no metal would take {needed_g:.3g} g of water ({WATER_AH_G:.3f} A h/g)"
    )
    remedy = "dry the salts longer; pre-electrolyse below the metal's voltage until the current falls off"
    if run.bath_g is None:
        strength = UNWEIGHED * facts.shortfall
        return [
            Cause(
                "water took charge",
                "water left in the bath took the charge",
                f"{head}; the bath's mass was not told, so not judged",
                strength,
                remedy,
            )
        ]
    carried = min(fraction * run.bath_g / needed_g, 1.0) if needed_g > 0 else 0.0
    percent = 100 * needed_g / run.bath_g
    evidence = (
        f"{head}, {percent:.2g} % of the bath; such salts keep about {100 * fraction:.1f} % (common practice), which "
        f"can carry {100 * carried:.0f} % of the loss"
    )
    return [
        Cause(
            "water took charge", "water left in the bath took the charge", evidence, carried * facts.shortfall, remedy
        )
    ]


def oxide_on_metal(facts: Facts) -> list[Cause]:
    """Salts that steam turns to oxide: a film that keeps drops apart, sludge that holds them."""
    worst, salts = None, dict(zip(facts.run.composition.salts, facts.run.composition.fractions, strict=True))
    for formula, x in salts.items():
        reaction = oxide_route(formula)
        if reaction is None or hydrolysis_class(formula) not in ("hydrolyses", "hot only"):
            continue
        cover = float(halide_cover_bar(reaction, facts.run.T_K, WATER_BAR, x))
        if worst is None or cover > worst[0]:
            worst = (cover, reaction, x)
    if worst is None:
        return []
    cover, reaction, x = worst
    strength = FILM * float(np.clip(np.log10(cover / 1e-4) / 3, 0.0, 1.0)) * facts.form
    evidence = (
        f"at {celsius(facts.run.T_K):.0f} deg C {WATER_BAR:g} bar of steam makes {reaction.product} from "
        f"{reaction.salt} ({100 * x:.0f} mol%, ideal) unless {reaction.gas} is above {cover:.2g} bar"
        f"{doubt(reaction, facts.run.T_K)}"
    )
    film = "1 mass% of NaF, CaF2 or MgF2 strips the film, at the same temperature"
    remedy = f"dry gas over the melt; {reaction.gas} or NH4Cl before the metal; {film}"
    return [
        Cause(
            "oxide on the metal",
            "oxide from damp salt kept the drops apart",
            evidence,
            strength,
            remedy if reaction.gas == "HCl" else "dry gas over the melt",
        )
    ]


def burned_back(facts: Facts) -> list[Cause]:
    """Metal dissolves in its own salt and burns back at the anode."""
    run = facts.run
    if run.own_salt is None:
        return []
    x = with_chloride_of(run.composition, run.symbol).mole_percent[run.own_salt] / 100
    found = metal_solubility(run.own_salt, run.T_K, x)
    remedy = "run cooler; divide anode from cathode; lift the metal out often; less of its own salt"
    shortfall = facts.shortfall
    key = ("dissolved or burned back", "the metal dissolved in the bath and burned back to salt")
    if found.miscible:
        return [Cause(*key, f"{found.notes[0]}; {facts.missing_g:.3g} g missing", shortfall, remedy)]
    if found.fraction is None:
        words = f"{run.symbol} in {run.own_salt}: no published solubility at this temperature, so not judged"
        return [Cause(*key, words, UNWEIGHED * shortfall, remedy)]
    doubt = f"within a factor {np.exp(found.sigma_ln):.1f}"
    head = f"the bath takes up at most {100 * found.fraction:.2g} mol% {run.symbol} ({doubt})"
    if run.bath_g is None:
        strength = float(np.clip(found.fraction / 0.05, UNWEIGHED, 1.0))
        return [Cause(*key, f"{head}; {facts.missing_g:.3g} g missing", strength * shortfall, remedy)]
    moles = run.bath_g / run.composition.mean_formula_mass
    taken = found.fraction / (1 - found.fraction) * moles * formula_mass(run.symbol)
    share = min(taken / facts.missing_g, 1.0) if facts.missing_g > 0 else 0.0
    evidence = (
        f"{head}: {taken:.2g} g in {run.bath_g:g} g, of {facts.missing_g:.3g} g missing, once; more where it burns back"
    )
    return [Cause(*key, evidence, max(share, UNWEIGHED) * shortfall, remedy)]


def stopped_halfway(facts: Facts) -> list[Cause]:
    """Part of the current made an ion of lower charge instead of metal."""
    run = facts.run
    found = None if run.own_salt is None else halfway(run.composition, run.own_salt)
    if found is None:
        return []
    return [
        Cause(
            "stopped halfway",
            f"part of the current made {found.ion} instead of metal",
            found.evidence,
            (DISPUTED if found.disputed else SEEN) * facts.shortfall,
            "keep anode and cathode apart, raise the current density, or let a liquid metal take the deposit up",
        )
    ]
