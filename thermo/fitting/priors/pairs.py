"""What is expected of a salt pair before its own points are looked at, as equations for the fit.

    a_0 ~ N(0, A)               size of an interaction, by family
    a_0 + 900 K b_0 ~ N(L, s)   the size rule (`size_rule`), fitted on the other pairs of the family
    a_k ~ N(0, share_k L)       k = 1, 2, 3: a pair bends in proportion to its own strength L = |a_0 + b_0 900 K|,
                                alkali pairs little, pairs that order more; L comes from the fit, which is repeated
    b_k ~ N(-a_k / tau, B_k)    excess entropy follows excess enthalpy: tau = 3000 K for alkali pairs (G^E = 0.68 H^E
                                near 930 K; van der Kemp et al., Thermochim. Acta 196 (1992) 301), 8000 K and wide for
                                pairs that order (MgCl2 in KCl keeps its activity coefficient from 750 to 950 deg C);
                                B_0 = 2 J/(mol K) + L / 10^4 K, B_k = 2 share_k B_0
    ZnCl2                       B_k three times that: a foreign chloride breaks the network of molten ZnCl2, and cells
                                and liquidus can only be met together with a large excess entropy
    AlF3 with an alkali fluoride orders most: a_0 ~ N(-180 kJ, A), six terms (the cryolite liquidus is domed)
    dH, dS of double salts from `double_salts`, and dH - 900 K dS ~ N(G, s) from `compound_rule`
    terms of solid solutions from `solid_solutions`
Units: J/mol, K. Limits: pairs of one anion or one cation.
Worked value: LiCl-KCl: the other alkali chlorides make L about -11 +- 3 kJ/mol; its own points say -13.5.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from thermo.fitting.priors.compound_rule import formation_rule
from thermo.fitting.priors.double_salts import enthalpy_prior, entropy_prior
from thermo.fitting.priors.size_rule import Bend, estimated_model, family, fit_rule
from thermo.fitting.priors.solid_solutions import solid_priors
from thermo.laws.mixing import REFERENCE_K
from thermo.records.fitted import PairModel, Strength
from thermo.records.parameters import ENTHALPY, ENTROPY, LIQUID, REGULAR, Parameter
from thermo.records.substances import double_salts, salt

PRIOR_A0 = {  # J/mol
    "alkali": 25000.0,
    "ordered": 60000.0,
    "zinc": 60000.0,
    "trivalent": 80000.0,
    "aluminium": 70000.0,
    "other": 15000.0,
    "anions": 8000.0,
}
# Judgement, no source, as the next two: sizes seen where enthalpies of mixing were measured.
BEND = {  # spread of a_1, a_2, a_3 as shares of the pair's regular interaction
    "alkali": (0.10, 0.07, 0.04),
    "ordered": (0.30, 0.25, 0.25),
    "zinc": (0.60, 0.40, 0.30),
    "trivalent": (0.35, 0.30, 0.25),
    "aluminium": (0.35, 0.35, 0.35, 0.35, 0.35),
    "other": (0.30, 0.20, 0.10),
    "anions": (0.30, 0.0, 0.0),
}
CENTRE_A0 = {"aluminium": -180000.0}  # J/mol, from the JANAF tables of Li3AlF6, Na3AlF6 and Na5Al3F14; others 0
SMALLEST_J_mol = {  # a weaker pair may bend as much as one of this strength
    "alkali": 10000.0,
    "ordered": 6000.0,
    "zinc": 40000.0,
    "trivalent": 40000.0,
    "aluminium": 40000.0,
    "other": 10000.0,
    "anions": 6000.0,
}
EXCESS_ENTROPY = {"zinc": 3.0}  # by what a family's excess entropy may exceed that of others: see the docstring
TAU_K = {"alkali": 3000.0, "ordered": 8000.0}
LEAST_PAIRS = 4  # judgement: a size rule from fewer pairs says nothing of another


@dataclass(frozen=True)
class Expectation:
    """What the other pairs say of one: (value, standard deviation), J/mol.

    interaction: a_0 + 900 K b_0 of the melt, None where too few pairs are known; formation: dH - 900 K dS by formula.
    """

    interaction: tuple[float, float] | None = None
    formation: Mapping[str, tuple[float, float]] = field(default_factory=dict)


def expectation(a: str, b: str, strengths: Iterable[Strength]) -> Expectation:
    """What the strengths of all other pairs of one anion make of this one."""
    if salt(a).cation == salt(b).cation:
        return Expectation()
    others = [strength for strength in strengths if set(strength.salts) != {a, b}]
    rule = fit_rule(family(a, b), others)
    known = rule.pairs >= LEAST_PAIRS and "AlF3" not in (a, b)
    return Expectation(rule.interaction(a, b) if known else None, formations(a, b, others))


def formations(a: str, b: str, strengths: Sequence[Strength]) -> dict[str, tuple[float, float]]:
    """dH - 900 K dS of the pair's double salts by the rule fitted to these strengths, J/mol; {} where none applies."""
    own = [double.formula for double in double_salts().values() if set(double.pair) == {a, b} and double.fitted]
    rules = {formula: formation_rule(formula, strengths) for formula in own}
    return {formula: expected for formula, expected in rules.items() if expected is not None}


def prior(parameters: Sequence[Parameter], a: str, b: str, strength: float, expected: Expectation | None = None):
    """Prior equations (whitened design and target) for these parameters of a pair with this regular interaction."""
    kind, order = prior_kind(a, b)
    scale = max(abs(strength), SMALLEST_J_mol[kind])
    shares = (1.0, *BEND[kind])
    slope = EXCESS_ENTROPY.get(kind, 1.0) * (2.0 + scale / 1.0e4)
    sizes = (PRIOR_A0[kind], *[share * scale for share in shares[1:]])
    slopes = (slope, *[2 * share * slope for share in shares[1:]])
    design, target = [], []

    def equation(weights: dict[Parameter, float], value: float, sigma: float) -> None:
        row = np.zeros(len(parameters))
        for parameter, weight in weights.items():
            row[parameters.index(parameter)] = weight / sigma
        design.append(row)
        target.append(value / sigma)

    solids = solid_priors(a, b)
    for one in parameters:
        k = one.order
        if one.phase == LIQUID and one.per_kelvin:
            equation({one: 1.0, Parameter(LIQUID, f"a{k}"): 1 / TAU_K[order]}, 0.0, slopes[k])
        elif one.phase == LIQUID:
            equation({one: 1.0}, 0.0 if k else CENTRE_A0.get(kind, 0.0), sizes[k])
        elif one in solids:
            equation({one: 1.0}, *solids[one])
        else:
            equation({one: 1.0}, *(enthalpy_prior if one.term == ENTHALPY else entropy_prior)(one.phase))
    for weights, (value, sigma) in expected_equations(parameters, expected or Expectation()):
        equation(weights, value, sigma)
    return np.array(design), np.array(target)


def expected_equations(parameters: Sequence[Parameter], expected: Expectation):
    """What the other pairs say, as (weight of each parameter, (value, standard deviation))."""
    if expected.interaction is not None:
        yield {one: one.factor(REFERENCE_K) for one in REGULAR}, expected.interaction
    for formula, formation in expected.formation.items():
        both = Parameter(formula, ENTHALPY), Parameter(formula, ENTROPY)
        if both[0] in parameters:
            yield {one: one.factor(REFERENCE_K) for one in both}, formation


def prior_kind(a: str, b: str) -> tuple[str, str]:
    """How a pair's priors bend (BEND) and which entropy rule they follow (TAU_K)."""
    first, second = sorted((salt(a), salt(b)), key=lambda component: component.charge)
    if first.cation == second.cation:
        return "anions", "ordered"
    if second.charge == 1:
        return "alkali", "alkali"
    if second.group == "aluminium" and first.charge == 1:
        return "aluminium", "ordered"
    if first.charge > 1:
        return "other", "ordered"
    if second.charge == 3:
        return "trivalent", "ordered"
    return ("zinc" if second.group == "zinc" else "ordered"), "ordered"


def bend_of(a: str, b: str) -> Bend:
    """How far a pair of this kind may bend, and which entropy rule it follows."""
    kind, order = prior_kind(a, b)
    return Bend(BEND[kind], SMALLEST_J_mol[kind], TAU_K[order])


def unmeasured_model(a: str, b: str, strengths: Sequence[Strength]) -> PairModel:
    """The pair's model from the rules alone, as if it had no points: strengths are those of the other pairs.

    Double salts get the energy of the rule. A tabulated energy is not used: beside a melt whose strength is a guess it
    would put the melting point of cryolite's kin a thousand kelvin off.
    """
    doubles = {f: (value, entropy_prior(f)) for f, value in formations(a, b, strengths).items()}
    return estimated_model(a, b, fit_rule(family(a, b), strengths), solid_priors(a, b), bend_of(a, b), doubles)
