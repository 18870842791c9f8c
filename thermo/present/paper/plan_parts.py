"""The plan on paper: each step with boxes to tick, until when and what if not; the pot in section.

Written from the plan's dictionary alone. How words become a paragraph is handed in, so that the sheet has one hand.
Limits: a picture in true proportion, at most 55 mm high. Worked value: a step of three lines to do has three boxes.
"""

from collections.abc import Callable

from reportlab.graphics.shapes import Drawing, Line, Rect, String
from reportlab.lib.colors import HexColor, black
from reportlab.lib.units import mm
from reportlab.lib.utils import simpleSplit
from reportlab.platypus import Flowable

from thermo.present.words.written import plain

HIGH, SIDE = 55 * mm, 52 * mm  # of the pot; room for words on either side
FILL = {"melt": "#f0cfa0", "anode": "#555555", "cathode": "#9db4c8", "metal": "#c9c9d6"}
LABEL_CM = 0.8  # height of its label above the foot of a part
LETTERS, LEADING = 8.0, 10.0
BOX, ARROW = "\u2610", "\u2192"
Say = Callable[..., Flowable]
Part = Callable[..., list[Flowable]]


def plan_parts(plan: dict, say: Say, part: Part) -> list[Flowable]:
    """Flowables of a plan; of one that cannot be only why."""
    if not plan["possible"]:
        return part("Plan", say(plain(f"No plan. {plan['why_not']}")))
    head = (
        f"{plan['want_g']:g} g {plan['metal']} ({plan['deposit']}) at {plan['T_C']:.0f} °C: {plan['amps_A']:.3g} A for "
        f"{plan['run_hours']:.2g} h, {plan['hours_total']:.0f} h in all"
    )
    found = part("Plan", say(head), pot_picture(plan["pot"]), say(plain(plan["pot"]["title"])))
    for step in plan["steps"]:
        hot = "" if step["T_C"] is None else f", {step['T_C']:.0f} °C"
        title = f"{step['n']}. {step['title']} ({step['hours']:.2g} h{hot}; {step['rests_on']})"
        body = [say(plain(line), mark=BOX) for line in step["do"]]
        body += [say(plain(f"until: {step['until']}"), mark=ARROW), say(plain(f"if not: {step['if_not']}"), mark=ARROW)]
        body += [say(plain(line), mark="!") for line in step["cautions"]]
        found += [*part(title, body[0]), *body[1:]]
    return found


def pot_picture(pot: dict) -> Drawing:
    """The pot in section from its data, with words beside the parts."""
    scale = min(HIGH / pot["height_cm"], 60 * mm / pot["width_cm"])
    wide, high = pot["width_cm"] * scale, pot["height_cm"] * scale
    drawing = Drawing(wide + 2 * SIDE, high + 14 * mm)
    last = {"left": 1e9, "right": 1e9}
    for shape in pot["shapes"]:  # from back to front
        left, bottom = SIDE + shape["left_cm"] * scale, 2 * mm + shape["bottom_cm"] * scale
        fill = HexColor(FILL[shape["kind"]]) if shape["kind"] in FILL else None
        size = shape["width_cm"] * scale, shape["height_cm"] * scale
        drawing.add(Rect(left, bottom, *size, fillColor=fill, strokeColor=black, strokeWidth=0.5))
    named = [shape for shape in pot["shapes"] if shape["label"]]
    for shape in sorted(named, key=lambda s: -s["bottom_cm"] - min(s["height_cm"], LABEL_CM)):
        _label(drawing, shape, SIDE + shape["left_cm"] * scale, 2 * mm + shape["bottom_cm"] * scale, scale, wide, last)
    for ends in ((SIDE, 2 * mm, SIDE + wide, 2 * mm), (SIDE, 2 * mm, SIDE, 2 * mm + high),
                 (SIDE + wide, 2 * mm, SIDE + wide, 2 * mm + high)):  # fmt: skip
        drawing.add(Line(*ends, strokeColor=black, strokeWidth=2))
    return drawing


def _label(drawing: Drawing, shape: dict, left: float, bottom: float, scale: float, wide: float, last: dict) -> None:
    """Words beside a part on the side it says, with a thin line, under the words before them."""
    side = shape["side"]
    lines = simpleSplit(shape["label"], "Sheet", LETTERS, SIDE - 6 * mm)
    y = min(bottom + min(shape["height_cm"], LABEL_CM) * scale, last[side] - LEADING)
    last[side] = y - LEADING * (len(lines) - 1)
    if side == "left":
        drawing.add(Line(SIDE - 4 * mm, y + 2, left, y + 2, strokeColor=black, strokeWidth=0.3))
        where, anchor = SIDE - 5 * mm, "end"
    else:
        end = left + shape["width_cm"] * scale
        drawing.add(Line(end, y + 2, SIDE + wide + 4 * mm, y + 2, strokeColor=black, strokeWidth=0.3))
        where, anchor = SIDE + wide + 5 * mm, "start"
    for k, line in enumerate(lines):
        at = y - LEADING * k
        drawing.add(String(where, at, line, fontName="Sheet", fontSize=LETTERS, fillColor=black, textAnchor=anchor))
