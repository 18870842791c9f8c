"""The liquidus of one melt with its uncertainty: the answer to "where does it start to freeze, and as what?".

T and first solid come from `liquidus`; sigma_T = sigma_D / |dD/dT| with
    sigma_D^2 = g C g + sum over salts (w_i sigma_fusion_i + g r_i)^2 + sigma_model^2
g: dD/d(parameters), C: their covariance, pair by pair; w_i: mole fractions of the salts in the solid; r_i: shift of
the fitted parameters by an error of one sigma in the fusion energy of salt i (a pair fitted to a liquidus absorbs most
of such an error, so that it matters only away from the measured points); sigma_model: only for three and more salts, s
J/mol of data/fitted/model_error.csv, sized on published ternaries that no fit used, times the sum over triplets of
27 x_i x_j x_k.
Worked value: pure NaCl: 800.6 deg C, sigma that of its melting point.
"""

from dataclasses import dataclass, replace

import numpy as np

from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import LOWEST_K, Melts, driving_slope
from thermo.equilibrium.system.interface import System
from thermo.equilibrium.system.two_anions import ReciprocalSystem
from thermo.laws.solid_solution import SolutionSolid, simplex_grid
from thermo.laws.solids import Solid
from thermo.records.composition import Composition
from thermo.records.provenance import Origin
from thermo.records.reported_gaps import gap_in_print
from thermo.records.units import R, celsius

WIDEST_K = 500.0  # a linear spread beyond this says only that nothing is known
_BOTTOM_K = LOWEST_K + 1.0  # a liquidus this low has met the end of the search, not a solid
STAYS_LIQUID = (
    f"the computed melt stays liquid down to {celsius(LOWEST_K):.0f} deg C, where the search ends, for want of data on "
    "its double salts: where it freezes is unknown"
)
_UNKNOWN = (
    f"where this melt starts to freeze is unknown: the data leave it open by {WIDEST_K:.0f} K, or what freezes first "
    "has no data"
)
_ION_STEPS = {1: 1, 2: 25, 3: 12, 4: 7, 5: 5, 6: 4}  # of cations, beside nine shares of fluoride each
_TRIAL_STEPS = {2: 50, 3: 20, 4: 10, 5: 8, 6: 6}  # grid of the liquids that might separate: 51 to 462 of them
_CLOSER, _CLOSEST = (0.7, 0.35, 0.18, 0.09), 4  # steps in ln(share) around so many of the best liquids of two anions
_CLEAR = 0.001  # in R T: a shallower dip is rounding


@dataclass(frozen=True)
class Liquidus:
    """Start of freezing of one melt: T and one standard deviation, the first solid's name, where it comes from."""

    T_K: float
    sigma_K: float
    first_solid: str
    status: Origin
    sources: tuple[str, ...]
    notes: tuple[str, ...]

    @property
    def known(self) -> bool:
        """Whether the temperature says anything: a solid forms above the end of the search, with a spread."""
        return not bottomless(self.T_K) and self.sigma_K < WIDEST_K


def bottomless(T_K: float) -> bool:
    """Whether a freezing temperature is only the end of the search: no solid with data forms above it."""
    return T_K <= _BOTTOM_K


def bottomless_field(T_K: np.ndarray) -> np.ndarray:
    """The same of each of many."""
    return T_K <= _BOTTOM_K


def liquidus(composition: Composition) -> Liquidus:
    """Liquidus temperature, standard deviation and first solid of one melt."""
    melt = composition.present
    system = salt_system(melt.salts)
    melts = Melts(system, melt.array[None, :])
    solid, T_K, y = melts.first_solid()
    name = solid.label(y)
    notes = (*pair_notes(system), *exchange_note(system, solid, name), *liquid_unmixing(system, melt.array, T_K))
    sigma = liquidus_sigma(system, melts, solid, T_K, y)
    found = Liquidus(T_K, sigma, name, system.status_of([name]), system.sources, notes)
    return found if found.known else replace(found, notes=(_UNKNOWN, *notes))


def exchange_note(system: System, solid: Solid, name: str) -> tuple[str, ...]:
    """A line when a salt freezes first that nobody weighed in: the ions of two salts have changed partners."""
    parts = [system.constituents[i] for i in solid.indices]
    strangers = [f for f in parts if f not in system.salts]
    if not strangers or isinstance(solid, SolutionSolid):
        return ()
    return (f"the salts exchange ions: {name} freezes first although no {' or '.join(strangers)} was weighed in",)


def pair_notes(system: System) -> list[str]:
    """One line for every pair of the system of which something rests on the rules of size, not on measurements."""
    unsure = [pair for pair in system.pairs if pair.status != Origin.FITTED or pair.estimated]
    return [f"{pair.salts[0]}-{pair.salts[1]}: {pair.note}" for pair in unsure]


def liquidus_sigma(system: System, melts: Melts, solid: Solid, T_K: float, y: np.ndarray | None) -> float:
    """Standard deviation of the liquidus temperature of the first melt in `melts`, K."""
    x = melts.x[0]
    gradients = system.parameter_gradient(solid, x, T_K, y)
    variance = system.variance(gradients, system.fusion_errors(solid, T_K, y))
    variance += system.model_variance(solid, x, T_K, y)
    return min(float(np.sqrt(variance) / max(-driving_slope(melts, solid, T_K, y), 1.0)), WIDEST_K)


def _inner_grid(count: int, steps: int) -> np.ndarray:
    trial = np.clip(simplex_grid(count, steps), 1e-6, None)
    return trial / trial.sum(axis=1, keepdims=True)


def _trial_liquids(system: System) -> tuple[np.ndarray, System]:
    """Liquids (N, constituents) all over the range, with two anions over all that the ions can make; their system."""
    if not isinstance(system, ReciprocalSystem):
        return _inner_grid(len(system.salts), _TRIAL_STEPS[len(system.salts)]), system
    count = len(system.cations)
    trial = _inner_grid(count, _ION_STEPS[count])
    fluoride = np.clip(np.linspace(0, 1, 9), 1e-6, 1 - 1e-6)[:, None, None]
    parts = np.concatenate([fluoride * trial, (1 - fluoride) * trial], axis=2)
    return parts.reshape(-1, 2 * count), system.of_all_salts


def _nearby(trial: np.ndarray, step: float) -> np.ndarray:
    """Liquids of two anions (N, 2 c) around each of these: every cation and the fluoride more or less by e^step."""
    count = trial.shape[1] // 2
    cations = np.hstack([np.eye(count), np.eye(count)])
    fluoride = np.concatenate([np.ones(count), np.zeros(count)])
    moves = np.vstack([fluoride, *(cations + way * fluoride for way in (-1, 0, 1))])
    moved = trial[:, None, :] * np.exp(step * np.vstack([moves, -moves]))
    return (moved / moved.sum(axis=2, keepdims=True)).reshape(-1, 2 * count)


def liquid_unmixing(system: System, x: np.ndarray, T_K: float) -> tuple[str, ...]:
    """A note where the melt itself would split in two liquids at T: some other liquid lies below its tangent plane.

    sum z_i (mu_i(z) - mu_i(x)) < 0 for a liquid z (Gibbs 1876), looked for on a grid, with two anions closer and closer
    around its best points: gaps thinner than a step and the last 2 % of temperature below a critical point are missed.
    """
    if len(x) == 1:
        return ()
    trial, laws = _trial_liquids(system)
    here = Melts(system, x[None, :]).potentials(T_K)[0]
    gap = (trial * (Melts(laws, trial).potentials(T_K) - here)).sum(axis=1)
    for step in _CLOSER if isinstance(system, ReciprocalSystem) else ():
        trial = np.vstack([trial[np.argsort(gap)[:_CLOSEST]], _nearby(trial[np.argsort(gap)[:_CLOSEST]], step)])
        gap = (trial * (Melts(laws, trial).potentials(T_K) - here)).sum(axis=1)
    if gap.min() > -_CLEAR * R * T_K:
        return ()
    where = f"near {celsius(T_K):.0f} deg C the computed melt would separate into two liquids"
    return (f"{where} ({gap_in_print(system.salts)}): do not trust its liquidus",)
