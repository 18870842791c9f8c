"""Step 5: set the electrodes: which is which, how large, how far apart, what catches the metal.

A pool needs metal to begin with: POOL_CM deep over its area. The anode's sleeve dips into the melt, so that its gas
does not reach the pot's wall; it is of the first material of SLEEVES that is not unfit; in fluorides a hood.
Limits: one rod each; sleeves, cups and rods are common practice, no source. Worked value: 36 cm2 of aluminium half a
centimetre deep: 42 g.
"""

from thermo.answers.materials import judge_materials
from thermo.answers.plan.electrodes import POOL_CM
from thermo.answers.plan.setting import Setting
from thermo.answers.plan.step import COMPUTED, PlanStep
from thermo.laws.metal_density import metal_density
from thermo.records.composition import halide_at_the_anode
from thermo.records.substances import metal
from thermo.records.vessels import vessel_named

CUPS = {"Mg": "mild steel or magnesia", "Li": "mild steel", "Ca": "mild steel", "Na": "mild steel", "Al": "graphite",
        "Zn": "graphite", "Pb": "graphite", "Sr": "mild steel", "Ba": "mild steel"}  # fmt: skip
RODS = {"La": "tungsten or molybdenum", "Ce": "tungsten or molybdenum", "Nd": "tungsten or molybdenum",
        "Zn": "graphite", "Al": "graphite", "Pb": "graphite"}  # fmt: skip
SLEEVES = ("alumina", "magnesia", "boron nitride")  # the first that neither melt nor metal eats
HOOD = "under a hood or collar of graphite that leads its gas away (oxide sleeves dissolve in fluorides)"


def set_electrodes(setting: Setting) -> PlanStep:
    """The step."""
    poles = setting.electrodes
    inert = "an inert anode that stands oxygen" if setting.wish.anode == "inert" else "graphite"
    do = [
        f"plus pole (anode): {inert}, {poles.anode_cm:.1f} cm thick, {poles.anode_deep_cm:.1f} cm deep "
        f"({poles.geometry.anode_area_cm2:.1f} cm2, {poles.anode_A_cm2:.2g} A/cm2), "
        f"{_sleeve(setting)}",
        f"minus pole (cathode): {_cathode(setting)}",
        _gap(setting),
        _where(setting),
        "lower them warm and slowly; before the current goes on, see with a meter that plus is on the anode",
    ]
    figures: dict[str, float | str | None] = {
        "cathode_cm2": poles.geometry.cathode_cm2,
        "anode_cm2": poles.geometry.anode_area_cm2,
        "cathode_A_cm2": poles.cathode_A_cm2,
        "anode_A_cm2": poles.anode_A_cm2,
        "cathode_diameter_cm": poles.cathode_cm,
        "anode_diameter_cm": poles.anode_cm,
        "cathode_deep_cm": poles.cathode_deep_cm,
        "anode_deep_cm": poles.anode_deep_cm,
        "gap_cm": poles.geometry.gap_cm,
        "collects": setting.collects,
        "pool_g": pool_g(setting),
    }
    until = "no short between them, no froth, gas only from the anode"
    if_not = (
        "sparks or a jump of the voltage: a gas film on the anode (anode effect), halve the current, wipe the "
        "anode; a short: raise the electrodes and look"
    )
    return PlanStep(5, "Set the electrodes", tuple(do), setting.T_K, 0.25, figures, until, if_not, COMPUTED)


def _sleeve(setting: Setting) -> str:
    """What leads the anode's gas away."""
    wish = setting.wish
    if halide_at_the_anode(setting.melt) == "F":
        return HOOD
    judged = judge_materials(setting.melt, wish.symbol, setting.T_K, wish.atmosphere)
    fit = [verdict.name for verdict in judged if verdict.verdict != "unfit"]
    own = next((name for name in SLEEVES if name in fit), "graphite")
    return f"in a sleeve of {own} that dips 1 cm into the melt and leads its gas away (no chlorine at a metal pot)"


def pool_g(setting: Setting) -> float:
    """Metal that a pool needs to begin with, g; 0 where there is no pool."""
    kind = setting.cell.kind
    if kind.cathode != "pool":
        return 0.0
    density = metal_density(setting.wish.symbol, setting.T_K).value_g_cm3 if kind.host is None else (
        kind.host.density_g_cm3
    )  # fmt: skip
    return density * POOL_CM * setting.electrodes.geometry.cathode_cm2


def _pot_is_lead(setting: Setting) -> bool:
    """Whether the pot itself leads the current to the pool."""
    vessel = setting.wish.vessel
    return setting.cell.kind.cathode == "pool" and vessel is not None and vessel_named(vessel).name == "graphite"


def _cathode(setting: Setting) -> str:
    poles, kind = setting.electrodes, setting.cell.kind
    if kind.cathode == "pool":
        name = metal(setting.wish.symbol).name if kind.host is None else kind.host.name
        lead = (
            "the graphite pot is its lead"
            if _pot_is_lead(setting)
            else "its lead is a rod in an insulating sleeve down to the floor"
        )
        return (
            f"a pool of {name} on the floor, {poles.geometry.cathode_cm2:.1f} cm2 or more; lay {pool_g(setting):.0f} "
            f"g of {name} there with the charge and write its weight down; {lead}"
        )
    if kind.cathode == "contact":
        return f"a rod that just touches the melt, {poles.cathode_cm:.1f} cm thick, lifted as the stick grows"
    own = "mild steel" if kind.host is None else kind.host.name
    material = RODS.get(setting.wish.symbol, own) if kind.host is None else own
    return (
        f"{material} rod, {poles.cathode_cm:.1f} cm thick, {poles.cathode_deep_cm:.1f} cm deep "
        f"({poles.geometry.cathode_cm2:.1f} cm2, {poles.cathode_A_cm2:.2g} A/cm2)"
    )


def _gap(setting: Setting) -> str:
    gap = setting.electrodes.geometry.gap_cm
    if setting.cell.kind.cathode == "pool":
        lined = "a lining of boron nitride keeps the current off the pot's wall"
        wall = lined if _pot_is_lead(setting) else "the pot itself on neither pole"
        return f"gap {gap:.1f} cm from the anode's lower end down to the pool; {wall}"
    return f"gap {gap:.1f} cm between them; the pot itself on neither pole"


def _where(setting: Setting) -> str:
    """What catches the metal."""
    cup = CUPS.get(setting.wish.symbol, "molybdenum or tantalum")
    if setting.cell.kind.cathode == "pool":
        return "the metal goes into the pool: nothing else has to catch it"
    if setting.cell.kind.host is not None:
        return f"the alloy sinks: a dry cup of {cup} under the cathode, anode above and aside"
    return {
        "top": f"the metal rises: a dry bell (inverted cup) of {cup} round the cathode keeps the anode's gas and air "
        "off it; it is skimmed inside the bell",
        "bottom": f"the metal sinks: a dry cup of {cup} under the cathode, anode above and aside",
        "either": "whether the metal floats or sinks is too close to call: a bell above and a cup below, look in both",
        "rod": "the metal stays on the rod: hang it so that it can be lifted out without touching the pot",
    }[setting.collects]
