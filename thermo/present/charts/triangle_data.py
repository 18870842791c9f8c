"""The triangle of three salts as plain data: filled isotherms, contour lines, first solids, the lowest point.

Compositions in mole percent, temperatures in deg C. The field is computed on a grid of whole 2 % steps; points
travel as [second, third] percent. Limits: a field narrower than the grid may be missed here, while the
read-outs, computed at the point itself, are exact; left open is only what no solid is known to freeze from, not a melt
whose band alone is too wide (its read-out says so).
Worked value: triangle_grid(2) has the 6 melts with shares 0, 1/2 and 1.
"""

import math
from itertools import pairwise

import numpy as np
from contourpy import FillType, LineType, contour_generator
from matplotlib import colormaps
from scipy.spatial import KDTree

from thermo.answers.evidence.near import published_of
from thermo.equilibrium.freezing.liquidus import bottomless
from thermo.equilibrium.invariants.lowest import lowest
from thermo.equilibrium.system.driving_force import liquidus_field
from thermo.present.charts.pair_data import named
from thermo.present.charts.pair_lines import NOT_KNOWN
from thermo.present.words.written import degrees, pretty
from thermo.records.provenance import InputError, RangeError, sources
from thermo.records.units import celsius

GRID_STEPS = 50  # 2 % a step: 1326 melts
ONE_MARK_PERCENT = 1.0  # closer together, two circles could not be told apart
HOTTEST_SHOWN_C = 1300.0  # the scale ends here: hotter is one colour, so that what cells use keeps its steps
SHADES = "cividis"  # evenly rising lightness, read the same by the colour-blind (Nunez, Anderton & Renslow 2018)


def triangle_grid(steps: int = GRID_STEPS) -> tuple[np.ndarray, np.ndarray]:
    """Whole-step melts of three salts: fractions (N, 3), and their steps of the second and third salt (N, 2)."""
    places = np.array([(j, k) for j in range(steps + 1) for k in range(steps + 1 - j)])
    fractions = np.column_stack([steps - places.sum(axis=1), places]) / steps
    return fractions, places


def _levels(t_C: np.ndarray) -> np.ndarray:
    low = float(np.nanmin(t_C))
    high = min(float(np.nanmax(t_C)), max(HOTTEST_SHOWN_C, low + 200))
    step = next(s for s in (10, 20, 25, 50, 100, 200) if (high - low) / s <= 12 or s == 200)
    return np.arange(step * math.floor(low / step), step * math.ceil(high / step) + step, step, dtype=float)


def known_field(salts: tuple[str, ...], fractions: np.ndarray) -> tuple[np.ndarray, np.ndarray, tuple[str, ...]]:
    """Freezing start in deg C (N,), not-a-number where no solid is known to form; first solids (N,) and their names."""
    field = liquidus_field(salts, fractions)
    unknown = np.array([bottomless(T) for T in field.T_K])
    t_C = np.where(unknown, np.nan, celsius(np.asarray(field.T_K)))
    return t_C, np.where(unknown, len(field.solids), field.solid_index), (*field.solids, NOT_KNOWN)


def triangle_diagram(salts: tuple[str, str, str], held: tuple[tuple[str, float], ...] = ()) -> dict:
    """Isotherms of the liquidus of three salts, borders between first solids, the lowest point, one knob.

    held: further salts with their mole fractions of the whole melt, the same everywhere on the triangle; the corners
    then count what is left. Lowest and published melts are those of the three alone, so with salts held they are left
    out.
    """
    fractions, places = triangle_grid()
    kept = tuple(x for _, x in held)
    whole = np.column_stack([fractions * (1 - sum(kept)), np.tile(kept, (len(fractions), 1))])
    t_C, first, solids = known_field((*salts, *(name for name, _ in held)), whole)
    surface = np.full((GRID_STEPS + 1, GRID_STEPS + 1), np.nan)
    surface[places[:, 0], places[:, 1]] = t_C
    levels = _levels(t_C)
    colours = [_hex(colormaps[SHADES](k / max(1, len(levels) - 2))) for k in range(len(levels) - 1)]
    names = [pretty(salt) for salt in salts]
    return named(
        {
            "kind": "triangle",
            "summary": f"Triangle of {', '.join(salts)}: where freezing starts, by colour and contour lines",
            "names": names,
            "fills": _fills(surface, levels, colours),
            "contours": _contours(surface, levels, colours),
            "borders": _borders(first, places, len(solids)),
            "regions": _regions(first, fractions, solids),
            "lowest": None if held else _lowest(salts),
            "published": [] if held else _published(salts),
            "held": _held_words(held),
            "legend": [{"colour": c, "label": f"{level:.0f}"} for c, level in zip(colours, levels[:-1], strict=True)],
            "legend_label": "freezing starts at, °C (dashed: the first solid changes; circles: published)",
        }
    )


def _held_words(held: tuple[tuple[str, float], ...]) -> str:
    """What the percentages of the knob count, where salts are held."""
    return "" if not held else f"% of these three; held: {', '.join(f'{pretty(f)} {100 * x:.1f}' for f, x in held)}"


def _lowest(salts: tuple[str, str, str]) -> dict | None:
    """The mark of the lowest melt; None where it is unknown."""
    try:
        best = lowest(salts)
    except (InputError, RangeError):
        return None
    return {
        "at": (100 * np.asarray(best.fractions)).round(2).tolist(),
        "label": f"lowest {degrees(best.T_K, best.sigma_K)}",
    }


def _published(salts: tuple[str, str, str]) -> list[dict]:
    """Published melts as shares in the order of the salts, with the temperatures of all sources that mean that melt."""
    marks: dict[tuple[float, ...], list[float]] = {}
    told: dict[tuple[float, ...], list[str]] = {}
    for melt in published_of(*salts):
        shares = dict(zip(melt.salts, melt.fractions, strict=True))
        at = tuple(round(100 * shares[f], 1) for f in salts)
        if melt.sure:
            near = (mark for mark in marks if max(abs(np.subtract(mark, at))) <= ONE_MARK_PERCENT)
            place = next(near, at)
            marks.setdefault(place, []).append(celsius(melt.T_K))
            told.setdefault(place, []).append(f"{celsius(melt.T_K):.0f} °C, {sources()[melt.source].short}")
    return [
        {"at": list(at), "label": _span(min(t_C), max(t_C)), "source": "; ".join(dict.fromkeys(told[at]))}
        for at, t_C in marks.items()
    ]


def _span(low: float, high: float) -> str:
    """'385', or '454–462' where sources differ."""
    ends = dict.fromkeys(f"{end:.0f}" for end in (low, high))
    return "–".join(ends)


def _hex(rgba: tuple[float, ...]) -> str:
    return "#" + "".join(f"{round(255 * channel):02x}" for channel in rgba[:3])


def _generator(surface: np.ndarray, **options):
    axis = np.linspace(0, 100, GRID_STEPS + 1)
    return contour_generator(axis, axis, np.ma.masked_invalid(surface), corner_mask=True, name="serial", **options)


def _swap(points: np.ndarray) -> list[list[float]]:
    """contourpy's (column, row) points as [second, third] mole percent: rows run along the second salt."""
    return points[:, ::-1].round(1).tolist()


def _fills(surface: np.ndarray, levels: np.ndarray, colours: list[str]) -> list[dict]:
    generator = _generator(surface, fill_type=FillType.OuterOffset)
    fills = []
    upper = [*levels[1:-1], math.inf]  # the last colour goes on: where the scale ends, the melts may not
    for colour, low, high in zip(colours, levels[:-1], upper, strict=True):
        for points, offsets in zip(*generator.filled(low, high), strict=True):
            rings = [_swap(points[start:end]) for start, end in pairwise(offsets)]
            fills.append({"colour": colour, "rings": rings})
    return fills


def _contours(surface: np.ndarray, levels: np.ndarray, colours: list[str]) -> list[dict]:
    """Isotherms, each in white or black, whichever stands out more from the colours on its two sides."""
    generator = _generator(surface, line_type=LineType.Separate)
    return [
        {"label": f"{level:.0f}", "points": _swap(line), "ink": _ink(colours[k], colours[k + 1])}
        for k, level in enumerate(levels[1:-1])
        for line in generator.lines(level)
        if len(line) > 1
    ]


def luminance(colour: str) -> float:
    """Relative luminance of '#rrggbb' (WCAG 2): 0 for black, 1 for white."""
    channels = (int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5))
    linear = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def _ink(*sides: str) -> str:
    least_white = min(1.05 / (luminance(side) + 0.05) for side in sides)
    least_black = min((luminance(side) + 0.05) / 0.05 for side in sides)
    return "#ffffff" if least_white >= least_black else "#000000"


def _borders(solid_index: np.ndarray, places: np.ndarray, count: int) -> list[list[list[float]]]:
    """Where the first solid changes: half-way lines round each field, each drawn once, smoothed over the staircase."""
    borders = []
    drawn: set[tuple[float, float]] = set()
    for solid in range(count):
        inside = np.full((GRID_STEPS + 1, GRID_STEPS + 1), np.nan)
        inside[places[:, 0], places[:, 1]] = solid_index == solid
        if not 0 < np.nansum(inside) < len(places):
            continue
        for line in _generator(inside, line_type=LineType.Separate).lines(0.5):
            points = [tuple(point) for point in line.round(3).tolist()]
            borders += [_swap(_smooth(np.array(run))) for run in _new_runs(points, drawn)]
            drawn.update(points)
    return borders


def _new_runs(points: list[tuple[float, float]], drawn: set[tuple[float, float]]) -> list[list[tuple[float, float]]]:
    """Stretches of a line that no earlier line covers, each with the point where it joins one."""
    runs: list[list[tuple[float, float]]] = [[]]
    for i, point in enumerate(points):
        if point not in drawn:
            if not runs[-1] and i:
                runs[-1].append(points[i - 1])
            runs[-1].append(point)
        elif runs[-1]:
            runs[-1].append(point)
            runs.append([])
    return [run for run in runs if len(run) > 1]


def _smooth(line: np.ndarray) -> np.ndarray:
    if len(line) < 5:
        return line
    weights = np.array([0.25, 0.5, 0.25])
    for _ in range(3):
        inner = sum(w * line[k : len(line) - 2 + k] for k, w in enumerate(weights))
        line = np.vstack([line[:1], inner, line[-1:]])
    return line


def _regions(solid_index: np.ndarray, fractions: np.ndarray, solids: tuple[str, ...]) -> list[dict]:
    """A name for each first solid that covers at least 2 % of the triangle, at the grid point deepest in its field."""
    regions = []
    for solid, name in enumerate(solids):
        mine = solid_index == solid
        if mine.mean() < 0.02:
            continue
        inside, outside = fractions[mine], np.vstack([fractions[~mine], 1.2 * np.eye(3) - 0.1])
        gap, _ = KDTree(outside).query(inside)
        edge = inside.min(axis=1) + 0.02
        deepest = inside[np.minimum(gap, edge).argmax()]
        regions.append({"at": (100 * deepest).round(1).tolist(), "label": pretty(name)})
    return regions
