"""The drawings that one state of the page offers to keep, with their labels and file names."""

from collections.abc import Callable, Iterator

from matplotlib.figure import Figure

from thermo.present.charts.figures import density_figure, pair_figure, triangle_figure, window_figure
from thermo.present.charts.pair_data import drawable
from thermo.present.page.readouts import ReadOut
from thermo.present.words.written import shares


def drawings(out: ReadOut) -> Iterator[tuple[str, str, Callable[[], Figure]]]:
    """(label, file name, function that draws) for what this state can show; each drawing names its melt."""
    names, melt, chart, window = out.state.salts, out.composition, out.chart, out.window
    if melt is not None and drawable(names):
        if len(names) == 2:
            yield (
                "Phase diagram (PNG)",
                f"{'-'.join(names)}.png",
                lambda: _titled(pair_figure(*names, out.state.t_C, _marked(out)), out),
            )
        elif len(names) == 3:
            yield (
                "Triangle (PNG)",
                f"{'-'.join(names)}.png",
                lambda: _titled(triangle_figure(names, melt.fractions), out),
            )
    if chart is not None:
        yield "Density chart (PNG)", "density.png", lambda: _titled(density_figure(chart, out.state.t_C), out)
    if window is not None:
        yield "Window chart (PNG)", "window.png", lambda: _titled(window_figure(window, out.state.t_C), out)


def _titled(figure: Figure, out: ReadOut) -> Figure:
    if out.composition is not None:
        figure.suptitle(f"{shares(out.composition.mole_percent)} mol%", fontsize=11)
    return figure


def _marked(out: ReadOut) -> tuple[float, float] | None:
    """Where the melt of a pair stands: mole fraction of the second salt and liquidus in K; None where unknown."""
    if out.liquidus is None or not out.liquidus.known or out.composition is None:
        return None
    return out.composition.fractions[1], out.liquidus.T_K
