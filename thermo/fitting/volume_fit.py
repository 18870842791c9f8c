"""Fits the excess volumes of mixing to measured mixture densities, with covariance, and writes the generated files.

V - sum x_i V_i of a measured melt is linear in the terms of thermo/laws/excess_volume.py and in one scale error for
each set of measurements (how far its own pure ends lie off the accepted lines), so one weighted least-squares step
gives both: theta = S X' W y, S = (X' W X + P)^-1. P holds weak zero-centred priors: terms 5 % of the volume at
equimolar, temperature term 0.5 % per 100 K (AlF3 pairs 200 %), scale errors as stated with the rows. A pair whose rows
scatter more than stated is widened by its chi-squared. Rows marked `low` disagree with the others: they have no weight,
but each widens its pair as if it were right with a chance of 1 in 20 (judgement). Units cm3/mol, K.
Worked value: a row 3 % off the fit adds sqrt(0.05) * 3 = 0.7 % to the spread of its pair.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from thermo.fitting.volume_points import VolumePoint, additive_volume, points
from thermo.laws.excess_volume import TEMPERATURE_TERM, composition_difference, family, pair_basis
from thermo.records.provenance import Origin
from thermo.records.substances import salts
from thermo.records.table_text import digits, table_text

PRIOR = 0.05  # of the volume at equimolar: one standard deviation of a term before any data; excesses are below 6 %
PRIOR_ALF3 = 2.0  # the melt opens up beyond the cryolite composition: volumes up to 40 % above additive
PRIOR_PER_100K = 0.005  # judgement: a tenth of PRIOR
DISSENT_CHANCE = 0.05
SPAN_FOR_SLOPE_K = 40.0  # judgement: a shorter line says nothing of how the excess changes with temperature
FAMILY_FLOOR_PCT = 0.5  # no family is trusted better than the pure lines it is built on


@dataclass(frozen=True)
class PairFit:
    """Terms of one pair with covariance and the record of the fit.

    rms_pct and additive_pct: rms of the rows, scale errors removed, from the fit and from plain additive volumes;
    dissent_pct: volume of each dissenting row over the fit; all in per cent of the volume.
    """

    salts: tuple[str, str]
    terms: tuple[str, ...]
    values: np.ndarray
    covariance: np.ndarray
    span_K: tuple[float, float]
    rows: int
    rms_pct: float
    additive_pct: float
    dissent_pct: tuple[float, ...]
    sources: tuple[str, ...]


@dataclass(frozen=True)
class VolumeFit:
    """Every pair, and the scale error found for each set in units of its stated one."""

    pairs: tuple[PairFit, ...]
    scales: Mapping[str, float]

    def without_scale(self, p: VolumePoint) -> float:
        """Excess of a point over the additive volume, cm3/mol, after its set's scale error is taken out."""
        return p.excess - self.scales.get(p.dataset, 0.0) * p.scale


def _pairs_of(used: list[VolumePoint]) -> list[tuple[str, str]]:
    order = list(salts())
    ordered = (sorted(p.salts, key=order.index) for p in used if len(p.salts) == 2)
    met = {(first, second) for first, second in ordered}
    return sorted(met, key=lambda pair: (order.index(pair[0]), order.index(pair[1])))


def _terms(pair: tuple[str, str], used: list[VolumePoint]) -> tuple[str, ...]:
    own = [p for p in used if set(p.salts) == set(pair)]
    compositions = len({round(float(p.fractions[p.salts.index(pair[0])]), 2) for p in own})
    most = 4 if "AlF3" in pair else 3
    slope = any(abs(p.T_K - q.T_K) >= SPAN_FOR_SLOPE_K for p in own for q in own if p.row == q.row)
    return tuple(str(k) for k in range(min(compositions, most))) + ((TEMPERATURE_TERM,) if slope else ())


def _span(pair: tuple[str, str], used: list[VolumePoint]) -> tuple[float, float]:
    temperatures = [p.T_K for p in used if set(p.salts) == set(pair)]
    return min(temperatures), max(temperatures)


def _design_row(p: VolumePoint, layout) -> np.ndarray:
    row = []
    for pair, terms, span in layout:
        if set(pair) <= set(p.salts):
            i, j = (p.salts.index(name) for name in pair)
            difference = composition_difference(p.salts, p.fractions[None, :], i, j)
            row.append(p.fractions[i] * p.fractions[j] * pair_basis(terms, difference, np.array([p.T_K]), *span)[0])
        else:
            row.append(np.zeros(len(terms)))
    return np.concatenate(row)


def _priors(layout) -> np.ndarray:
    sigma = []
    for pair, terms, span in layout:
        volume = additive_volume(pair, np.array([0.5, 0.5]), sum(span) / 2)
        size = PRIOR_ALF3 if "AlF3" in pair else PRIOR
        sigma += [4 * volume * (PRIOR_PER_100K if t == TEMPERATURE_TERM else size) for t in terms]
    return np.array(sigma)


def fit(everything: list[VolumePoint] | None = None) -> VolumeFit:
    """Fit every pair that has rows marked `fit`; the points default to data/density."""
    everything = points() if everything is None else everything
    used = [p for p in everything if p.use == "fit"]
    layout = [(pair, _terms(pair, used), _span(pair, used)) for pair in _pairs_of(used)]
    terms_part = np.array([_design_row(p, layout) for p in used])
    names = list(dict.fromkeys(p.dataset for p in used if p.scale > 0))
    scale_part = np.array([[p.scale if p.dataset == name else 0.0 for name in names] for p in used])
    prior = np.concatenate([_priors(layout), np.ones(len(names))])
    values, covariance = _least_squares(np.hstack([terms_part, scale_part]), used, prior)
    scales = dict(zip(names, values[terms_part.shape[1] :].tolist(), strict=True))
    clean = [p.excess - scales.get(p.dataset, 0.0) * p.scale for p in used]
    residual = clean - terms_part @ values[: terms_part.shape[1]]
    fits, start = [], 0
    for pair, terms, span in layout:
        block = slice(start, start + len(terms))
        own = [(p, c, r) for p, c, r in zip(used, clean, residual, strict=True) if set(p.salts) == set(pair)]
        dissent = _dissent(pair, terms, span, values[block], everything)
        fits.append(_pair_fit(pair, terms, span, values[block], covariance[block, block], own, dissent))
        start += len(terms)
    return VolumeFit(tuple(fits), scales)


def _least_squares(design: np.ndarray, used: list[VolumePoint], prior: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    weight = np.array([p.sigma for p in used]) ** -2
    covariance = np.linalg.inv(design.T @ (weight[:, None] * design) + np.diag(prior**-2))
    return covariance @ (design.T @ (weight * np.array([p.excess for p in used]))), covariance


def _pair_fit(pair, terms, span, values, covariance, own, dissent) -> PairFit:
    rows = len({p.row for p, _, _ in own})
    # the points of one row share its error, so the degrees of freedom count rows
    chi2 = sum((r / p.sigma) ** 2 for p, _, r in own) / max(rows - len(terms), 1)
    covariance = covariance * max(1.0, chi2)
    covariance[0, 0] += sum(DISSENT_CHANCE * extra for _, extra in dissent)
    return PairFit(
        pair,
        terms,
        values,
        covariance,
        span,
        rows,
        _rms([100 * r / p.additive for p, _, r in own]),
        _rms([100 * c / p.additive for p, c, _ in own]),
        tuple(percent for percent, _ in dissent),
        tuple(dict.fromkeys(p.source for p, _, _ in own)),
    )


def _dissent(pair, terms, span, values, everything) -> list[tuple[float, float]]:
    """(per cent of the volume, variance to add to A_0) of each `low` row that disagrees by more than its own spread."""
    found = []
    low = [p for p in everything if p.use == "low" and set(p.salts) == set(pair)]
    for row in sorted({p.row for p in low}):
        gaps = [(p, p.excess - float(_design_row(p, [(pair, terms, span)]) @ values)) for p in low if p.row == row]
        product = float(np.prod(gaps[0][0].fractions))
        gap = float(np.mean([g for _, g in gaps]))
        extra = gap**2 - gaps[0][0].sigma ** 2 / len(gaps) - gaps[0][0].scale ** 2
        if extra > 0:
            found.append((100 * gap / gaps[0][0].additive, extra / product**2))
    return found


def _rms(values: list[float]) -> float:
    return float(np.sqrt(np.mean(np.square(values)))) if values else 0.0


def leave_one_system_out(everything: list[VolumePoint] | None = None) -> dict[tuple[str, str], float]:
    """Error at equimolar, per cent, of each measured pair when it is predicted without its own rows (V^E = 0).

    The rms over its rows of V^E / V divided by 4 x_1 x_2, taken where 4 x_1 x_2 is at least 0.3.
    """
    everything = points() if everything is None else everything
    fitted = fit(everything)
    used = [p for p in everything if p.use == "fit" and len(p.salts) == 2]
    errors = {}
    for pair in _pairs_of(used):
        own = [p for p in used if set(p.salts) == set(pair)]
        weights = [4 * float(np.prod(p.fractions)) for p in own]
        percents = [100 * fitted.without_scale(p) / p.additive for p in own]
        errors[pair] = _rms([percent / w for percent, w in zip(percents, weights, strict=True) if w >= 0.3])
    return errors


def family_errors(everything: list[VolumePoint] | None = None) -> dict[str, tuple[float, int]]:
    """Standard deviation at equimolar (per cent) and number of measured pairs, by family, for pairs never measured.

    A family with fewer than two measured pairs takes the larger of its own and of the rms over its anion (AlF3 apart).
    """
    errors = leave_one_system_out(everything)
    by_family: dict[str, list[float]] = {}
    by_anion: dict[str, list[float]] = {}
    for pair, error in errors.items():
        by_family.setdefault(family(*pair), []).append(error)
        if "AlF3" not in pair:
            by_anion.setdefault(salts()[pair[0]].anion, []).append(error)
    found = {}
    for a, b in combinations([*salts(), *salts()], 2):
        if salts()[a].anion == salts()[b].anion:
            own = by_family.get(family(a, b), [])
            wider = [_rms(by_anion[salts()[a].anion])] if len(own) < 2 else []
            found[family(a, b)] = (max([_rms(own), *wider, FAMILY_FLOOR_PCT]), len(own))
    return dict(sorted(found.items()))


def regenerate() -> dict[str, str]:
    """Text of the three generated files by name under data/."""
    everything = points()
    fits = fit(everything)
    return {
        "fitted/density/excess_volume.csv": _terms_table(fits.pairs),
        "fitted/density/excess_volume_covariance.csv": _covariance_table(fits.pairs),
        "fitted/density/excess_volume_family.csv": _family_table(everything),
    }


def _terms_table(fits: tuple[PairFit, ...]) -> str:
    header = (
        "salt_a,salt_b,term,value_cm3_mol,sigma_cm3_mol,T_lo_K,T_hi_K,rows,rms_pct,additive_rms_pct,"
        "dissent_pct,sources,origin,caveat"
    )
    rows = []
    for f in fits:
        few = "one composition only" if len(f.terms) - (TEMPERATURE_TERM in f.terms) == 1 else ""
        lies = [f"{abs(d):.0f} % {'less' if d > 0 else 'more'} dense" for d in f.dissent_pct]
        other = f"other reports are {' and '.join(lies)}, band widened" if lies else ""
        caveat = "; ".join(text for text in (few, other) if text)
        for k, term in enumerate(f.terms):
            sigma = f.covariance[k, k] ** 0.5
            numbers = [digits(f.values[k], sigma), f"{sigma:.4g}", *(f"{T:g}" for T in f.span_K), f.rows]
            percents = [f"{f.rms_pct:.2f}", f"{f.additive_pct:.2f}", "; ".join(f"{d:.1f}" for d in f.dissent_pct)]
            rows.append([*f.salts, term, *numbers, *percents, "; ".join(f.sources), Origin.FITTED, caveat])
    return table_text(header, rows)


def _covariance_table(fits: tuple[PairFit, ...]) -> str:
    rows = [
        [
            *f.salts,
            f.terms[m],
            f.terms[n],
            digits(f.covariance[m, n], (f.covariance[m, m] * f.covariance[n, n]) ** 0.5),
        ]
        for f in fits
        for m in range(len(f.terms))
        for n in range(m + 1)
    ]
    return table_text("salt_a,salt_b,term_1,term_2,covariance_cm6_mol2", rows)


def _family_table(everything: list[VolumePoint]) -> str:
    rows = [
        [name, f"{sigma:.2f}", count, Origin.FITTED if count >= 2 else Origin.ESTIMATED]
        for name, (sigma, count) in family_errors(everything).items()
    ]
    return table_text("family,sigma_pct,measured_pairs,origin", rows)
