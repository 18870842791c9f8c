"""All laws for salts with two anions: the counterpart of SaltSystem for melts of fluorides with chlorides.

The melt is described by its ions (laws/two_anions, laws/ion_pairs); every salt that its ions can form is a possible
solid, whether it was weighed in or not, and so are the double salts and solid solutions of both anions and the mixed
salts MFCl. Solvers see the same interface as SaltSystem: `salts` are those weighed in, `constituents` all salts of the
ions, fluorides first.
Interactions: those fitted for each anion (pairs of cations) and for each cation (pairs MF_z-MCl_z).
Limits: 1 to 6 cations, which all have both a fluoride and a chloride in the list.
Worked value: LiF-KCl has the constituents LiF, KF, LiCl, KCl; LiF and KCl are the stable pair.
"""

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from thermo.equilibrium.system.ion_liquid import IonLaws, IonLiquid
from thermo.equilibrium.system.ion_slopes import MeltAt
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.equilibrium.system.propagation import SEVERAL, Propagation
from thermo.laws import two_anions
from thermo.laws.formation import formation_gibbs, formation_row
from thermo.laws.ion_pairs import Ions, ions_of
from thermo.laws.solids import DoubleSolid, Solid
from thermo.records.fitted import PairModel, pair_models
from thermo.records.provenance import InputError, Origin
from thermo.records.remembered import remembered
from thermo.records.substances import double_salts, salt, salt_of
from thermo.records.ternary_terms import Key

EXCHANGE_SIGMA_J_mol = 1750.0  # a charge: what the law misses of an exchange energy (data/DECISIONS.md)
NEIGHBOURS_SIGMA = 0.5  # of Z, for the same published melts
_SPAN_K = np.linspace(650.0, 1350.0, 15)  # where the exchange energies are taken as straight lines in T


@dataclass(frozen=True)
class _Slopes:
    """Of one melt at one temperature (key): by the terms of the pairs (K, 2 c) and by the ternary ones."""

    key: tuple[bytes, float, int]
    melt: MeltAt
    pairs: np.ndarray
    terms: np.ndarray


class ReciprocalSystem(Propagation):
    """The laws of melts of `salts` of two anions; `models` maps frozenset pairs to PairModel."""

    def __init__(self, salts: Sequence[str], models: Mapping | None = None):
        self.salts = tuple(salts)
        self._given = models  # None: each melt of one anion with all that was fitted to it
        self.models = models = pair_models() if models is None else models
        self.cations = list(dict.fromkeys(salt(f).cation for f in self.salts))
        fluorides, chlorides = ([_salt_of(cation, anion) for cation in self.cations] for anion in ("F", "Cl"))
        super().__init__((*fluorides, *chlorides))
        self.own = tuple(self.constituents.index(f) for f in self.salts)
        self.melting_K = np.array([salt(f).melting_point_K for f in self.constituents])
        self.charges = np.array([float(salt(f).charge) for f in fluorides])
        self._cation = np.array([self.cations.index(salt(f).cation) for f in self.salts])
        self._is_fluoride = np.array([salt(f).anion == "F" for f in self.salts])
        self._parts = (SaltSystem(fluorides, self._given), SaltSystem(chlorides, self._given))
        self._anion_pairs = [models[key] for pair in zip(fluorides, chlorides, strict=True)
                             if (key := frozenset(pair)) in models]  # fmt: skip
        self.pairs: list[PairModel] = [*self._parts[0].pairs, *self._parts[1].pairs, *self._anion_pairs]
        self._owners = [(p, k) for p, pair in enumerate(self.pairs) for k in pair.terms("liquid")]
        self._last: _Slopes | None = None
        self._as_fitted = self._given is None
        self.laws = self._laws(np.array([_exchange_line(f, c) for f, c in zip(fluorides, chlorides, strict=True)]))
        self.solids: tuple[Solid, ...] = self._solids()

    def _laws(self, exchange: np.ndarray) -> IonLaws:
        terms = [
            (self._position[pair.salts[0]] % len(self.cations), k, a, b)
            for pair in self._anion_pairs
            for k, (a, b) in pair.terms("liquid").items()
        ]
        return IonLaws(self.charges, exchange, self._parts, terms, two_anions.NEIGHBOURS)

    @property
    def status(self) -> Origin:
        """'fitted' when every pair is, else 'estimated'."""
        whole = len(self._anion_pairs) == len(self.cations)
        return Origin.FITTED if whole and all(pair.status == Origin.FITTED for pair in self.pairs) else Origin.ESTIMATED

    @property
    def sources(self) -> tuple[str, ...]:
        """Source keys of all salts of the ions and of the fitted pairs."""
        keys = [key for f in self.constituents for key in (*salt(f).sources, formation_row(f).source)]
        return tuple(dict.fromkeys([*keys, *(key for pair in self.pairs for key in pair.sources)]))

    def _solids(self) -> tuple[Solid, ...]:
        fluorides, chlorides = self._parts
        found = [*fluorides.solids, *(solid.moved(len(self.cations)) for solid in chlorides.solids)]
        for pair in self._anion_pairs:
            for formula, (dH, dS) in pair.double_salts().items():
                counts = double_salts()[formula].stoichiometry
                indices = tuple(self._position[f] for f in counts)
                found.append(DoubleSolid(formula, indices, tuple(counts.values()), dH, dS))
        return tuple(found)

    @cached_property
    def of_all_salts(self) -> "ReciprocalSystem":
        """The same laws with every salt of the ions as if weighed in, so that `salts` can name any melt of them."""
        return self if self.salts == self.constituents else type(self)(self.constituents, self._given)

    def exchange_energies(self, T_K: float) -> np.ndarray:
        """E_i = G(liquid fluoride) - G(liquid chloride) of every cation (c,), J/mol."""
        return self.laws.exchange[:, 0] + T_K * self.laws.exchange[:, 1]

    def ions(self, x: np.ndarray) -> Ions:
        """Ions of melts given by the salts weighed in, (N, n)."""
        return ions_of(x, self._cation, self._is_fluoride, self.charges)

    def liquid(self, x: np.ndarray) -> IonLiquid:
        """Melts given by the salts weighed in, (N, n), as solvers want them."""
        return IonLiquid(self.laws, self.ions(x))

    def _at(self, x: np.ndarray, T_K: float) -> "_Slopes":
        """Slopes of the potentials of one melt x (n,) at T; those last asked for are kept."""
        key, last = (x.tobytes(), T_K, id(self.laws)), self._last
        if last is None or last.key != key:
            melt = MeltAt(self.laws, self.ions(x[None, :]), T_K)
            self._last = last = _Slopes(key, melt, self._pair_rows(melt), self._term_rows(melt))
        return last

    def _pair_rows(self, melt: MeltAt) -> np.ndarray:
        """By a unit of each of `_owners` (K, 2 c)."""
        own = [(self.pairs[p], k) for p, k in self._owners]
        melts = [
            (side, part.pair_term_potentials(pair, k, melt.local[side][None, :])[0])
            for pair, k in own
            for side, part in enumerate(self._parts)
            if pair in part.pairs
        ]
        anions = [(self._position[pair.salts[0]] % len(self.cations), k) for pair, k in own[len(melts) :]]
        return np.vstack([melt.of_melts(melts), melt.of_anions(anions)])

    def _term_rows(self, melt: MeltAt) -> np.ndarray:
        """By a unit of each of `term_spreads` (K, 2 c)."""
        return melt.of_melts(
            [(side, row) for side, part in enumerate(self._parts) for row in part.term_shapes(melt.local[side])]
        )

    def liquid_terms(self, x: np.ndarray, weights: np.ndarray, T_K: float) -> dict[tuple[int, int], float]:
        """What each liquid term, by (position of its pair, order), gives to weights . mu at one melt x (n,) and T."""
        return dict(zip(self._owners, (self._at(x, T_K).pairs @ weights).tolist(), strict=True))

    @property
    def term_spreads(self) -> list[tuple[Key, float]]:
        """As Propagation's: the terms of the fluorides, then those of the chlorides."""
        return [term for part in self._parts for term in part.term_spreads]

    def term_row(self, x: np.ndarray, weights: np.ndarray, T_K: float) -> np.ndarray:
        """As Propagation's, at the cations around each anion."""
        return self._at(x, T_K).terms @ weights

    def law_slopes(self, x: np.ndarray, weights: np.ndarray, T_K: float) -> tuple[np.ndarray, float]:
        """d(weights . mu)/dE of each cation (c,) and d(weights . mu)/dZ, J/mol, at one melt x (n,)."""
        melt = self._at(x, T_K).melt
        return melt.by_exchange @ weights, float(melt.by_neighbours @ weights)

    def exchange_errors(self, x: np.ndarray, weights: np.ndarray, T_K: float) -> np.ndarray:
        """What one sigma of each cation's exchange energy, and of Z, does to weights . mu of one melt x (n,): (c + 1,).

        J/mol.
        """
        by_E, by_Z = self.law_slopes(x, weights, T_K)
        return np.append(by_E * self.exchange_sigmas(), NEIGHBOURS_SIGMA * by_Z)

    def exchange_sigmas(self) -> np.ndarray:
        """Standard deviation of every cation's exchange energy (c,), J/mol, with what the law itself may miss of it."""
        return np.hypot(self.formation_sigmas(), self.charges * EXCHANGE_SIGMA_J_mol)

    def formation_sigmas(self) -> np.ndarray:
        """Standard deviation of every cation's tabulated exchange energy (c,), J/mol."""
        pairs = zip(self.constituents, self.constituents[len(self.cations) :], strict=False)
        return np.array([np.hypot(formation_row(f).sigma_J_mol, formation_row(c).sigma_J_mol) for f, c in pairs])

    def melt_errors(self, x: np.ndarray, weights: np.ndarray, T_K: float) -> dict[Hashable, float]:
        """Errors (J/mol) of weights . mu: exchange energies and Z, and what several cations around one anion add."""
        sources = [*(("exchange", cation) for cation in self.cations), "neighbours"]
        found: dict[Hashable, float] = dict(zip(sources, self.exchange_errors(x, weights, T_K).tolist(), strict=True))
        melt, count = self._at(x, T_K).melt, len(self.cations)
        shares, several = (melt.around.q[0], melt.around.r[0]), 0.0
        for part, X, share, anion in zip(self._parts, melt.local, shares, ("F", "Cl"), strict=True):
            felt = (weights[:count] + weights[count:]) * share
            for key, error in part.melt_errors(X, felt, T_K).items():
                if key == SEVERAL:
                    several = float(np.hypot(several, error * felt.sum()))
                else:
                    found[anion, key] = error
        return {SEVERAL: several, **found}


def _salt_of(cation: str, anion: str) -> str:
    """Formula of the salt of these ions; InputError where the list has none."""
    if (formula := salt_of(cation, anion)) is not None:
        return formula
    name = {"F": "fluoride", "Cl": "chloride"}[anion]
    raise InputError(f"fluoride and chloride in one mix: there are no data for the {name} of {cation}")


@remembered
def _exchange_line(fluoride: str, chloride: str) -> tuple[float, float]:
    """E = G(liquid fluoride) - G(liquid chloride) per cation as h + s T: (h J/mol, s J/(mol K))."""
    E = [formation_gibbs(fluoride, T) - formation_gibbs(chloride, T) for T in _SPAN_K]
    slope, intercept = np.polyfit(_SPAN_K, E, 1)
    return float(intercept), float(slope)
