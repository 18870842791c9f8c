"""The melt of two anions as a phase of free composition: its ions instead of its salts (see mixture).

A composition is the moles of every cation, of fluoride and of chloride a mole of cations: X_1 .. X_c, F, Cl with
sum X_i = 1 and F + Cl = zbar = sum z_i X_i. Its variables are ln N_i and t = ln(F/Cl), the potentials those of the
chlorides and of fluoride in a chloride's place,
    mu_i = mu(M_i Cl_z),  mu_F = (mu(M_i F_z) - mu(M_i Cl_z)) / z_i, the same for every i
near mu_i = R T (ln X_i + z_i ln Y_Cl) and mu_F = R T t: nearly straight however scarce an ion is. For the amounts
    dN_i = N_i dlnN_i        dF = F sum(z_i N_i dlnN_i) / (zbar N) + N F Cl / zbar dt
Limits: both anions and every cation present, if only as a trace.
Worked value: ideal, all potentials 0 above the pure salts, charge 1, 1000 K: F = Cl = 1/2, f = -5763 J/mol.
"""

from functools import cached_property

import numpy as np

from thermo.equilibrium.phases.conserved import IonComponents
from thermo.equilibrium.phases.mixture import Mixture, clipped
from thermo.equilibrium.phases.mixture_laws import NUDGE
from thermo.equilibrium.system.driving_force import Melts
from thermo.equilibrium.system.ion_liquid import IonLiquid
from thermo.laws.solid_solution import simplex_grid
from thermo.records.units import R

_ORDER_K = 1000.0  # at which cations are put in the order of their preference for fluoride
_NODE_K = 20.0  # between temperatures at which the grid is worked out
_CURVED = 1e-2  # J/(mol K2): no melt lies further above its tangent (0.004 seen), so none looks more stable than it is
_CATION_STEPS = {1: 1, 2: 30, 3: 16, 4: 10, 5: 8, 6: 6}
_ANION_STEPS = {1: 60, 2: 24, 3: 12, 4: 10, 5: 8, 6: 8}


class IonMelt(Mixture):
    """The liquid of a system of two anions (one whose `salts` are all salts of its ions)."""

    smallest = 1e-12  # a trace of one anion beside the other is common: its potential must not hang on the grid's edge

    search_downhill = True  # two liquids may part in two steps: of 120 random mixes two hid a third liquid

    def __init__(self, components: IonComponents):
        self.components, self.z, self._system = components, components.z, components.system
        count = len(self.z)
        self.everything = tuple(range(2 * count))
        self._last: dict[int, tuple[np.ndarray, np.ndarray]] = {}
        self._tangents: dict[int, tuple[np.ndarray, np.ndarray]] = {}
        super().__init__(components, None)
        self.rows = np.eye(count + 1)
        self.scale = np.append(np.ones(count), 0.0)
        self._nudges = 1 + NUDGE * np.vstack([np.zeros(count + 2), np.eye(count + 1, count + 2)])

    def _grid(self) -> np.ndarray:
        count = len(self.z)
        cations = simplex_grid(count, _CATION_STEPS[count])
        anions = simplex_grid(2, _ANION_STEPS[count])
        pairs = np.hstack([np.repeat(cations, len(anions), axis=0), np.tile(anions, (len(cations), 1))])
        return self.normalised(np.vstack([pairs, *self._matched(cations)]))

    def _matched(self, cations: np.ndarray) -> list[np.ndarray]:
        """Melts with just as much fluoride as the cations that prefer it most can bind, for the first one, two ...

        There a melt is ordered best: a valley narrower than the steps of the grid.
        """
        equivalents = self.z * cations
        preferring = np.argsort(self._system.exchange_energies(_ORDER_K) / self.z)
        bound = np.cumsum(equivalents[:, preferring[:-1]], axis=1)
        total = equivalents.sum(axis=1)
        return [np.column_stack([cations, fluoride, total - fluoride]) for fluoride in bound.T]

    def normalised(self, x: np.ndarray) -> np.ndarray:
        """One mole of cations and as many anions as their charges want: x (..., c + 2), same shape back."""
        count = len(self.z)
        x = x.copy()
        x[..., :count] /= x[..., :count].sum(axis=-1, keepdims=True)
        x[..., count:] *= (x[..., :count] @ self.z / x[..., count:].sum(axis=-1))[..., None]
        return x

    def fractions(self, x: np.ndarray) -> np.ndarray:
        """Ions x (..., c + 2) as mole fractions of all their salts (..., 2 c), fluorides first."""
        count = len(self.z)
        shares = x[..., count:] / x[..., count:].sum(axis=-1, keepdims=True)
        return np.concatenate([x[..., :count] * shares[..., :1], x[..., :count] * shares[..., 1:]], axis=-1)

    def from_kept(self, w: np.ndarray) -> np.ndarray:
        """Ions (N, c + 2) from the components, w (N, c + 1)."""
        return np.hstack([w, (w[:, :-1] @ self.z - w[:, -1])[:, None]])

    def _parts(self, x: np.ndarray) -> Melts:
        melts = Melts(self.components.system, self.fractions(x))
        if len(x) in self._last and isinstance(melts.liquid, IonLiquid):
            melts.liquid.near = self._last[len(x)]
        return melts

    def forget(self) -> None:
        """Drop the pairs of the last melts, which save steps: no answer may hang on earlier questions."""
        self._last.clear()

    def _at(self, parts: Melts, T_K: float) -> np.ndarray:
        fusion = self.components.system.fusion(self.everything).energy_and_slope(np.array([T_K]))[0]
        mu = parts.potentials(T_K) + fusion + self.components.levels(T_K)
        if isinstance(parts.liquid, IonLiquid):
            self._last[len(parts.x)] = parts.liquid.near
        count = len(self.z)
        return np.hstack([mu[:, count:], ((mu[:, :1] - mu[:, count : count + 1]) / self.z[0])])

    def grid_energies(self, T_K: float) -> np.ndarray:
        """`energies` of every grid composition, from the tangent in T at the next of a few temperatures.

        G is concave in T, so a tangent lies above it, by less than 1 J/mol here.
        """
        node, salts = round(T_K / _NODE_K), self._grid_salts
        if node not in self._tangents:
            at = Melts(self.components.system, salts).liquid.at(np.full(len(self.grid), node * _NODE_K))
            energy, slope = ((salts * part).sum(axis=1) for part in at)
            self._tangents[node] = energy, slope
        energy, slope = self._tangents[node]
        away = T_K - node * _NODE_K
        fusion = self.components.system.fusion(self.everything).energy_and_slope(np.array([T_K]))[0][0]
        return energy + away * slope + _CURVED * away**2 + salts @ (fusion + self.components.levels(T_K))

    @cached_property
    def _grid_salts(self) -> np.ndarray:
        """The grid as mole fractions of all salts."""
        return self.fractions(self.grid)

    def weigh(self, x: np.ndarray) -> np.ndarray:
        """Share of each variable in the mole that is counted: the cations'."""
        return np.concatenate([x[..., : len(self.z)], np.zeros((*x.shape[:-1], 1))], axis=-1)

    def amount_slopes(self, x: np.ndarray) -> np.ndarray:
        """dw_i/du_j (c + 1, c + 1) of one composition, u = (ln N, t)."""
        count = len(self.z)
        slopes = np.diag(np.append(x[:count], x[count] * x[count + 1] / x[count:].sum()))
        slopes[count, :count] = x[count] * self.z * x[:count] / x[count:].sum()
        return slopes

    def gradient(self, x: np.ndarray, away: np.ndarray, force: np.ndarray) -> np.ndarray:
        """df/du (S, c + 1) at compositions x from potentials less potentials `away` and driving forces (S, 1)."""
        count = len(self.z)
        F, total = x[:, count, None], x[:, count:].sum(axis=1, keepdims=True)
        of_cations = x[:, :count] * (away[:, :count] - force + F / total * self.z * away[:, count:])
        return np.hstack([of_cations, F * x[:, count + 1 :] / total * away[:, count:]])

    def ideal_step(self, x: np.ndarray, down: np.ndarray, T_K: float) -> np.ndarray:
        """Step in u of an ideal melt: ln Y_Cl falls by Y_F dt, which the cations' potentials feel z times."""
        count = len(self.z)
        step = down / (R * T_K)
        step[:, :count] += x[:, count, None] / x[:, count:].sum(axis=1, keepdims=True) * self.z * step[:, count:]
        return step

    def moved(self, x: np.ndarray, step: np.ndarray) -> np.ndarray:
        """Compositions after a step in u; the anion that gains is the one whose rise is bounded."""
        count = len(self.z)
        size = x.copy()
        size[..., count:] /= x[..., count:].sum(axis=-1, keepdims=True)
        t = step[..., count:]
        return self.normalised(
            clipped(size, np.concatenate([step[..., :count], np.maximum(t, 0), np.maximum(-t, 0)], -1))
        )

    def way(self, start: np.ndarray, end: np.ndarray) -> np.ndarray:
        """The step in u from one composition to another."""
        ratio = np.log(end / start)
        return np.append(ratio[:-2], ratio[-2] - ratio[-1])
