"""The pot of a plan in section as SVG text: wall, melt, electrodes, where the metal is, with words in the picture.

Nothing is told by colour alone: every part has its label and a thin line to it, and the whole a title for who hears it.
Worked value: the text starts with <svg and scales to the width of its place.
"""

from html import escape

from thermo.answers.plan.picture import PotDrawing

SCALE = 26.0  # points a cm
LABEL_CM = 0.8  # height of its label above the foot of a part
MARGIN = 118.0  # room for words on either side
STYLE = (
    ".wall{fill:none;stroke:currentColor;stroke-width:4}.melt{fill:#e3a34a;fill-opacity:.35;stroke:currentColor}"
    ".anode{fill:#3b3b3b;stroke:currentColor}.cathode{fill:#9db4c8;stroke:currentColor}"
    ".metal{fill:#c9c9d6;stroke:currentColor;stroke-dasharray:4 2}.bell{fill:none;stroke:currentColor;stroke-width:2}"
    ".pot text{font:12px sans-serif;fill:currentColor}.pot line{stroke:currentColor}"
)


def pot_svg(drawing: PotDrawing) -> str:
    """The drawing as SVG text that scales to its place; words in the picture and a title for who hears it."""
    wide = drawing.width_cm * SCALE + 2 * MARGIN
    top = 1.6 * SCALE
    high = drawing.height_cm * SCALE + top + 24
    floor = high - 16

    def x(cm: float) -> float:
        return MARGIN + cm * SCALE

    parts = [f'<rect class="{s.kind}" x="{x(s.left):.1f}" y="{floor - (s.bottom + s.height) * SCALE:.1f}" '
             f'width="{s.width * SCALE:.1f}" height="{s.height * SCALE:.1f}"/>' for s in drawing.shapes]  # fmt: skip
    inner, outer = x(0.0), x(drawing.width_cm)
    rim = floor - drawing.height_cm * SCALE
    parts.append(f'<path class="wall" d="M{inner:.1f} {rim:.1f}V{floor:.1f}H{outer:.1f}V{rim:.1f}"/>')
    parts += _labels(drawing, x, floor, wide)
    title = escape(drawing.title)
    return (
        f'<svg class="pot" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide:.0f} {high:.0f}" '
        f'width="{wide:.0f}" height="{high:.0f}" role="img" '
        f'aria-label="{title}" style="max-width:{wide:.0f}px;width:100%"><title>{title}</title><style>{STYLE}</style>'
        f"{''.join(parts)}</svg>"
    )


def _labels(drawing: PotDrawing, x, floor: float, wide: float) -> list[str]:
    """Words beside the pot in lines that do not meet, each with a thin line to its part."""
    parts: list[str] = []
    for side in ("left", "right"):
        named = [s for s in drawing.shapes if s.label and s.side == side]
        last = -1e9
        for shape in sorted(named, key=lambda s: -(s.bottom + min(s.height, LABEL_CM))):
            y = max(floor - (shape.bottom + min(shape.height, LABEL_CM)) * SCALE, last + 44)
            last = y
            at = x(shape.left) if side == "left" else x(shape.left + shape.width)
            start = MARGIN - 14 if side == "left" else wide - MARGIN + 14
            parts.append(f'<line x1="{start:.1f}" y1="{y - 4:.1f}" x2="{at:.1f}" y2="{y - 4:.1f}" stroke-width="0.7"/>')
            anchor, where = ("end", start - 3) if side == "left" else ("start", start + 3)
            for k, line in enumerate(_lines(shape.label)):
                parts.append(f'<text x="{where:.1f}" y="{y + 13 * k:.1f}" text-anchor="{anchor}">{escape(line)}</text>')
    return parts


def _lines(text: str, most: int = 17) -> list[str]:
    """Words in lines of at most `most` letters."""
    lines = [""]
    for word in text.split():
        if lines[-1] and len(lines[-1]) + len(word) + 1 > most:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return lines
