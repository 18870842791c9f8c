"""The pot of a plan in section as plain data: rectangles in cm for melt, electrodes, bell and metal, each with its
words.

Limits: a cylinder in true proportion; electrodes at least 2 mm wide so that they can be seen; no lid, no furnace.
Worked value: metal that floats is a band on top of the melt inside a bell, metal that sinks one on the floor.
"""

from dataclasses import dataclass

from thermo.answers.plan.setting import Setting
from thermo.records.substances import metal

THIN_CM, METAL_CM = 0.2, 0.5
WORDS = {
    "top": "collects on top, inside the bell",
    "bottom": "collects at the bottom",
    "either": "floats or sinks: too close to call",
    "rod": "grows on the rod",
}


@dataclass(frozen=True)
class Shape:
    """A rectangle in cm from the pot's inner left corner, upwards from its floor; words beside it, on which side."""

    kind: str
    left: float
    bottom: float
    width: float
    height: float
    label: str = ""
    side: str = "right"


@dataclass(frozen=True)
class PotDrawing:
    """Everything in the picture: inside width and height of the pot in cm, the shapes from back to front, a title."""

    width_cm: float
    height_cm: float
    shapes: tuple[Shape, ...]
    title: str


def pot_drawing(setting: Setting) -> PotDrawing:
    """The pot of a plan in section."""
    pot, poles = setting.pot, setting.electrodes
    name = metal(setting.wish.symbol).name
    wide, deep = pot.diameter_cm, pot.depth_cm
    left = 0.28 * wide
    shapes = [Shape("melt", 0.0, 0.0, wide, deep, f"melt, {deep:.1f} cm", "left")]
    shapes += _metal(setting, name, wide, deep, left)
    anode = max(poles.anode_cm, THIN_CM)
    rise = pot.height_cm - deep + 1.0
    middle = 0.5 if setting.cell.kind.cathode == "pool" else 0.72
    shapes.append(
        Shape("anode", middle * wide - anode / 2, deep - poles.anode_deep_cm, anode, poles.anode_deep_cm + rise,
              "+ anode, gas led away")
    )  # fmt: skip
    if setting.cell.kind.cathode != "pool":
        thick = min(max(poles.cathode_cm, THIN_CM), 0.4 * wide)
        shapes.append(
            Shape("cathode", left - thick / 2, deep - poles.cathode_deep_cm, thick, poles.cathode_deep_cm + rise,
                  "\u2212 cathode", "left")
        )  # fmt: skip
    title = (
        f"The pot in section: {name} {WORDS[setting.collects]}; {pot.diameter_cm:.1f} cm wide, melt {deep:.1f} cm deep"
    )
    return PotDrawing(wide, pot.height_cm, tuple(shapes), title)


def _metal(setting: Setting, name: str, wide: float, deep: float, left: float) -> list[Shape]:
    """Where the metal is: a band on top in its bell, on the floor, or on the rod; both where nobody can tell."""
    label = f"{name}: {WORDS[setting.collects]}"
    bell = 0.3 * wide
    band = Shape("metal", left - bell / 2, deep - METAL_CM, bell, METAL_CM, label, "left")
    floor = Shape("metal", 0.15 * wide, 0.0, 0.7 * wide, METAL_CM, label, "right")
    hood = Shape("bell", left - bell / 2, deep - 1.5, bell, 2.5)
    if setting.collects == "top":
        return [hood, band]
    if setting.collects == "bottom":
        return [floor]
    if setting.collects == "either":
        return [hood, band, Shape("metal", 0.15 * wide, 0.0, 0.7 * wide, METAL_CM, "or here, in a cup")]
    thick = setting.electrodes.cathode_cm + 2 * THIN_CM
    depth = max(setting.electrodes.cathode_deep_cm, METAL_CM)
    return [Shape("metal", left - thick / 2, deep - depth, thick, depth, label, "left")]
