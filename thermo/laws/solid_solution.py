"""Solid solutions: salts that share one lattice, in any proportion or up to a limit.

The driving force (laws/solids) of the composition that forms most readily, d_i being those of the pure solid salts:
    D = max over y of sum y_i d_i - R T sum y_i ln y_i - G^E(y, T)
    with G^E = sum over pairs y_i y_j sum_k (a_k + b_k T) (y_i - y_j)^k + sum y_i E_i,   k = 0 and 1
E_i is what salt i, a stranger to this kind of crystal, lies in it above its own crystal (rock salt that takes up MgCl2:
E > 0, or rock salt would be the crystal of MgCl2); 0 for the salts whose own kind it is.
The best y is found on a grid and then by y_i proportional to exp((d_i - mu^E_i(y)) / R T), which converges wherever the
solution is stable against unmixing. dD/dT needs no dy/dT: D is at its maximum in y (envelope theorem).
Source of the form: Redlich & Kister 1948.
Limits: one lattice a solution, formula units as mixing species; what the vacancies do that a stranger of another charge
brings along is left to a_0 + b_0 T.
Worked value: an ideal solution with d_1 = d_2 = 0 at 1000 K: y = (0.5, 0.5), D = R T ln 2 = 5763 J/mol.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from thermo.laws.mixing import PairBasis
from thermo.laws.solids import Force
from thermo.records.parameters import HOSTED, LATTICE, SHARED, Parameter
from thermo.records.substances import salt, salts
from thermo.records.units import R

_SETTLED = 1e-9  # change of ln y in a step
_FEW = 200  # the last melts to converge, near a critical point: there a call costs more than its work
_STEADIEST = 0.99  # steps that shrink by less tell nothing of where they end
_GRID_STEPS = {1: 1, 2: 40, 3: 16, 4: 10, 5: 8, 6: 6}


def simplex_grid(members: int, steps: int) -> np.ndarray:
    """All compositions of `members` parts in steps of 1/steps, shape (count, members), rows summing to 1."""
    if members == 1:
        return np.ones((1, 1))
    if members == 2:
        first = np.arange(steps + 1) / steps
        return np.column_stack([first, 1 - first])
    axes = np.meshgrid(*[np.arange(steps + 1)] * (members - 1), indexing="ij")
    free = np.column_stack([axis.ravel() for axis in axes])
    free = free[free.sum(axis=1) <= steps]
    return np.column_stack([free, steps - free.sum(axis=1)]) / steps


def _rows(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Sum of products along each row (einsum: numpy's sum over a short axis is ten times slower)."""
    return np.einsum("ij,ij->i", a, b)


@dataclass(frozen=True)
class SolutionSolid:
    """A solid solution of the salts at positions `indices`, named by `formulas`, in one lattice.

    terms: (i, j, order) between members, order 0 or 1; a J/mol and b J/(mol K) one a term. strangers: (member, E J/mol)
    of those whose own crystal is of another kind.
    """

    formulas: tuple[str, ...]
    indices: tuple[int, ...]
    terms: tuple[tuple[int, int, int], ...]
    a: tuple[float, ...]
    b: tuple[float, ...]
    strangers: tuple[tuple[int, float], ...] = ()

    @cached_property
    def natives(self) -> tuple[int, ...]:
        """Members whose own kind of crystal this is."""
        return tuple(m for m in range(len(self.formulas)) if m not in dict(self.strangers))

    @cached_property
    def lattice_energies(self) -> np.ndarray:
        """E of every member, J/mol."""
        return np.array([dict(self.strangers).get(m, 0.0) for m in range(len(self.formulas))])

    @cached_property
    def basis(self) -> PairBasis:
        """The solution's excess terms as design functions (same mathematics as the melt's, Muggianu form)."""
        return PairBasis(self.formulas, ["solid"] * len(self.formulas), self.terms, "muggianu")

    @cached_property
    def table(self) -> np.ndarray:
        """The coefficients as `basis` takes them."""
        return self.basis.table(np.array(self.a), np.array(self.b))

    @cached_property
    def _matrices(self) -> np.ndarray:
        """Coefficients as matrices W[order, a or b, i, j]: symmetric for order 0, antisymmetric for order 1."""
        count = len(self.formulas)
        W = np.zeros((2, 2, count, count))
        for (i, j, order), *values in zip(self.terms, self.a, self.b, strict=True):
            for part, value in enumerate(values):
                W[order, part, i, j] += value
                W[order, part, j, i] += value if order == 0 else -value
        return W

    def excess_potentials(self, y: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Excess potentials A + B T of the members at y (N, m), both (N, m).

        Closed form of `basis` for orders 0 and 1, because an iteration asks for it often: with G0 = y W y / 2 and
        G1 = sum_ij V_ij y_i y_j (y_i - y_j) / 2, mu_i = (W y)_i - G0 + 2 y_i (V y)_i - (V y^2)_i - 2 G1;
        strangers add their E.
        """
        found = []
        for part in (0, 1):
            mu = self._unbent(y, y @ self._matrices[0, part].T)
            found.append(mu + self._bent(y, part) if self._bends[part] else mu)
        return (found[0] + self.lattice_energies if self.strangers else found[0]), found[1]

    @cached_property
    def _bends(self) -> tuple[bool, bool]:
        """Whether any term of order 1 has an a, and a b."""
        return bool(self._matrices[1, 0].any()), bool(self._matrices[1, 1].any())

    @staticmethod
    def _unbent(y: np.ndarray, linear: np.ndarray) -> np.ndarray:
        return linear - 0.5 * _rows(y, linear)[:, None]

    def _bent(self, y: np.ndarray, part: int) -> np.ndarray:
        V = self._matrices[1, part]
        bent, square = y @ V.T, y * y
        return 2 * y * bent - square @ V.T - 2 * _rows(square, bent)[:, None]

    def _excess_at(self, y: np.ndarray, T: np.ndarray) -> np.ndarray:
        """A + B T at one temperature a row, T (N, 1): cheaper than both apart, for the iteration."""
        mu = self._unbent(y, y @ self._matrices[0, 0].T + T * (y @ self._matrices[0, 1].T))
        if self._bends[0]:
            mu += self._bent(y, 0)
        if self._bends[1]:
            mu += T * self._bent(y, 1)
        return mu + self.lattice_energies if self.strangers else mu

    @cached_property
    def grid(self) -> tuple[np.ndarray, np.ndarray]:
        """Grid compositions (count, members), and what D is made of there: rows for each d, for T, and for 1."""
        y = simplex_grid(len(self.formulas), _GRID_STEPS[len(self.formulas)])
        y = np.clip(np.sin(0.5 * np.pi * y) ** 2, 1e-6, None)  # closer to the ends, where dilute solutions lie
        y /= y.sum(axis=1, keepdims=True)
        A, B = self.excess_potentials(y)
        by_T = -R * _rows(y, np.log(y)) - _rows(y, B)
        return y, np.vstack([y.T, by_T, -_rows(y, A)])

    @cached_property
    def missed_by_grid(self) -> float:
        """In R T: no D is higher than the grid's best by more.

        With y = sin^2 the ideal part of D bends by no more than pi^2 R T along each of m - 1 directions, and a grid
        point is half a step away at most: (m - 1) (pi / 2 s)^2 / 2 for s steps. Twice that, for interactions.
        """
        return (len(self.formulas) - 1) * (0.5 * math.pi / _GRID_STEPS[len(self.formulas)]) ** 2

    @cached_property
    def grid_step(self) -> float:
        """Sum of |differences| of y within which the next grid point lies: half a step of y = sin^2 at its widest."""
        return (len(self.formulas) - 1) * 0.5 * math.pi / _GRID_STEPS[len(self.formulas)]

    def grid_start(self, d: np.ndarray, T_K: np.ndarray, near: int | None = None) -> np.ndarray:
        """Best grid composition for driving forces d (N, members) at T (N,); `near`: on one member's side."""
        y, parts = self.grid
        D = np.column_stack([d, T_K, np.ones(len(T_K))]) @ parts  # one product: this array is the largest of all
        if near is not None:
            D = np.where(y[:, near] >= 0.5, D, -np.inf)
        return y[np.argmax(D, axis=1)]

    def refine(self, y: np.ndarray, d: np.ndarray, T_K: np.ndarray, rounds: int, hasten: bool = False) -> np.ndarray:
        """Fixed-point steps towards the best composition from y (N, members).

        hasten: after every two steps carry on to where steps that shrink by their own ratio would end (Aitken 1926), of
        use near a critical point, where the ratio is close to one; but not to where D is lower.
        """
        if hasten:
            return self._hastened(y, d, T_K, rounds)
        T = T_K[:, None]
        RT, ones = R * T, np.ones(y.shape[1])
        for _ in range(rounds):
            z = (d - self._excess_at(y, T)) / RT
            top = z[:, 0]
            for m in range(1, z.shape[1]):
                top = np.maximum(top, z[:, m])
            y = np.exp(np.maximum(z - top[:, None], -50.0))
            y /= (y @ ones)[:, None]
        return y

    def _hastened(self, y: np.ndarray, d: np.ndarray, T_K: np.ndarray, rounds: int) -> np.ndarray:
        for _ in range(rounds):
            one = self.refine(y, d, T_K, 1)
            two = self.refine(one, d, T_K, 1)
            first, second = np.log(one / y), np.log(two / one)
            if np.abs(second).max() < _SETTLED:
                return two
            ratio = _rows(first, second) / np.maximum(_rows(first, first), 1e-30)
            ahead = np.where((ratio > 0) & (ratio < _STEADIEST), ratio / np.maximum(1 - ratio, 1 - _STEADIEST), 0.0)
            far = two * np.exp(np.clip(second * ahead[:, None], -1.0, 1.0))
            far /= far.sum(axis=1, keepdims=True)
            better = self._force(far, d, T_K) >= self._force(two, d, T_K)  # steps that turn may lead far off
            y = np.where(better[:, None], far, two)
        return y

    def _force(self, y: np.ndarray, d: np.ndarray, T_K: np.ndarray) -> np.ndarray:
        """D at composition y (N, members)."""
        T = T_K[:, None]
        return _rows(y, d - self._excess_at(y, T) - R * T * np.log(y))

    def member_forces(self, forces: np.ndarray, T_K: np.ndarray) -> np.ndarray:
        """Driving forces (N, members) of the members by themselves from those of the salts at `indices` at T (N,)."""
        return forces

    def of_members(self, values: np.ndarray) -> np.ndarray:
        """What the salts at `indices` have (salts, ...) as the members have it (members, ...)."""
        return values

    def energies(self, y: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Potentials A + B T of the members at y (N, members) above the solid salts, per mole of salts."""
        A, B = self.excess_potentials(y)
        return A, R * np.log(y) + B

    def best(self, forces, slopes, T_K, y=None, near=None, rounds=2) -> Force:
        """See Solid."""
        if y is None:
            y = self.refine(self.grid_start(forces, T_K, near), forces, T_K, rounds)
        y = self.refine(y, forces, T_K, rounds, hasten=len(T_K) < _FEW)
        D, own_slope = self.driving_force(y, forces, T_K)
        return D, _rows(y, slopes) + own_slope, y

    def slope(self, slopes: np.ndarray, y: np.ndarray | None) -> float:
        """See Solid."""
        own = self.members(y)[None, :]
        _, B = self.excess_potentials(own)
        return float(((own[0] * slopes).sum() - R * _rows(own, np.log(own)) - _rows(own, B))[0])

    def phase_of(self, salts: tuple[str, str]) -> str | None:
        """Which phase of the pair of these salts it is; None where the two have nothing to do with each other in it."""
        if not set(salts) <= set(self.formulas):
            return None
        natives = [f for f in salts if self.formulas.index(f) in self.natives]
        if len(natives) == 2:
            return SHARED
        return HOSTED + natives[0] if natives else None

    def share(self, salts: tuple[str, str], parameter: Parameter, T_K: float, y: np.ndarray | None) -> float:
        """See Solid."""
        if parameter.phase != self.phase_of(salts):
            return 0.0
        y_i, y_j = (float(self.members(y)[self.formulas.index(f)]) for f in salts)
        if parameter.term == LATTICE:
            return y_j if parameter.host == salts[0] else y_i
        return y_i * y_j * (y_i - y_j) ** parameter.order * parameter.factor(T_K)

    def moved(self, places: int) -> "SolutionSolid":
        """See Solid."""
        return replace(self, indices=tuple(i + places for i in self.indices))

    def driving_force(self, y: np.ndarray, d: np.ndarray, T_K: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """D at composition y and the part of dD/dT that does not come from d: both (N,)."""
        A, B = self.excess_potentials(y)
        slope = -R * _rows(y, np.log(y)) - _rows(y, B)
        return _rows(y, d - A) + T_K * slope, slope

    @cached_property
    def name(self) -> str:
        """See Solid: 'LiCl' or '(Na,K)Cl'."""
        return self.label(np.full(len(self.formulas), 1 / len(self.formulas)))

    def shares(self, y: np.ndarray | None) -> np.ndarray:
        """See Solid."""
        return self.members(y)

    def members(self, y: np.ndarray | None) -> np.ndarray:
        """The composition given (m,); ValueError for None, which only solids of fixed composition may have."""
        if y is None:
            raise ValueError(f"solid solution of {', '.join(self.formulas)}: its composition is missing")
        return y

    def label(self, y: np.ndarray | None) -> str:
        """'NaCl' when nearly pure, else '(Na,K)Cl' with the members above 2 mol%; strangers follow: 'LiCl(MgCl2)'."""
        y = self.members(y)
        own = dict(zip(self.formulas, y, strict=True))
        present = [f for f in salts() if own.get(f, 0.0) > 0.02]  # one name, whichever salt was asked for first
        guests = [f for f in present if self.formulas.index(f) not in self.natives]
        hosts = [f for f in present if f not in guests] or [self.chief(y)]
        return self._name(hosts) + (f"({','.join(guests)})" if guests else "")

    def chief(self, y: np.ndarray) -> str:
        """The salt that gives a nearly pure solid its name: the most abundant of those whose own crystal this is."""
        return self.formulas[max(self.natives, key=lambda m: y[m])]

    @staticmethod
    def _name(members: Sequence[str]) -> str:
        """The formula of one salt, '(Na,K)Cl' or '(LiCl,MgCl2)' for several."""
        if len(members) == 1:
            return members[0]
        first = salt(members[0])
        tail = members[0].removeprefix(first.cation)
        same = all(f.removeprefix(salt(f).cation) == tail for f in members)
        return f"({','.join(salt(f).cation for f in members)}){tail}" if same else f"({','.join(members)})"
