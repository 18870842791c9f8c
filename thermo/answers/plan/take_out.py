"""Steps 7 and 8: hold so that drops join, or lift the rod; take the metal out.

Hold: until drops of 0.3 mm have crossed the bath, between 0.25 and 1 h; metal that dissolves in its salt is not held
longer than that. A little fluoride strips the oxide film of magnesium in chlorides (common practice, no source).
Limits: no computed step says how well drops join. Worked value: magnesium drops of 0.3 mm rise 6 cm in under a minute.
"""

from thermo.answers.cautions import metal_lines
from thermo.answers.plan.setting import Setting
from thermo.answers.plan.step import PRACTICE, PlanStep
from thermo.records.attack import fires
from thermo.records.composition import halide_at_the_anode
from thermo.records.practice_steps import harvest_of
from thermo.records.substances import metal
from thermo.records.units import celsius

DROP_MM = 0.3
SHORTEST_H, LONGEST_H = 0.25, 1.0
DISSOLVES = 0.01  # mole fraction of metal in its salt from which a hold costs some of it: a judgement


def steps_out(setting: Setting) -> tuple[PlanStep, ...]:
    """The two steps."""
    return (_hold(setting), _take_out(setting))


def _hold(setting: Setting) -> PlanStep:
    if setting.deposit == "solid":
        lift = (
            "current off; the deposit stays on the rod: lift it slowly and let the salt drip off above the melt, "
            "under argon",
        )
        return PlanStep(7, "Hold and lift", lift, setting.T_K, SHORTEST_H, {}, "no more salt drips",
                        "salt clings: chip it off cold", PRACTICE)  # fmt: skip
    if setting.cell.kind.host is not None:
        return _stand(setting)
    element, way = metal(setting.wish.symbol), harvest_of(setting.wish.symbol)
    T_K = min(max(setting.T_K, element.melting_point_K + way.coalesce_above_K), setting.window.high_K)
    drops = setting.cell.drops
    minutes = next((d.minutes for d in drops.drops if d.diameter_mm == DROP_MM), None) if drops else None
    hours = min(max((minutes or 0.0) / 60, SHORTEST_H), LONGEST_H)
    do = [f"current off, anode out; hold {60 * hours:.0f} min at {celsius(T_K):.0f} deg C so that drops join"]
    if minutes is not None:
        takes = "less than a minute" if minutes < 1 else f"about {minutes:.0f} min"
        do.append(f"a clean drop of {DROP_MM:g} mm takes {takes} through the bath, one in an oxide skin longer")
    do.append("stir once or twice gently with a warm dry rod")
    do += _film_and_loss(setting)
    if_not = "drops stay apart: oxide skins; stir again and wait; do not heat further"
    figures = {"hold_C": celsius(T_K), "drop_minutes": minutes}
    return PlanStep(7, "Hold and coalesce", tuple(do), T_K, hours, figures, "the metal lies together in one pool",
                    if_not, PRACTICE)  # fmt: skip


def _stand(setting: Setting) -> PlanStep:
    """The same where another metal has taken it up: it needs to mix, not to join."""
    host = setting.cell.kind.host
    name = "" if host is None else host.name
    do = (
        f"current off, anode out; let it stand {60 * SHORTEST_H:.0f} min at {celsius(setting.T_K):.0f} deg C",
        f"stir the {name} gently with a warm dry rod, so that what came last mixes in",
    )
    figures = {"hold_C": celsius(setting.T_K)}
    return PlanStep(7, "Hold and coalesce", do, setting.T_K, SHORTEST_H, figures, f"the {name} lies still and even",
                    "lumps on it: a solid compound; heat by 50 deg C and stir again", PRACTICE)  # fmt: skip


def _film_and_loss(setting: Setting) -> list[str]:
    found = []
    if setting.wish.symbol == "Mg" and halide_at_the_anode(setting.melt) == "Cl":
        found.append("where drops stay apart: 1 mass% of dry CaF2 or MgF2 strips the oxide film that keeps them so")
    dissolved = setting.cell.loss.solubility.fraction
    if dissolved is not None and dissolved > DISSOLVES:
        found.append(f"no longer than that: {100 * dissolved:.2g} mol% of the metal dissolves in its salt")
    return found


def _take_out(setting: Setting) -> PlanStep:
    symbol = setting.wish.symbol
    way = harvest_of(symbol)
    out = way.take_out
    if setting.cell.kind.host is not None:
        out = f"ladle or tap the alloy with the {setting.cell.kind.host.name}, or break it out of the frozen bath"
    elif setting.deposit == "solid":
        out = "let the rod cool under argon; break the deposit off cold"
    do = (
        out,
        "keep argon over the metal while it is hot"
        if setting.wish.atmosphere == "inert"
        else "keep flux over the metal while it is hot",
        "pour the bath into a warm dry steel tray, or let it freeze in the pot: it is used again",
    )
    burns = fires()[symbol].nitride or metal(symbol).valence == 1
    until = "the metal is cold under argon or flux; no oil on hot metal" if burns else "the metal is solid and cold"
    if_not = "it burns: lid on, powder on it, leave it; never water"
    cautions = tuple(metal_lines(symbol))
    return PlanStep(8, "Take the metal out", do, setting.T_K, 0.5, {}, until, if_not, PRACTICE, cautions)
