"""Melts of AlF3 with two other fluorides: what their own measurements add to the pairs.

CaF2-AlF3 and its like boil off or stay solid, so they were never melted alone, but cryolite with CaF2 has been
measured. And cryolite with LiF holds LiF and NaF beside one complex anion, which no pair tells of. In a melt of three
salts the driving force of a solid is linear in the coefficients theta of a pair without a fit of its own and in the
ternary terms of laws/mixing, s_1 (plain) and s_2 (balance):
    D(x, T; theta) = 0   =>   g theta = -D(x, T; 0),   g = dD/d(theta)
so the published points of such melts give them by least squares, as `observations` does for pairs. The errors of T and
x belong to each point; what the other pairs and the pure salts leave open belongs to all of them together: a shift of
every cryolite melt alike says nothing of the third salt. Priors (judgement):
    a_0 ~ N(-60, 60 kJ), a_1 ~ N(0, 40 kJ), a_2 ~ N(0, 30 kJ), b_k ~ N(-a_k / 8000 K, 6 J/(mol K)),
    s_1, s_2 as `expected_terms` has them
A pair fitted here counts as `fitted`, with a note that the two alone were never melted. A ternary term (file
data/fitted/ternary_terms.csv) is fitted where there are at least TERM_POINTS points; points on the section of a
compound say nothing of s_2, which then is 0 with the spread of its prior. Melts that nobody measured keep both priors
and are called estimated; so is what double salts that mix are expected to do (priors/compound_solutions). Limits: pure
solids near melting, double ones. Units: J/mol, K. Worked value: cryolite, 50 mol% CaF2: 946 deg C, two equations.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.linalg import block_diag

from thermo.equilibrium.system.driving_force import Melts, driving_slope
from thermo.equilibrium.system.one_anion import SaltSystem, salts_in_order
from thermo.equilibrium.system.solids import solid_weights
from thermo.fitting.point_equations import LOW_WEIGHT, READ_X_SIGMA
from thermo.fitting.priors.compound_solutions import expected_mixing
from thermo.fitting.priors.ternary_terms import SPREAD_T, expected_terms, unmeasured_melts
from thermo.laws.compound_solution import term_name
from thermo.laws.solid_solution import SolutionSolid
from thermo.laws.solids import PureSolid, Solid
from thermo.records.compound_solutions import compound_pairs
from thermo.records.fitted import PairModel, pair_fits
from thermo.records.parameters import LIQUID, Parameter
from thermo.records.provenance import Origin
from thermo.records.published import melting_points, ternary_points
from thermo.records.substances import double_salts, salt, salts
from thermo.records.table_text import digits, table_text

FLOOR_J_mol = 100.0  # judgement: no point of a section tells more of a solid (3 K); four times that of a pair
PARAMETERS = tuple(Parameter(LIQUID, f"{letter}{k}") for k in range(3) for letter in "ab")
CENTRE_A = (-60000.0, 0.0, 0.0)
SPREAD_A = (60000.0, 40000.0, 30000.0)
TAU_K, SPREAD_B = 8000.0, 6.0
TERM_POINTS = 4  # judgement: fewer are left to the pair, beside the expected term taken as it stands
FAR_BELOW = 0.55  # of its melting point: colder, a pure salt's energy of melting is carried too far to tell anything
HEADER = "salt1,salt2,salt3,term,value_J_mol,sigma_J_mol,points,source,origin"
NOTE = "the two alone were never melted together"
_DX = 1e-4


@dataclass(frozen=True)
class SectionPoint:
    """A published melt: moles by salt, which way its composition may be off, what froze, T, both errors, source."""

    moles: Mapping[str, float]
    along: Mapping[str, float]
    solids: tuple[str, ...]
    T_K: float
    T_sigma_K: float
    x_sigma: float
    source: str


def parts(formula: str) -> Mapping[str, int]:
    """A salt or a double salt as counts of salts."""
    return double_salts()[formula].stoichiometry if formula in double_salts() else {formula: 1}


def section_points() -> list[SectionPoint]:
    """Every usable published point between a compound of AlF3 and another salt, and the fitted melts of ternary.csv."""
    found = []
    for row in melting_points():
        aluminates = [f for f in row.pair if f in double_salts() and "AlF3" in parts(f)]
        known = all(f in salts() or f in double_salts() for f in row.pair)
        doubtful = row.use == "no" or row.unsure
        x, T_K, T_sigma_K = row.x_b, row.T_K, row.T_sigma_K
        if doubtful or not aluminates or not known or x is None or T_K is None or T_sigma_K is None:
            continue
        scale = LOW_WEIGHT if row.use == "low" else 1.0
        first, second = Counter(parts(row.pair[0])), Counter(parts(row.pair[1]))
        moles = {f: (1 - x) * first[f] + x * second[f] for f in {**first, **second}}
        along = {f: float(second[f] - first[f]) for f in moles}
        x_sigma = scale * (row.x_b_sigma or READ_X_SIGMA)
        found.append(SectionPoint(moles, along, row.solids, T_K, scale * T_sigma_K, x_sigma, row.source))
    for melt in ternary_points():
        if melt.use == "fit" and "AlF3" in melt.salts:
            moles = dict(zip(melt.salts, melt.fractions, strict=True))
            found.append(
                SectionPoint(moles, dict.fromkeys(moles, 0.0), melt.solids, melt.T_K, melt.T_sigma_K, 0.0, melt.source)
            )
    return [point for point in found if set(point.moles) <= set(salts()) and len(point.moles) == 3]


@dataclass(frozen=True)
class _Rows:
    """Equations of one point: own (rows, P) and term {kind: (rows,)} times the unknowns = target, with the errors.

    others: pair -> (rows, its parameters), what that pair's coefficients do to D; fusion: salt -> (rows,), what one
    sigma of its fusion energy does.
    """

    own: np.ndarray
    term: Mapping[str, np.ndarray]
    target: np.ndarray
    error: np.ndarray
    others: Mapping[frozenset, np.ndarray]
    fusion: Mapping[str, np.ndarray]


def _force(system: SaltSystem, solid: Solid, moles: np.ndarray, T_K: float) -> float:
    """D of a solid beside a melt of these moles, J/mol."""
    melts = Melts(system, (moles / moles.sum())[None, :])
    return float(melts.driving_force(solid, np.array([T_K]))[0][0])


def _near_melting(solid: Solid, T_K: float) -> bool:
    return not isinstance(solid, PureSolid) or FAR_BELOW * salt(solid.name).melting_point_K < T_K


def _rows(system: SaltSystem, unknown: PairModel | None, point: SectionPoint) -> _Rows | None:
    """Equations of one point; None where none of its solids is in the model."""
    fixed = [s for s in system.solids if not isinstance(s, SolutionSolid) and s.name in point.solids]
    solids = [s for s in fixed if _near_melting(s, point.T_K)]
    if not solids:
        return None
    moles, along = (np.array([part[f] for f in system.salts]) for part in (point.moles, point.along))
    x = moles / moles.sum()
    shapes = {kind: system.term_shape(x[None, :], (0, 1, 2), kind)[0] for kind in SPREAD_T}
    D, by_T, by_x, gradients, fusion = [], [], [], [], []
    for solid in solids:
        D.append(_force(system, solid, moles, point.T_K))
        by_T.append(driving_slope(Melts(system, x[None, :]), solid, point.T_K, None))
        ahead, behind = (_force(system, solid, moles + s * _DX * along, point.T_K) for s in (1, -1))
        by_x.append((ahead - behind) / (2 * _DX))
        gradients.append(system.parameter_gradient(solid, x, point.T_K, None))
        fusion.append(system.fusion_errors(solid, point.T_K, None))
    own_rows = [row[: len(system.pairs)] for row in gradients]  # what terms do stands apart
    by_pair = {frozenset(p.salts): np.array(g) for p, g in zip(system.pairs, zip(*own_rows, strict=True), strict=True)}
    fusion_of = dict(zip(system.salts, np.array(fusion).T, strict=True))
    for pair in system.pairs:
        for formula, response in zip(pair.salts, pair.fusion_response, strict=True):
            fusion_of[formula] = fusion_of[formula] + by_pair[frozenset(pair.salts)] @ response
    own = np.zeros((len(D), 0)) if unknown is None else by_pair.pop(frozenset(unknown.salts))
    error = point.T_sigma_K**2 * np.outer(by_T, by_T) + point.x_sigma**2 * np.outer(by_x, by_x)
    weights = np.array([solid_weights(solid, 3, None) for solid in solids])
    term = {kind: weights @ shape for kind, shape in shapes.items()}
    return _Rows(own, term, -np.array(D), error + FLOOR_J_mol**2 * np.eye(len(D)), by_pair, fusion_of)


def _joint_covariance(rows: Sequence[_Rows], models: Mapping) -> np.ndarray:
    """Covariance of all equations together: each point's own errors, then what pairs and pure salts shift alike."""
    total = block_diag(*[r.error for r in rows])
    for key in dict.fromkeys(key for r in rows for key in r.others):
        width = len(models[key].parameters)
        slope = np.vstack([r.others.get(key, np.zeros((len(r.target), width))) for r in rows])
        total += slope @ models[key].covariance @ slope.T
    for formula in dict.fromkeys(f for r in rows for f in r.fusion):
        shift = np.concatenate([r.fusion.get(formula, np.zeros(len(r.target))) for r in rows])
        total += np.outer(shift, shift)
    return total


@dataclass(frozen=True)
class TernaryTerm:
    """Fitted ternary coefficient of a melt, J/mol, with standard deviation and where it comes from."""

    salts: tuple[str, ...]
    kind: str
    value_J_mol: float
    sigma_J_mol: float
    points: int
    sources: tuple[str, ...]


@dataclass(frozen=True)
class SectionFit:
    """One fit: the pair that had none (None where all pairs are fitted) and the ternary terms."""

    pair: PairModel | None
    terms: tuple[TernaryTerm, ...]


def fit_sections(unknown: tuple[str, str] | None, models: Mapping, points: Sequence[SectionPoint]) -> SectionFit | None:
    """Fit of the pair `unknown` and a ternary term for each kind of melt among the points; None without equations."""
    size = 0 if unknown is None else len(PARAMETERS)
    blank = None if unknown is None else _blank(unknown)
    pool = dict(models) if blank is None else {**models, frozenset(blank.salts): blank}
    free = {key: _terms_of(key, points) for key in _triples(points, pool)}
    systems = {
        key: SaltSystem(salts_in_order(key), pool, terms={} if kinds else expected_terms(key, pool))
        for key, kinds in free.items()
    }
    met = [(p, _rows(systems[key], blank, p)) for p in points if (key := frozenset(p.moles)) in systems]
    kept = [(point, rows) for point, rows in met if rows is not None]
    if not kept:
        return None
    unknowns = [(key, kind) for key, kinds in free.items() for kind in kinds]
    root = np.linalg.cholesky(_joint_covariance([rows for _, rows in kept], models))
    columns = [
        np.column_stack([r.own, *[r.term[kind] * float(frozenset(p.moles) == key) for key, kind in unknowns]])
        for p, r in kept
    ]
    design = np.linalg.solve(root, np.vstack(columns))
    target = np.linalg.solve(root, np.concatenate([rows.target for _, rows in kept]))
    P, t = _priors(size, [expected_terms(key, pool)[key, kind] for key, kind in unknowns])
    covariance = np.linalg.inv(P.T @ P + design.T @ design)
    theta = covariance @ (P.T @ t + design.T @ target)
    misfit = target - design @ theta
    covariance = covariance * max(1.0, float(misfit @ misfit) / max(len(misfit) - len(theta), 1))
    return _answer(blank, unknowns, theta, covariance, [point for point, _ in kept])


def _triples(points: Sequence[SectionPoint], pool: Mapping) -> list[frozenset]:
    """Kinds of melt whose three pairs are all in the pool, in the order met."""
    kinds = dict.fromkeys(frozenset(point.moles) for point in points)
    return [key for key in kinds if all(frozenset((f, g)) in pool for f in key for g in key if f != g)]


def _terms_of(names: frozenset, points: Sequence[SectionPoint]) -> list[str]:
    """Which ternary terms are fitted to the points of one kind of melt; on the section s_2 keeps its prior's spread."""
    return list(SPREAD_T) if sum(frozenset(p.moles) == names for p in points) >= TERM_POINTS else []


def _blank(pair: tuple[str, str]) -> PairModel:
    size = len(PARAMETERS)
    zero = np.zeros((size, size))
    return PairModel(pair, Origin.FITTED, PARAMETERS, np.zeros(size), zero, np.zeros((2, size)), 0, None, (), "")


def _priors(size: int, terms: Sequence[tuple[float, float]]) -> tuple[np.ndarray, np.ndarray]:
    """Prior equations of the pair's coefficients and of the ternary terms (centre and spread each), whitened."""
    P, t, count = [], [], size + len(terms)
    for k in range(size // 2):
        of_a, of_b = np.zeros(count), np.zeros(count)
        of_a[2 * k] = 1 / SPREAD_A[k]
        of_b[2 * k], of_b[2 * k + 1] = 1 / (TAU_K * SPREAD_B), 1 / SPREAD_B
        P += [of_a, of_b]
        t += [CENTRE_A[k] / SPREAD_A[k], 0.0]
    P += [row / spread for row, (_, spread) in zip(np.eye(count)[size:], terms, strict=True)]
    return np.array(P), np.array(t + [centre / spread for centre, spread in terms])


def _answer(blank, free, theta, covariance, points: Sequence[SectionPoint]) -> SectionFit:
    size = 0 if blank is None else len(PARAMETERS)
    sigma = np.sqrt(np.diag(covariance))
    terms = []
    for n, (key, kind) in enumerate(free, start=size):
        own = [point for point in points if frozenset(point.moles) == key]
        sources = tuple(dict.fromkeys(point.source for point in own))
        terms.append(TernaryTerm(salts_in_order(key), kind, float(theta[n]), float(sigma[n]), len(own), sources))
    if blank is None:
        return SectionFit(None, tuple(terms))
    third = [f for f in salts() if f not in blank.salts and any(f in point.moles for point in points)]
    sources = tuple(dict.fromkeys(point.source for point in points))
    note = f"from melts with {', '.join(third)}: {NOTE}"
    pair = replace(blank, values=theta[:size], covariance=covariance[:size, :size], points=len(points))
    return SectionFit(replace(pair, sources=sources, note=note), tuple(terms))


def section_fits(models: Mapping) -> list[SectionFit]:
    """All fits to melts of AlF3 with two other fluorides, given the pairs with fits of their own."""
    points = [point for point in section_points() if "AlF3" in point.moles]
    alkalis = [p for p in points if all(salt(f).charge == 1 for f in p.moles if f != "AlF3")]
    fits = [fit_sections(None, models, alkalis)]
    for formula, component in salts().items():
        if component.anion == "F" and component.charge > 1 and formula != "AlF3":
            fits.append(fit_sections((formula, "AlF3"), models, [p for p in points if formula in p.moles]))
    return [fit for fit in fits if fit is not None]


def measured_models() -> dict[frozenset, PairModel]:
    """The pairs of the generated files that have fits of their own."""
    return {key: m for key, m in pair_fits().items() if m.status == Origin.FITTED and NOTE not in m.note}


def section_models(models: Mapping) -> dict[frozenset, PairModel]:
    """The pairs of AlF3 that only such melts tell of."""
    return {frozenset(fit.pair.salts): fit.pair for fit in section_fits(models) if fit.pair is not None}


def regenerate() -> dict[str, str]:
    """Text of data/fitted/ternary_terms.csv from the pairs and published melts as they stand."""
    terms = [term for fit in section_fits(measured_models()) for term in fit.terms]
    known, models = {frozenset(term.salts) for term in terms}, pair_fits()
    for names in unmeasured_melts(known):
        expected = expected_terms(names, models)
        terms += [TernaryTerm(salts_in_order(names), kind, *pair, 0, ()) for (_, kind), pair in expected.items()]
    mixed = [(own, term_name(*own.members)) for own in compound_pairs()]
    terms += [TernaryTerm(salts_in_order(own.salts), name, *expected_mixing(own), 0, ()) for own, name in mixed]
    rows = []
    for term in terms:
        numbers = [digits(term.value_J_mol, term.sigma_J_mol, 3), f"{term.sigma_J_mol:.2g}", term.points]
        origin = Origin.FITTED if term.points else Origin.ESTIMATED
        rows.append([*term.salts, term.kind, *numbers, ";".join(term.sources), origin])
    return {"fitted/ternary_terms.csv": table_text(HEADER, rows)}
