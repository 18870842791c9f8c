"""The full phase diagram of a pair as plain data: every line below and beside the liquidus, for any drawing.

`diagram_lines(a, b)` gives JSON-ready numbers: x in mole percent of b, temperatures in deg C, None for unknown.
    lines   {look, label, status, points [[x, t], ...]}; a gap also has sigma_x, one standard deviation of x at each
            point, and, where it closes, sigma_t of its top. looks: solidus, gap, horizontal, transition, double,
            liquid-gap
    areas   {look, label, status, points}: closed outlines of the gaps, to be shaded
    fields  {label, x, t, width, low, high}: names of the areas with the room they have there (mol%, deg C)
    marks   {label, x, t, sigma}: the invariants, numbered as on the page's diagram
    notes   sentences a reader must see
Limits: no liquidus (page and figures have it from known_curve); hidden liquid gaps (below the liquidus) are only noted.
Worked value: diagram_lines("NaCl", "KCl") has one solidus and one gap whose highest point lies at 39 mol%, 506 deg C.
"""

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

import numpy as np

from thermo.equilibrium.freezing.liquidus import WIDEST_K, bottomless
from thermo.equilibrium.invariants.lines import Horizontal, PairSolids, TwoSolids
from thermo.equilibrium.invariants.liquid_gap import LiquidGap, liquid_gaps
from thermo.equilibrium.invariants.pair import PairCurve, pair_curve
from thermo.equilibrium.invariants.section import is_section, section_curve
from thermo.equilibrium.invariants.subsolidus import pair_solids
from thermo.present.words.written import degrees, pretty
from thermo.records.remembered import remembered
from thermo.records.units import celsius

POINTS = 121  # of a solidus branch: enough for a smooth line
TWO_LIQUIDS = "two liquids"
WORTH_TELLING_K = 100.0  # sigma of the top of a hidden liquid gap beyond which it says nothing
NOT_KNOWN = "not known"  # stands for the first solid where the freezing start is unknown
OPEN_LINE = "where the line is open it is not known when freezing starts: the data leave it open by hundreds of degrees"
_SAME = 0.02  # fraction: a label needs more room than this


@remembered
def diagram_lines(a: str, b: str) -> dict:
    """Lines, fields, marks and notes of the pair's diagram; InputError unless two different salts that share an ion."""
    solids, curve, liquids = pair_solids(a, b), known_curve(a, b), liquid_gaps(a, b)
    notes = [*solids.notes, *_liquid_notes(liquids), *[OPEN_LINE] * (NOT_KNOWN in curve.first_solid)]
    lines = [
        *_solidus_lines(solids),
        *(line for region in solids.gaps for line in _gap_lines(region, solids.gap_status)),
        *(_line(f"{pretty(l)} | {pretty(r)}", "gap", solids.gap_status, part) for l, r, part in _solvus_parts(solids)),
        *(_horizontal_line(horizontal, solids.status) for horizontal in solids.horizontals),
        *(_line(pretty(d.formula), "double", solids.status, [(d.x, d.low_K), (d.x, d.high_K)]) for d in solids.doubles),
        *(_outline(gap, "liquid-gap", TWO_LIQUIDS, gap.status) for gap in liquids if not gap.hidden),
    ]
    return {
        "x_unit": f"mol% {pretty(b)}",
        "y_unit": "°C",
        "lines": lines,
        "areas": [
            *(_outline(region, "gap", _both(region), solids.gap_status) for region in solids.gaps),
            *(_outline(gap, "liquid-gap", TWO_LIQUIDS, gap.status) for gap in liquids if not gap.hidden),
        ],
        "fields": [*_solid_fields(solids), *_melt_fields(curve, solids)],
        "marks": [_mark(number, point) for number, point in enumerate(curve.invariants, 1)],
        "notes": [note.replace("deg C", "°C") for note in notes],
    }


@remembered
def known_curve(a: str, b: str) -> PairCurve:
    """Liquidus of the pair, left open (T and sigma not-a-number) where `Liquidus.known` would be false."""
    curve = section_curve(a, b) if is_section(a, b) else pair_curve(a, b)
    open_here = np.array([bottomless(T) for T in curve.T_K]) | (curve.sigma_K >= WIDEST_K)
    T, sigma = (np.where(open_here, np.nan, values) for values in (curve.T_K, curve.sigma_K))
    names = [NOT_KNOWN if gone else name for gone, name in zip(open_here, curve.first_solid, strict=True)]
    return replace(curve, T_K=T, sigma_K=sigma, first_solid=tuple(names))


def _points(points) -> list[list[float]]:
    return [[round(100 * float(x), 3), round(float(celsius(T)), 2)] for x, T in points]


def _line(label: str, look: str, status: str, points) -> dict:
    return {"look": look, "label": label, "status": status, "points": _points(points)}


def _solidus_lines(solids: PairSolids) -> Iterator[dict]:
    for branch in solids.solidus:
        keep = np.unique(np.linspace(0, len(branch.T_K) - 1, POINTS).astype(int))
        points = zip(branch.x_solid[keep], branch.T_K[keep], strict=True)
        yield _line(pretty(branch.name), "solidus", solids.status, points)


def _gap_lines(region: TwoSolids, status: str) -> Iterator[dict]:
    """Up the left side and down the right one: one line where they meet, two where melt cuts them off."""
    label = _both(region)
    left = np.stack([region.left, region.T_K, region.left_sigma])
    right = np.stack([region.right, region.T_K, region.right_sigma])[:, ::-1]
    for x, T, sigma in [np.hstack([left, right])] if region.closes else [left, right]:
        if np.ptp(x) == 0:  # a pure salt, which has no limit to draw
            continue
        line = _line(label, "gap", status, zip(x, T, strict=True))
        line["sigma_x"] = [round(100 * float(s), 3) if np.isfinite(s) else None for s in sigma]
        line["sigma_t"] = round(region.top_sigma_K, 1) if region.closes else None
        yield line


def _both(region: TwoSolids) -> str:
    return f"{pretty(region.names[0])} + {pretty(region.names[1])}"


def _outline(gap: TwoSolids | LiquidGap, look: str, label: str, status: str) -> dict:
    x, T = np.concatenate([gap.left, gap.right[::-1]]), np.concatenate([gap.T_K, gap.T_K[::-1]])
    return _line(label, look, status, zip(x, T, strict=True))


def _solvus_parts(solids: PairSolids) -> Iterator[tuple[str, str, list[tuple[float, float]]]]:
    """The sides of a solid solution beside a double salt."""
    for region in solids.regions:
        for side in (region.left, region.right) if not region.gap else ():
            if np.ptp(side) > 0:
                yield *region.names, list(zip(side, region.T_K, strict=True))


def _horizontal_line(horizontal: Horizontal, status: str) -> dict:
    sigma = horizontal.sigma_K if np.isfinite(horizontal.sigma_K) else None
    if horizontal.kind == "transition":
        changing = next(end.name for end in horizontal.ends if "/" in end.name)
        formula, forms = changing.split(" ")
        label = f"{pretty(formula)} changes form ({forms.replace('/', ' to ')}) {degrees(horizontal.T_K)}"
        look = "transition"
    else:
        names = " + ".join(pretty(end.name) for end in horizontal.ends)
        label, look = f"{horizontal.kind} {degrees(horizontal.T_K, sigma)}: {names}", "horizontal"
    return _line(label, look, status, [(x, horizontal.T_K) for x in horizontal.span])


def _liquid_notes(gaps: tuple[LiquidGap, ...]) -> Iterator[str]:
    for gap in gaps:
        where = f"{100 * gap.top.x:.0f} mol% {gap.salts[1]}, {degrees(gap.top.T_K, gap.top_sigma_K)}"
        if not gap.top.upper:
            yield f"computed to separate into two liquids above {where}: coefficients used beyond their data"
        elif not gap.hidden:
            yield f"two liquids below {where} ({gap.status})"
        elif gap.top_sigma_K < WORTH_TELLING_K:
            yield f"undercooled, this melt would separate into two liquids below {where}; solids form first"


def _field(label: str, x: float, T_K: float, width: float, low_K: float, high_K: float) -> dict:
    place = {"x": 100 * x, "t": celsius(T_K), "width": 100 * width, "low": celsius(low_K), "high": celsius(high_K)}
    return {"label": label, **{name: round(float(value), 2) for name, value in place.items()}}


def _solid_fields(solids: PairSolids) -> Iterator[dict]:
    """Two solids between their lines; a solid solution under its solidus."""
    for region in solids.regions:
        low, high = float(region.T_K[0]), float(region.T_K[-1])
        at = int(np.searchsorted(region.T_K, low + 0.6 * (high - low)))
        left, right = float(region.left[at]), float(region.right[at])
        label = " + ".join(pretty(name) for name in region.names)
        yield _field(label, (left + right) / 2, float(region.T_K[at]), right - left, low, high)
    for branch in solids.solidus:
        label = pretty(branch.name)
        if not branch.whole:
            yield from _side_field(label, branch.x_solid, branch.T_K)
            continue
        low = max([float(gap.T_K[-1]) for gap in solids.gaps], default=solids.floor_K)
        high = float(branch.T_K.min())
        yield _field(label, 0.5, 0.5 * (low + high), 0.8, low, high)


def _side_field(label: str, x: np.ndarray, T: np.ndarray) -> Iterator[dict]:
    """The single-phase strip at one side of a gap, if it is wide enough for a name."""
    inner = float(x[np.argmax(np.abs(x - round(float(x.mean()))))])
    outer = round(float(x.mean()))
    if abs(inner - outer) > _SAME:
        low = float(T.min())
        yield _field(label, (0.3 * inner + 0.7 * outer), low, 0.6 * abs(inner - outer), low - 60, low + 60)


def _melt_fields(curve: PairCurve, solids: PairSolids) -> Iterator[dict]:
    """Melt beside one solid, once for each side of it; the thin lens of a complete solid solution has no room."""
    for branch in solids.solidus:
        if not branch.whole:
            yield from _beside(pretty(branch.name), branch.x_solid, branch.x_liquid, branch.T_K)
    dissolving = {branch.name for branch in solids.solidus}
    places = {solids.salts[0]: 0.0, solids.salts[1]: 1.0} | {d.formula: d.x for d in solids.doubles}
    names = list(curve.first_solid)
    edges = [0] + [i for i, (p, q) in enumerate(pairwise(names), 1) if p != q] + [len(names)]
    for start, stop in pairwise(edges):
        if names[start] not in places or names[start] in dissolving or any(b.whole for b in solids.solidus):
            continue
        x, T = curve.x_second[start:stop], curve.T_K[start:stop]
        own = places[names[start]]
        for side in (x <= own, x >= own):
            if side.sum() > 1:
                yield from _beside(pretty(names[start]), np.full(int(side.sum()), own), x[side], T[side])


def _beside(solid: str, x_solid: np.ndarray, x_liquid: np.ndarray, T: np.ndarray) -> Iterator[dict]:
    low, high = float(T.min()), float(T.max())
    level, order = low + 0.3 * (high - low), np.argsort(T)
    own, liquid = (float(np.interp(level, T[order], x[order])) for x in (x_solid, x_liquid))
    if abs(liquid - own) > _SAME:
        yield _field(f"melt + {solid}", (liquid + own) / 2, level, abs(liquid - own), low, high)


def _mark(number: int, point) -> dict:
    return {
        "label": str(number),
        "x": round(100 * point.fractions[1], 2),
        "t": round(float(celsius(point.T_K)), 1),
        "sigma": round(float(point.sigma_K), 1),
        "kind": point.kind,
    }
