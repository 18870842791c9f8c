"""All laws for salts with two anions: the counterpart of SaltSystem for melts of fluorides with chlorides.

The melt is described by its ions (laws/two_anions); every salt that its ions can form is a possible solid, whether it
was weighed in or not, and so are the double salts and solid solutions of both anions and the mixed salts MFCl. Solvers
see the same interface as SaltSystem: `salts` are those weighed in, `constituents` all salts of the ions, fluorides
first.
Interactions: those fitted for each anion (pairs of cations) and for each cation (pairs MF_z-MCl_z).
Limits: 1 to 6 cations, which all have both a fluoride and a chloride in the list.
Worked value: LiF-KCl has the constituents LiF, KF, LiCl, KCl; LiF and KCl are the stable pair.
"""

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import replace
from functools import cache, cached_property
from itertools import combinations

import numpy as np

from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.equilibrium.system.propagation import SEVERAL, Propagation
from thermo.equilibrium.system.solids import Solid
from thermo.laws import two_anions
from thermo.laws.formation import formation_gibbs, formation_row
from thermo.laws.solids import DoubleSolid, PureSolid
from thermo.records.fitted import PairModel, model_constant, pair_models
from thermo.records.provenance import InputError
from thermo.records.substances import double_salts, salt, salt_of

_SPAN_K = np.linspace(650.0, 1350.0, 15)  # where the exchange energies are taken as straight lines in T


class ReciprocalSystem(Propagation):
    """The laws of melts of `salts` of two anions; `models` maps frozenset pairs to PairModel."""

    def __init__(self, salts: Sequence[str], models: Mapping | None = None):
        self.salts = tuple(salts)
        self.models = models = pair_models() if models is None else models
        self.cations = list(dict.fromkeys(salt(f).cation for f in self.salts))
        fluorides, chlorides = ([_salt_of(cation, anion) for cation in self.cations] for anion in ("F", "Cl"))
        super().__init__((*fluorides, *chlorides))
        self.own = tuple(self.constituents.index(f) for f in self.salts)
        self.melting_K = np.array([salt(f).melting_point_K for f in self.constituents])
        self.charges = np.array([float(salt(f).charge) for f in fluorides])
        self._cation = np.array([self.cations.index(salt(f).cation) for f in self.salts])
        self._is_fluoride = np.array([salt(f).anion == "F" for f in self.salts])
        self._parts = (SaltSystem(fluorides, models), SaltSystem(chlorides, models))
        self._anion_pairs = [models[key] for pair in zip(fluorides, chlorides, strict=True)
                             if (key := frozenset(pair)) in models]  # fmt: skip
        self.pairs: list[PairModel] = [*self._parts[0].pairs, *self._parts[1].pairs, *self._anion_pairs]
        self._exchange = np.array([_exchange_line(f, c) for f, c in zip(fluorides, chlorides, strict=True)])
        self.solids: tuple[Solid, ...] = self._solids()

    @property
    def status(self) -> str:
        """'fitted' when every pair is, else 'estimated'."""
        whole = len(self._anion_pairs) == len(self.cations)
        return "fitted" if whole and all(pair.status == "fitted" for pair in self.pairs) else "estimated"

    @property
    def sources(self) -> tuple[str, ...]:
        """Source keys of all salts of the ions and of the fitted pairs."""
        keys = [key for f in self.constituents for key in (*salt(f).sources, formation_row(f).source)]
        return tuple(dict.fromkeys([*keys, *(key for pair in self.pairs for key in pair.sources)]))

    def _solids(self) -> tuple[Solid, ...]:
        count, found = len(self.cations), []
        for part, offset in zip(self._parts, (0, count), strict=True):
            for solid in part.solids:
                if isinstance(solid, PureSolid):
                    found.append(replace(solid, index=solid.index + offset))
                else:
                    found.append(replace(solid, indices=tuple(i + offset for i in solid.indices)))
        for pair in self._anion_pairs:
            for formula, (dH, dS) in pair.double_salts().items():
                counts = double_salts()[formula].stoichiometry
                indices = tuple(self._position[f] for f in counts)
                found.append(DoubleSolid(formula, indices, tuple(counts.values()), dH, dS))
        return tuple(found)

    @cached_property
    def of_all_salts(self) -> "ReciprocalSystem":
        """The same laws with every salt of the ions as if weighed in, so that `salts` can name any melt of them."""
        return self if self.salts == self.constituents else type(self)(self.constituents, self.models)

    def exchange_energies(self, T_K: float) -> np.ndarray:
        """E_i = G(liquid fluoride) - G(liquid chloride) of every cation (c,), J/mol."""
        return self._exchange[:, 0] + T_K * self._exchange[:, 1]

    def ions(self, x: np.ndarray) -> two_anions.Ions:
        """Ions of melts given by the salts weighed in, (N, n)."""
        return two_anions.ions_of(x, self._cation, self._is_fluoride, self.charges)

    def ideal_logs(self, x: np.ndarray) -> np.ndarray:
        """ln of the ideal activity of every constituent, (N, 2 c)."""
        return two_anions.ideal_logs(self.ions(x))

    def melt_energies(self, x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Excess and exchange potentials of the constituents as A + B T, each (N, 2 c)."""
        ions = self.ions(x)
        A = two_anions.exchange(ions, self._exchange[:, 0])
        B = two_anions.exchange(ions, self._exchange[:, 1])
        for part, fluoride in zip(self._parts, (True, False), strict=True):
            own_A, own_B = part.melt_energies(ions.X)
            A += two_anions.cation_term(ions, own_A, fluoride)
            B += two_anions.cation_term(ions, own_B, fluoride)
        for pair in self._anion_pairs:
            cation = self._position[pair.salts[0]] % len(self.cations)
            for k, (a, b) in pair.terms("liquid").items():
                term = two_anions.anion_term(ions, cation, k)
                A += a * term
                B += b * term
        per_charge = self._per_charge()
        for i, j in combinations(range(len(self.cations)), 2):
            strength = two_anions.pairing_strength(per_charge[i] - per_charge[j])
            A += strength * two_anions.pairing_term(ions, i, j)
        return A, B

    def liquid_terms(self, x: np.ndarray, weights: np.ndarray) -> dict[tuple[int, int], float]:
        """What each liquid term, by (position of its pair, order), gives to weights . mu at one melt x (n,)."""
        ions = self.ions(x[None, :])
        return {
            (p, k): float(weights @ self._term(ions, pair, k))
            for p, pair in enumerate(self.pairs)
            for k in pair.terms("liquid")
        }

    def _term(self, ions: two_anions.Ions, pair: PairModel, order: int) -> np.ndarray:
        """Potentials (2 c,) that one liquid term of a pair gives at one melt, coefficient 1."""
        if pair in self._anion_pairs:
            cation = self._position[pair.salts[0]] % len(self.cations)
            return two_anions.anion_term(ions, cation, order)[0]
        fluoride = pair in self._parts[0].pairs
        part = self._parts[0] if fluoride else self._parts[1]
        own = part.pair_term_potentials(pair, order, ions.X)
        return two_anions.cation_term(ions, own, fluoride)[0]

    def exchange_errors(self, x: np.ndarray, weights: np.ndarray) -> np.ndarray:
        """What one sigma of each cation's exchange energy does to weights . mu at one melt x (n,), J/mol: (c,)."""
        ions, sigmas = self.ions(x[None, :]), self.exchange_sigmas()
        errors = np.array([float(weights @ two_anions.exchange(ions, one)[0]) for one in np.diag(sigmas)])
        per_charge, own = self._per_charge(), sigmas / self.charges
        for i, j in combinations(range(len(self.cations)), 2):
            apart = per_charge[i] - per_charge[j]
            slope = two_anions.pairing_strength(apart + 0.5) - two_anions.pairing_strength(apart - 0.5)  # in 1 J/mol
            share = slope * float(weights @ two_anions.pairing_term(ions, i, j)[0])
            errors[i] += own[i] * share
            errors[j] -= own[j] * share
        return errors

    def exchange_sigmas(self) -> np.ndarray:
        """Standard deviation of every cation's exchange energy (c,), J/mol."""
        pairs = zip(self.constituents, self.constituents[len(self.cations) :], strict=False)
        return np.array([np.hypot(formation_row(f).sigma_J_mol, formation_row(c).sigma_J_mol) for f, c in pairs])

    def _per_charge(self) -> np.ndarray:
        """Exchange energy of each cation per charge (c,) at 1000 K, where preferences are taken, J/mol."""
        return self.exchange_energies(1000.0) / self.charges

    def melt_errors(self, x: np.ndarray, weights: np.ndarray) -> dict[Hashable, float]:
        """Errors (J/mol) of weights . mu: exchange energies, and a reciprocal melt predicted from its sides."""
        ions = self.ions(x[None, :])
        X, y = ions.X[0], float(ions.fluoride[0])
        mixed = sum(16 * X[i] * X[j] * y * (1 - y) for i, j in combinations(range(len(X)), 2))
        exchange = zip(self.cations, self.exchange_errors(x, weights).tolist(), strict=True)
        return {
            SEVERAL: model_constant("several_salts_J_mol") * mixed,
            **{("exchange", c): error for c, error in exchange},
        }


def _salt_of(cation: str, anion: str) -> str:
    """Formula of the salt of these ions; InputError where the list has none."""
    if (formula := salt_of(cation, anion)) is not None:
        return formula
    name = {"F": "fluoride", "Cl": "chloride"}[anion]
    raise InputError(f"fluoride and chloride in one mix: there are no data for the {name} of {cation}")


@cache
def _exchange_line(fluoride: str, chloride: str) -> tuple[float, float]:
    """E = G(liquid fluoride) - G(liquid chloride) per cation as h + s T: (h J/mol, s J/(mol K))."""
    E = [formation_gibbs(fluoride, T) - formation_gibbs(chloride, T) for T in _SPAN_K]
    slope, intercept = np.polyfit(_SPAN_K, E, 1)
    return float(intercept), float(slope)
