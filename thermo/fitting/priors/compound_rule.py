"""How strongly an alkali halide and a halide of higher charge bind into a solid, from the sizes of their cations.

The larger the alkali ion and the smaller the other, the more readily the alkali ion gives up its halide to the other,
in the melt and in the crystal. The Gibbs energy of formation of double salts from their pure solids follows the same
size parameter delta as the melt (`size_rule`):
    (dH - 900 K dS) / mole of cations = u + v delta
with u and v fitted for divalent and trivalent cations of each anion (alkali pairs and AlF3 apart), each double salt by
its own certainty; the scatter is the standard deviation of an estimate. It stands in where a double salt is known to
exist but nobody measured what it melts at.
Units: J/mol. Limits: common practice, no source for the straight line; says nothing of which double salts exist.
Worked value: K3NdCl6 (delta 0.045 per angstrom): about -10 +- 3 kJ per mole of cations, -40 kJ/mol of formula.
"""

from collections.abc import Iterable, Sequence

import numpy as np

from thermo.fitting.priors.size_rule import SizeRule, family, regression
from thermo.laws.mixing import REFERENCE_K
from thermo.records.fitted import PairModel, Strength
from thermo.records.parameters import ENTHALPY, ENTROPY, Parameter
from thermo.records.substances import double_salts

FEATURES = ("one", "delta")
KINDS = (("alkali", "divalent"), ("alkali", "trivalent"))
LEAST = 3  # judgement: a line through fewer double salts says nothing of another


def covered(pair: tuple[str, str]) -> bool:
    """Whether the rule speaks of the double salts of this pair."""
    return family(*pair)[:2] in KINDS


def formation_strengths(model: PairModel) -> list[Strength]:
    """What a fitted pair says of its double salts, for the rule."""
    found = []
    if covered(model.salts):
        for formula, (dH, dS) in model.double_salts().items():
            count = sum(double_salts()[formula].stoichiometry.values())
            at = [model.parameters.index(Parameter(formula, term)) for term in (ENTHALPY, ENTROPY)]
            g = np.array([1.0, -REFERENCE_K]) / count
            sigma = float(np.sqrt(g @ model.covariance[np.ix_(at, at)] @ g))
            found.append(Strength(model.salts, formula, (dH - REFERENCE_K * dS) / count, sigma))
    return found


def fit_formation(kind: tuple[str, str, str], strengths: Iterable[Strength]) -> SizeRule:
    """The line of one family (charge words and anion)."""
    return regression(FEATURES, [s for s in strengths if s.compound and family(*s.salts) == kind])


def formation_rule(formula: str, strengths: Sequence[Strength]) -> tuple[float, float] | None:
    """dH - 900 K dS of a double salt and its standard deviation, J per mole of formula; None where the rule is mute."""
    double = double_salts()[formula]
    if not covered(double.pair):
        return None
    rule = fit_formation(family(*double.pair), strengths)
    if rule.pairs < LEAST:
        return None
    value, sigma = rule.interaction(*double.pair)
    count = sum(double.stoichiometry.values())
    return count * value, count * sigma
