"""Made-up pair models: laws must hold for any interaction, not only for the fitted ones."""

from itertools import combinations

import numpy as np

from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.fitting.point_equations import PairObserver
from thermo.records.fitted import PairModel, pair_models
from thermo.records.parameters import Parameter
from thermo.records.provenance import Origin
from thermo.records.published import MixingPoint, PublishedInvariant, PublishedPoint
from thermo.records.reference import Reference


def pair_model(a: str, b: str, liquid=((0.0, 0.0),), solid=(), doubles=None, spread=0.0, hosts=None) -> PairModel:
    """A pair with liquid and solid-solution terms ((a_0, b_0), (a_1, b_1), ...) and double salts {formula: (dH, dS)}.

    hosts: {host: (E, a_0 at 900 K, its slope, a_1)}, salts whose own kind of crystal takes up the other; all but E and
    a_0 may be left out.
    spread: standard deviation of every parameter as a fraction of its value, without correlation.
    """
    names, values = [], []
    for phase, terms in (("liquid", liquid), ("solid solution", solid)):
        for k, pair in enumerate(terms):
            names += [Parameter(phase, f"a{k}"), Parameter(phase, f"b{k}")]
            values += pair
    for formula, pair in (doubles or {}).items():
        names += [Parameter(formula, "dH"), Parameter(formula, "dS")]
        values += pair
    for host, terms in (hosts or {}).items():
        names += [Parameter(f"solid solution in {host}", term) for term in ("lattice", "a0", "slope", "a1")]
        values += [*terms, 0.0, 0.0][:4]
    values = np.array(values, dtype=float)
    return PairModel(
        salts=(a, b),
        status=Origin.FITTED,
        parameters=tuple(names),
        values=values,
        covariance=np.diag((spread * values) ** 2),
        fusion_response=np.zeros((2, len(values))),
        points=0,
        rms_K=None,
        sources=(),
        note="",
    )


def made_up_system(salts: tuple[str, ...], *models: PairModel, kind=SaltSystem, **options) -> SaltSystem:
    """A system with these pair models; pairs not named mix ideally. No third-salt term unless asked for."""
    known = {frozenset(model.salts): model for model in models}
    ideal = {frozenset(p): pair_model(*p) for p in combinations(salts, 2) if frozenset(p) not in known}
    return kind(salts, known | ideal, **({"preference": 0.0} | options))


def changed(model: PairModel, **fields) -> PairModel:
    """The same pair with other values, covariance, fusion_response or salts."""
    return PairModel(**(vars(model) | fields))


class ExactSalts(SaltSystem):
    """A system whose pure salts are known exactly: only the interactions are uncertain."""

    def __init__(self, salts, models=None, **options):
        models = pair_models() if models is None else models
        keys = [frozenset(pair) for pair in combinations(salts, 2)]
        exact = {key: changed(models[key], fusion_response=0 * models[key].fusion_response) for key in keys}
        super().__init__(salts, exact, **options)

    def fusion_errors(self, solid, T_K, y):
        """None."""
        return np.zeros(len(self.salts))


def random_fractions(count: int, salts: int, seed: int = 1) -> np.ndarray:
    """Compositions spread evenly over the triangle (tetrahedron ...), shape (count, salts)."""
    return np.random.default_rng(seed).dirichlet(np.ones(salts), size=count)


def reference(use: str = "fit") -> Reference:
    """Where a made-up row comes from."""
    return Reference("made_up", "", Origin.MEASURED, "checked", use, "")


def invariant_row(pair, kind, x_b, T_K, solids, x_sigma=0.005, T_sigma=3.0, use="fit") -> PublishedInvariant:
    """A made-up published invariant."""
    return PublishedInvariant(reference(use), pair, kind, x_b, x_sigma, T_K, T_sigma, solids)


def liquidus_row(pair, x_b, T_K, solids, T_sigma=2.0, use="fit") -> PublishedPoint:
    """A made-up published liquidus point."""
    return PublishedPoint(reference(use), pair, x_b, T_K, T_sigma, solids)


def mixing_row(pair, quantity, x_b, T_K, value, sigma, use="fit") -> MixingPoint:
    """A made-up published mixing quantity."""
    return MixingPoint(reference(use), pair, quantity, x_b, T_K, value, sigma)


def observer(model: PairModel) -> PairObserver:
    """What turns published points of a made-up pair into equations."""
    return PairObserver(made_up_system(model.salts, model))


def misfit(found, model: PairModel) -> np.ndarray:
    """Whitened residual of an equation for the model's own parameters."""
    return found.target - found.design @ model.values
