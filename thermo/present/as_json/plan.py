"""A plan as a plain dictionary: steps with their figures, or why there is none.

Figures carry their unit in their name; temperatures in deg C, times in h. Unknown is None.
Worked value: a plan that cannot be has possible false, no steps and a why_not that says what would open one.
"""

from thermo.answers.plan.feed import Feed
from thermo.answers.plan.picture import PotDrawing, pot_drawing
from thermo.answers.plan.setting import Setting
from thermo.answers.plan.step import Plan, PlanStep
from thermo.present.as_json.melt import composition_json, rounded
from thermo.records.provenance import cite
from thermo.records.units import celsius


def plan_json(plan: Plan) -> dict:
    """The whole plan."""
    return {
        "composition": composition_json(plan.wish.composition.present),
        "metal": plan.wish.symbol,
        "want_g": plan.wish.want_g,
        "possible": plan.possible,
        "why_not": plan.why_not or None,
        **_summary(plan.setting),
        "steps": [step_json(step) for step in plan.steps],
        "hours_total": rounded(plan.hours_total, 4),
        "pot": pot_json(pot_drawing(plan.setting)) if plan.setting is not None and plan.possible else None,
        "notes": list(plan.notes),
        "cautions": list(plan.cautions),
        "sources": cite(plan.sources),
    }


def _summary(setting: Setting | None) -> dict:
    """The figures that a person looks for first; None where the plan ended before they were had."""
    if setting is None:
        names = (
            "T_C",
            "deposit",
            "collects",
            "total_g",
            "weigh_g",
            "amps_A",
            "run_hours",
            "charge_Ah",
            "pot_mL",
            "feed",
        )
        return dict.fromkeys(names)
    return {
        "T_C": rounded(celsius(setting.T_K), 1),
        "deposit": setting.deposit,
        "collects": setting.collects,
        "total_g": rounded(setting.weighing.total_g, 6),
        "weigh_g": {label: rounded(grams, 6) for label, grams in setting.weighing.weigh_g.items()},
        "amps_A": rounded(setting.electrodes.amps, 6),
        "run_hours": rounded(setting.hours, 4),
        "charge_Ah": rounded(setting.charge_Ah, 4),
        "pot_mL": rounded(setting.pot.volume_mL, 1),
        "feed": _feed_json(setting.feed),
    }


def _feed_json(feed: Feed) -> dict | None:
    """What is fed while it runs, dry and by the bottle; None where nothing is."""
    if not feed.g:
        return None
    return {
        "substance": feed.substance,
        "g": rounded(feed.g, 6),
        "bottle": feed.bottle or None,
        "bottle_g": rounded(feed.bottle_g, 6) if feed.bottle else None,
        "brings_g": {formula: rounded(grams, 6) for formula, grams in feed.brings_g.items()},
        "start_g": rounded(feed.start_g, 6),
    }


def pot_json(drawing: PotDrawing) -> dict:
    """The picture as data: rectangles from the pot's inner left corner, upwards from its floor."""
    return {
        "width_cm": rounded(drawing.width_cm, 2),
        "height_cm": rounded(drawing.height_cm, 2),
        "title": drawing.title,
        "shapes": [
            {
                "kind": shape.kind,
                "left_cm": rounded(shape.left, 2),
                "bottom_cm": rounded(shape.bottom, 2),
                "width_cm": rounded(shape.width, 2),
                "height_cm": rounded(shape.height, 2),
                "label": shape.label or None,
                "side": shape.side,
            }
            for shape in drawing.shapes
        ],
    }


def step_json(step: PlanStep) -> dict:
    """One step."""
    return {
        "n": step.n,
        "title": step.title,
        "do": list(step.do),
        "T_C": None if step.T_K is None else rounded(celsius(step.T_K), 2),
        "hours": rounded(step.hours, 4),
        "figures": {name: rounded(v, 6) if isinstance(v, float) else v for name, v in step.figures.items()},
        "until": step.until,
        "if_not": step.if_not,
        "rests_on": step.rests_on,
        "cautions": list(step.cautions),
    }
