"""A transport property of a melt (conductance, viscosity) from measured equations of pure salts and pairs.

    ln p(x, T) = sum x_i ln p_i(T) + sum over pairs (x_i + x_j)^2 d_ij(t),  t = x_j / (x_i + x_j)
p_i: equation of the pure salt; d_ij(t): what the measured melts of the pair lie off that additive line, straight
between the measured compositions and zero at the pure ends, so that a measured melt gives back its own equation. A
pair nobody measured gets 4 t (1 - t) times the mean of all measured pairs, with their scatter, and is called estimated.
Adding logarithms is common practice, no source; the equations are those of data/conductance.csv and data/viscosity.csv:
polynomial a + b T + c T^2 + d T^3, or a exp(b / T). Outside their span they go on as a exp(b / T) with the slope they
have from end to end (a common slope where the span is short), and lose 10 % a hundred kelvin in certainty.
Limits: any composition and temperature; far outside what was measured the spread grows up to a factor of e, which
means unknown.
Worked value: NaCl conductance at 1083 K: 3.61 S/cm.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations

import numpy as np

from thermo.records.composition import Composition
from thermo.records.provenance import InputError, Origin, RangeError, read_table
from thermo.records.substances import salt

SHORT_SPAN_K = 80.0
PER_K = 0.1 / 100  # certainty lost a kelvin outside a measured span: common practice, no source
THREE_SALTS = 0.15  # in ln, at equal amounts: what pairs alone miss in a melt of three, common practice, no source
NOTICEABLE = 0.02  # pairs with 4 x_i x_j below this need no caveat
FAR_K = 50.0
GREATEST_SIGMA = 1.0  # in ln: beyond a factor of e nothing is known


@dataclass(frozen=True)
class Transport:
    """A property of one melt: value, one relative standard deviation, origin, caveats, sources."""

    value: float
    sigma_rel: float
    origin: Origin
    caveats: tuple[str, ...]
    sources: tuple[str, ...]

    @property
    def band(self) -> tuple[float, float]:
        """Values one standard deviation below and above, on the logarithmic scale the spread is known on."""
        return self.value * math.exp(-self.sigma_rel), self.value * math.exp(self.sigma_rel)


@dataclass(frozen=True)
class Equation:
    """One measured (or estimated) line: form, coefficients (a, b, c, d), span in K, relative spread."""

    name: str
    form: str
    coefficients: tuple[float, float, float, float]
    T_lo_K: float
    T_hi_K: float
    sigma_rel: float
    origin: Origin
    provenance: str
    source: str
    caveat: str
    unsure: bool

    def _inside(self, T: float) -> float:
        a, b, c, d = self.coefficients
        return math.log(a) + b / T if self.form == "arrhenius" else math.log(a + T * (b + T * (c + T * d)))

    def ln(self, T: float, common_K: float) -> float:
        """ln of the property at T; common_K is the slope (K) used outside a span shorter than SHORT_SPAN_K."""
        if self.T_lo_K <= T <= self.T_hi_K:
            return self._inside(T)
        edge = self.T_lo_K if self.T_lo_K > T else self.T_hi_K
        slope = common_K
        if self.T_hi_K - self.T_lo_K >= SHORT_SPAN_K:
            slope = (self._inside(self.T_hi_K) - self._inside(self.T_lo_K)) / (1 / self.T_hi_K - 1 / self.T_lo_K)
        return self._inside(edge) + slope * (1 / T - 1 / edge)

    def outside_K(self, T: float) -> float:
        """Distance of T from the span, K; 0 inside."""
        return max(self.T_lo_K - T, T - self.T_hi_K, 0.0)


class TransportTable:
    """All equations of one property: file under data/, its name and the common slope d ln p / d(1/T), K."""

    def __init__(self, file: str, what: str, common_K: float):
        self.file, self.what, self.common_K = file, what, common_K

    @cached_property
    def _rows(self) -> list[dict[str, str]]:
        return [row for row in read_table(self.file) if row["use"] == "yes"]

    @cached_property
    def pure(self) -> dict[str, Equation]:
        """The chosen equation of each pure salt."""
        return {row["salt1"]: _equation(row) for row in self._rows if not row["salt2"]}

    @cached_property
    def pairs(self) -> dict[tuple[str, str], list[tuple[float, Equation]]]:
        """(first, second) salt in alphabetical order -> [(fraction of the second, equation)], sorted."""
        found: dict[tuple[str, str], list[tuple[float, Equation]]] = {}
        for row in self._rows:
            if row["salt2"]:
                a, b = sorted((row["salt1"], row["salt2"]))
                t = float(row["x2"] if row["salt2"] == b else row["x1"])
                found.setdefault((a, b), []).append((t, _equation(row)))
        return {pair: sorted(rows, key=lambda entry: entry[0]) for pair, rows in found.items()}

    def salt_ln(self, formula: str, T_K: float) -> float:
        """ln of the property of one pure salt."""
        if formula not in self.pure:
            salt(formula)
            raise InputError(f"{self.what} of {formula}: no row in data/{self.file}")
        return self.pure[formula].ln(T_K, self.common_K)

    def _excess_nodes(self, pair: tuple[str, str], T_K: float) -> tuple[np.ndarray, np.ndarray]:
        """Fractions of the second salt and the measured ln less the additive line there, ends included."""
        low, high = (self.salt_ln(formula, T_K) for formula in pair)
        t = np.array([t for t, _ in self.pairs[pair]])
        ln = np.array([equation.ln(T_K, self.common_K) for _, equation in self.pairs[pair]])
        return np.concatenate([[0], t, [1]]), np.concatenate([[0], ln - (1 - t) * low - t * high, [0]])

    @cached_property
    def unmeasured(self) -> tuple[float, float]:
        """Mean and scatter over the measured pairs of the excess at equal amounts, each pair at its own temperature."""
        middles = []
        for pair, rows in self.pairs.items():
            T = float(np.mean([(e.T_lo_K + e.T_hi_K) / 2 for _, e in rows]))
            middles.append(float(np.interp(0.5, *self._excess_nodes(pair, T))))
        return float(np.mean(middles)), float(np.std(middles, ddof=1))

    def at(self, composition: Composition, T_K: float) -> Transport:
        """The property of a melt at T_K with its spread; InputError for a salt without a row."""
        if not (math.isfinite(T_K) and T_K > 0):
            raise RangeError(f"{self.what}: allowed is any finite temperature above 0 K")
        melt = composition.present
        x = dict(zip(melt.salts, melt.fractions, strict=True))
        ln = sum(share * self.salt_ln(formula, T_K) for formula, share in x.items())
        variance, outside, covered = 0.0, 0.0, 0.0
        caveats: list[str] = []
        guessed = False
        sources = [self.pure[formula].source for formula in x]
        for a, b in combinations(sorted(x), 2):
            pair = (a, b)
            share = x[pair[0]] + x[pair[1]]
            weight, t = share**2, x[pair[1]] / share
            excess, spread, far, inside, notes = self._excess(pair, t, T_K)
            covered += weight * inside
            sources += [equation.source for _, equation in self.pairs.get(pair, ())]
            ln += weight * excess
            variance += (weight * spread) ** 2
            outside += weight * far
            if 4 * x[pair[0]] * x[pair[1]] >= NOTICEABLE:
                caveats += notes
                guessed |= pair not in self.pairs
        crowd = sum(27 * a * b * c for a, b, c in combinations(x.values(), 3))
        variance += (THREE_SALTS * crowd) ** 2
        bare = max(0.0, 1.0 - covered)
        variance += bare * sum((share * self.pure[f].sigma_rel) ** 2 for f, share in x.items())
        outside += bare * sum(share * self.pure[f].outside_K(T_K) for f, share in x.items())
        if bare > NOTICEABLE:
            seen = {formula for formula, share in x.items() if share >= NOTICEABLE}
            caveats = [*self._pure_caveats(seen), *caveats]
            guessed |= any(self.pure[formula].origin == Origin.ESTIMATED for formula in seen)
        if outside > FAR_K:
            caveats.append(f"carried on {outside:.0f} K beyond what was measured")
        sigma = min(math.sqrt(variance + (PER_K * outside) ** 2), GREATEST_SIGMA)
        kind = Origin.ESTIMATED if guessed else Origin.MEASURED if outside < 1 and bare < NOTICEABLE else Origin.FITTED
        return Transport(math.exp(ln), sigma, kind, tuple(dict.fromkeys(caveats)), tuple(dict.fromkeys(sources)))

    def _excess(self, pair: tuple[str, str], t: float, T_K: float) -> tuple[float, float, float, float, list[str]]:
        """Excess, its spread, kelvin outside the spans, share inside the measured compositions, caveats."""
        if pair not in self.pairs:
            mean, scatter = self.unmeasured
            note = f"no measurement of {'-'.join(pair)} in the data: estimated from the other pairs"
            return 4 * t * (1 - t) * mean, 4 * t * (1 - t) * scatter, 0.0, 0.0, [note]
        rows = self.pairs[pair]
        nodes, values = self._excess_nodes(pair, T_K)
        own = [equation.sigma_rel for _, equation in rows]
        far = [equation.outside_K(T_K) for _, equation in rows]
        inner = nodes[1:-1]
        inside = float(np.interp(t, [0, inner[0], inner[-1], 1], [0, 1, 1, 0]))
        near = rows[int(np.argmin(np.abs(inner - t)))][1]
        notes = [f"{'-'.join(pair)}: {near.caveat}"] if near.unsure else []
        spread = inside * float(np.interp(t, inner, own))
        return float(np.interp(t, nodes, values)), spread, inside * float(np.interp(t, inner, far)), inside, notes

    def _pure_caveats(self, formulas: Iterable[str]) -> list[str]:
        notes = []
        for formula in formulas:
            line = self.pure[formula]
            if line.origin == Origin.ESTIMATED:
                notes.append(f"{formula}: estimated, {line.caveat.removeprefix('unsure: ')}")
            elif line.provenance == "memory":
                notes.append(f"{formula}: {line.caveat or 'recalled'}")
        return notes


def _equation(row: dict[str, str]) -> Equation:
    second = f"-{row['salt2']}" if row["salt2"] else ""
    return Equation(
        name=row["salt1"] + second,
        form=row["form"],
        coefficients=(float(row["a"]), float(row["b"]), float(row["c"]), float(row["d"])),
        T_lo_K=float(row["T_lo_K"]),
        T_hi_K=float(row["T_hi_K"]),
        sigma_rel=float(row["sigma_pct"]) / 100,
        origin=Origin(row["origin"]),
        provenance=row["provenance"],
        source=row["source"],
        caveat=row["caveat"],
        unsure=row["unsure"] == "yes",
    )
