"""Colours and strokes of drawings that are shown on the page, on white or dark paper.

Colours stay apart for every common colour blindness (blue, orange, bluish green, reddish purple after Okabe & Ito), and
each kind of line has its own dashes, so nothing rests on colour alone.
Worked value: Look(True, False).unit = "°C".
"""

from matplotlib.figure import Figure
from matplotlib.patheffects import withStroke

from thermo.records.units import ZERO_C

LIGHT = {
    "paper": "white",
    "ink": "black",
    "quiet": "#5a5a5a",
    "liquidus": "#0060a8",
    "solidus": "#c05800",
    "gap": "#007a5a",
    "mark": "#7a3b69",
}
DARK = {
    "paper": "#15191e",
    "ink": "#f2f2f2",
    "quiet": "#b4bac2",
    "liquidus": "#6bb8ff",
    "solidus": "#ffb066",
    "gap": "#5fd3ab",
    "mark": "#e3a6d2",
}
DASHES = {"solidus": (0, (6, 2)), "gap": (0, (3, 1.5)), "liquid-gap": (0, (1, 1)), "transition": (0, (1, 2.5))}


class Look:
    """One drawing's colours and temperature scale."""

    def __init__(self, celsius_scale: bool, dark: bool):
        self.colours = DARK if dark else LIGHT
        self.shift = 0.0 if celsius_scale else ZERO_C
        self.unit = "°C" if celsius_scale else "K"

    def __getitem__(self, name: str) -> str:
        return self.colours[name]

    def dress(self, figure: Figure) -> Figure:
        """The figure with its paper, frames, scales and words in these colours, what was drawn left as it is."""
        figure.set_facecolor(self["paper"])
        for axes in figure.axes:
            axes.set_facecolor(self["paper"])
            axes.tick_params(colors=self["ink"])
            axes.spines[:].set_color(self["ink"])
            legend = axes.get_legend()
            words = [axes.title, axes.xaxis.label, axes.yaxis.label, *axes.texts]
            for text in [*words, *(legend.get_texts() if legend else ())]:
                text.set_color(self["ink"])
            if legend:
                legend.get_frame().set_facecolor(self["paper"])
        return figure

    @property
    def halo(self) -> list:
        """An outline in the colour of the paper: words stay readable over lines."""
        return [withStroke(linewidth=3, foreground=self["paper"])]

    def of(self, look: str) -> dict:
        """How a kind of line is drawn."""
        colour = {"solidus": "solidus", "gap": "gap", "liquid-gap": "gap", "transition": "quiet"}.get(look, "ink")
        width = {"horizontal": 1.0, "transition": 1.2, "double": 1.2}.get(look, 1.8)
        return {"color": self[colour], "lw": width, "ls": DASHES.get(look, "-")}
