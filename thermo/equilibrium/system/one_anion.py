"""All laws for one set of salts, put together once: melt interactions, pure solids, double salts, solid solutions.

A SaltSystem turns fitted pair models into the arrays the solvers need and gives, for a solid in balance with a melt,
the derivative of its driving force by every fitted parameter. That derivative carries uncertainty (linear propagation)
and is also the design row of the fit, so fitting and predicting use the same code.
Limits: 1 to 6 salts of one anion. Worked value: SaltSystem(('LiCl', 'KCl')) has the solids LiCl and KCl.
"""

import math
from collections.abc import Hashable, Iterable, Mapping, Sequence
from functools import cached_property
from itertools import combinations

import numpy as np

from thermo.equilibrium.system.crowding import crowding, model_error_J_mol
from thermo.equilibrium.system.liquid import StraightLiquid
from thermo.equilibrium.system.one_melt import Terms
from thermo.equilibrium.system.propagation import SEVERAL, Propagation
from thermo.equilibrium.system.solids import system_solids
from thermo.laws.corner_terms import CornerTerms, add_corners, corner_potentials
from thermo.laws.mixing import REFERENCE_K, add_triple, pair_basis, preference_strength, triple_potentials
from thermo.laws.solids import Solid, TripleSolid
from thermo.laws.triple_terms import TripleTerms
from thermo.records.fitted import PairModel, model_constant, pair_models
from thermo.records.joint import JointUpdate
from thermo.records.provenance import Origin
from thermo.records.substances import salt, salts
from thermo.records.ternary_terms import (
    ALUMINIUM,
    BLIND,
    Key,
    LEFT_J_mol,
    fitted_terms,
    is_mixing,
    measured_with_aluminium,
    term_sigma,
    ternary_terms,
)
from thermo.records.triple_salts import TripleEnergy, triple_energies, triple_salts
from thermo.records.units import R

MELT_METHOD = "group"
BESIDE = 0.05  # judgement: mole fraction of further salts at which a measured set of AlF3 tells no more
SURFACE = "one surface"  # the error by which a measured melt is reproduced at best, by name
Term = tuple[tuple[int, ...], str, float, float]  # positions of three salts, kind, value and sigma in J/mol
_FEW = 15  # pairs times melts that are quicker one by one than as arrays
_ABSENT = 1e-30  # stands for mole fraction zero in the logarithm


class SaltSystem(Propagation):
    """The laws of the melts made of `salts`; `models` maps frozenset pairs to PairModel (default: the fitted files)."""

    def __init__(
        self,
        salts: Sequence[str],
        models: Mapping | None = None,
        method: str = MELT_METHOD,
        preference: float | None = None,
        terms: Mapping[tuple[frozenset, str], tuple[float, float]] | None = None,
        compounds: Iterable[TripleEnergy] | None = None,
        joint: JointUpdate | None = None,
    ):
        super().__init__(salts)
        self.salts = self.constituents
        self.own = tuple(range(len(self.salts)))
        with_aluminium = measured_with_aluminium() if ALUMINIUM in self.salts else ()
        self.measured = [names for names in with_aluminium if names <= set(self.salts)]
        self.groups = [salt(f).group for f in self.salts]
        self.melting_K = np.array([salt(f).melting_point_K for f in self.salts])
        self._joint = joint
        given = models is not None or terms is not None
        known = terms if terms is not None else ternary_terms() if models is None else fitted_terms()
        models = pair_models() if models is None else models
        self.pairs: list[PairModel] = [
            models[key] for i, f in enumerate(self.salts) for g in self.salts[i + 1 :] if (key := frozenset((f, g)))
        ]
        self._as_fitted = not given and len(self.salts) > 1
        self._last = (b"", (np.zeros(0), np.zeros(0)))
        self._set_melt(method)
        self.fitted_terms = self._terms(known, terms is None)
        corners = [
            (t, self._position[kind], value) for t, kind, value, _ in self.fitted_terms if kind in self._position
        ]
        self._corners = CornerTerms(len(self.salts), corners)
        others = [term[:3] for term in self.fitted_terms if term[2] and term[1] not in self._position]
        self._aluminium = [term for term in others if not is_mixing(term[1])]
        self._alkalis = [m for m, f in enumerate(self.salts) if salt(f).charge == 1]
        self.triples = self._triples(model_constant("preference") if preference is None else preference)
        self._preferences = TripleTerms(len(self.salts), self.triples)
        mixing = {kind: value for _, kind, value, _ in self.fitted_terms if is_mixing(kind)}
        self.solids: tuple[Solid, ...] = system_solids(
            self.salts, self.pairs, triple_energies() if compounds is None else compounds, mixing
        )

    @property
    def status(self) -> Origin:
        """'fitted' when every pair is, else 'estimated'."""
        return Origin.FITTED if all(pair.status == Origin.FITTED for pair in self.pairs) else Origin.ESTIMATED

    @property
    def sources(self) -> tuple[str, ...]:
        """Source keys of the salts, of the fitted pairs and of compounds of three salts."""
        keys = [key for f in self.salts for key in salt(f).sources]
        keys += [key for pair in self.pairs for key in pair.sources]
        keys += [triple_salts()[solid.name].source for solid in self.solids if isinstance(solid, TripleSolid)]
        return tuple(dict.fromkeys(keys))

    def _terms(self, known: Mapping[tuple[frozenset, str], tuple[float, float]], free: bool) -> list[Term]:
        """Ternary terms of every three salts: those known, and where `free` the corners that nothing tells of."""
        found = []
        for names in map(frozenset, combinations(self.salts, 3)):
            at = tuple(self._position[f] for f in salts_in_order(names))
            found += [(at, kind, *known[key]) for key in known if key[0] == names for kind in (key[1],)]
            if free and ALUMINIUM not in names:
                corners = [f for f in salts_in_order(names) if (names, f) not in known]
                found += [(at, f, 0.0, term_sigma(names, f)) for f in corners]
        return found

    def _set_melt(self, method: str) -> None:
        terms, a, b, owners = [], [], [], []
        for p, pair in enumerate(self.pairs):
            i, j = (self._position[f] for f in pair.salts)
            for k, (a_k, b_k) in pair.terms("liquid").items():
                terms.append((i, j, k))
                a.append(a_k)
                b.append(b_k)
                owners.append((p, k))
        self.basis = pair_basis(self.salts, tuple(self.groups), tuple(terms), method)
        self.a, self.b, self._term_owner = np.array(a), np.array(b), owners
        self._table, self._rows = self.basis.table(self.a, self.b), self.basis.rows(a, b)

    def _triples(self, preference: float) -> list[tuple[tuple[int, int, int], float]]:
        """Positions of every three salts and the strength of their preference term, J/mol."""
        if not preference:
            return []
        L = {frozenset(pair.salts): regular_interaction(pair) for pair in self.pairs}
        found = []
        for triple in combinations(range(len(self.salts)), 3):
            if "aluminium" in (self.groups[m] for m in triple):
                continue  # AlF3 takes its fluorides from whichever neighbour: fitted terms instead (laws/mixing)
            strengths = []
            for k in triple:
                i, j = (self.salts[m] for m in triple if m != k)
                difference = L[frozenset((i, self.salts[k]))] - L[frozenset((j, self.salts[k]))]
                strengths.append(preference_strength(difference, preference))
            groups = [self.groups[m] for m in triple]
            apart = [n for n in range(3) if groups.count(groups[n]) == 1]
            found.append((triple, strengths[apart[0]] if len(apart) == 1 else sum(strengths) / 3))
        return found

    def melt_energies(self, x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Excess potentials of the melt as A + B T for x (N, n): J/mol and J/(mol K), each (N, n)."""
        if len(x) * len(self.pairs) <= _FEW:
            both = np.array([self._excess(row) for row in x.tolist()]).reshape(x.shape)
            return both.real, both.imag
        A, B = self.basis.evaluate(x, self._table)
        A += self._preferences.potentials(x)
        A += self._corners.potentials(x)
        for triple, kind, value in self._aluminium:
            A += value * self.term_shape(x, triple, kind)
        return A, B

    def _excess(self, x: Sequence[float]) -> list[complex]:
        """A + i B of one melt (n,), without arrays: `melt_energies` by the same laws."""
        found: list[complex] = [0j] * len(x)
        rest = self.basis.add_to(found, x, self._rows)
        rest += self._preferences.add_to(found, x) + self._corners.add_to(found, x)
        for at, kind, size in self._aluminium:
            rest += add_triple(found, x, at, size, self._alkalis if kind == "balance" else ())
        return [value + rest for value in found]

    def line(self, x: Sequence[float]) -> tuple[list[float], list[float]]:
        """A and slope of one melt x (n,) as `liquid` has them."""
        excess = self._excess(x)
        slope = [R * math.log(max(part, _ABSENT)) + value.imag for part, value in zip(x, excess, strict=True)]
        return [value.real for value in excess], slope

    def bends(self, x: np.ndarray, T_K: float) -> np.ndarray | None:
        """Second derivatives (n, n) of G^E by the fractions of one melt x (n,), J/mol; None with terms of AlF3."""
        if self._aluminium:
            return None
        return self.basis.bends(x, self._table, T_K) + self._preferences.bends(x) + self._corners.bends(x)

    def term_shape(self, x: np.ndarray, triple: Sequence[int], kind: str) -> np.ndarray:
        """What a fitted ternary term of these positions (coefficient 1) gives to every potential: (N, n) -> (N, n).

        kind: plain or balance (laws/mixing), or the salt whose corner it belongs to (laws/corner_terms); two compounds
        that mix as solids give nothing to the melt.
        """
        if is_mixing(kind):
            return np.zeros_like(x)
        if kind in self._position:
            return corner_potentials(x, triple, self._position[kind])
        i, j, k = triple
        return triple_potentials(x, i, j, k, self._alkalis if kind == "balance" else ())

    def term_shape_of_one(self, x: Sequence[float], triple: Sequence[int], kind: str) -> list[float]:
        """The same of one melt x (n,)."""
        found = [0.0] * len(x)
        if is_mixing(kind):
            return found
        if kind in self._position:
            corner = self._position[kind]
            rest = add_corners(found, x, triple, [float(m == corner) for m in triple])
        else:
            rest = add_triple(found, x, triple, 1.0, self._alkalis if kind == "balance" else ())
        return [value + rest for value in found]

    def ideal_logs(self, x: np.ndarray) -> np.ndarray:
        """ln of the ideal activity of every salt, (N, n): with one anion ln x."""
        return np.log(np.maximum(x, _ABSENT))

    @cached_property
    def plain(self) -> Terms:
        """What single melts need, as plain numbers."""
        return Terms(self)

    def liquid(self, x: np.ndarray) -> StraightLiquid:
        """Melts x (N, n) as solvers want them."""
        if len(x) == 1:
            return StraightLiquid(*([row] for row in self.line(x[0].tolist())))
        A, B = self.melt_energies(x)
        return StraightLiquid(A, R * self.ideal_logs(x) + B)

    def pair_term_potentials(self, pair: PairModel, order: int, x: np.ndarray) -> np.ndarray:
        """What one liquid term of a pair (coefficient 1) gives to every potential, (N, n)."""
        return self.basis.term_potentials(x, self._term_owner.index((self.pairs.index(pair), order)))

    def excess_potentials(self, x: np.ndarray, T_K: float | np.ndarray) -> np.ndarray:
        """Excess chemical potentials of the melt at T, J/mol: x (N, n) -> (N, n). R T ln a = R T ln x + this."""
        A, B = self.melt_energies(x)
        return A + B * T_K

    def liquid_terms(self, x: np.ndarray, weights: np.ndarray, T_K: float) -> dict[tuple[int, int], float]:
        """What each liquid term, by (position of its pair, order), gives to weights . mu at one melt x (n,)."""
        return dict(zip(self._term_owner, (weights @ self._at(x)[0]).tolist(), strict=True))

    def _at(self, x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """What every liquid term and every ternary one does to the potentials of one melt; of the last one kept."""
        if self._last[0] != (key := x.tobytes()):
            self._last = (key, (self.basis.matrix(x[None, :])[0], self.term_shapes(x)))
        return self._last[1]

    @property
    def term_spreads(self) -> list[tuple[Key, float]]:
        """As Propagation's, one for each of `fitted_terms`."""
        return [((frozenset(self.salts[m] for m in at), kind), sigma) for at, kind, _, sigma in self.fitted_terms]

    def term_row(self, x: np.ndarray, weights: np.ndarray, T_K: float) -> np.ndarray:
        """As Propagation's."""
        return self._at(x)[1] @ weights

    def term_shapes(self, x: np.ndarray) -> np.ndarray:
        """What each of `fitted_terms` (coefficient 1) gives to every potential of one melt x (n,): (terms, n)."""
        own = x.tolist()
        rows = [self.term_shape_of_one(own, at, kind) for at, kind, *_ in self.fitted_terms]
        return np.array(rows).reshape(len(rows), len(own))

    def _beside(self, x: np.ndarray) -> float:
        """How much of a melt of AlF3 lies beside the nearest set of salts that was measured, mole fraction."""
        held = [sum(x[self._position[f]] for f in names) for names in self.measured]
        return 1.0 - float(max(held, default=0.0))

    def melt_errors(self, x: np.ndarray, weights: np.ndarray, T_K: float) -> dict[Hashable, float]:
        """Errors (J/mol) of weights . mu that no parameter carries: those of one surface, and of AlF3 with others."""
        corners = {frozenset(at) for at, kind, *_ in self.fitted_terms if kind in self._position}
        terms = {frozenset(at) for at, kind, *_ in self.fitted_terms if not is_mixing(kind)}
        surface = LEFT_J_mol[salt(self.salts[0]).anion]
        if ALUMINIUM in self.salts:  # a trace of it changes nothing
            own = max(LEFT_J_mol[ALUMINIUM], LEFT_J_mol[BLIND] * min(1.0, self._beside(x) / BESIDE))
            surface += (own - surface) * min(1.0, float(x[self._position[ALUMINIUM]]) / BESIDE)
        surface *= min(1.0, crowding(x))
        return {SEVERAL: model_error_J_mol(x, terms, corners), SURFACE: surface}


def salts_in_order(names: frozenset) -> tuple[str, ...]:
    """Three salts of an AlF3 melt as the balance term wants them: by charge, then as listed; AlF3 comes last."""
    return tuple(sorted((f for f in salts() if f in names), key=lambda f: salt(f).charge))


def regular_interaction(pair: PairModel) -> float:
    """a_0 + b_0 T of a pair's melt at the reference temperature, 4 G^E(x = 1/2) of an unbent pair, J/mol."""
    a, b = pair.terms("liquid").get(0, (0.0, 0.0))
    return a + b * REFERENCE_K
