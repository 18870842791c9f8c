"""Text of the generated files of all pairs.

data/fitted/pairs.csv, data/fitted/interactions.csv, data/fitted/interactions_covariance.csv: every pair of two
chlorides or two fluorides, fitted where it has usable published points, estimated by the rules of size elsewhere.
Pairs are fitted twice: first each by its own points (data/fitted/strengths.csv), then with what the
rules of size make of all others. Numbers carry six significant digits.
"""

from collections.abc import Iterable, Sequence
from itertools import combinations

import numpy as np

from thermo.fitting.pair_fit import fit_pair, salt_order
from thermo.fitting.priors.compound_rule import formation_strengths
from thermo.fitting.priors.pairs import expectation, unmeasured_model
from thermo.fitting.priors.size_rule import strength_of
from thermo.fitting.ternary_fit import section_models
from thermo.records.fitted import PairModel, Strength, own_strengths
from thermo.records.provenance import Origin
from thermo.records.substances import salts
from thermo.records.table_text import digits, table_text


def all_pairs() -> list[tuple[str, str]]:
    """Every pair of salts of one anion, each in its fixed order."""
    return [salt_order(a, b) for a, b in combinations(salts(), 2) if salts()[a].anion == salts()[b].anion]


def same_cation_pairs() -> list[tuple[str, str]]:
    """Every fluoride with the chloride of the same cation."""
    return [salt_order(a, b) for a, b in combinations(salts(), 2) if salts()[a].cation == salts()[b].cation]


def fitted_strengths() -> list[Strength]:
    """What every pair of one anion says by its own points alone."""
    found = []
    for a, b in all_pairs():
        if (fit := fit_pair(a, b)) is not None and fit.model.status == Origin.FITTED:
            found += [strength_of(fit.model), *formation_strengths(fit.model)]
    return found


def fitted_models(
    pairs: Iterable[tuple[str, str]] | None = None, strengths: Sequence[Strength] | None = None
) -> dict[frozenset, PairModel]:
    """Refit all pairs (or some) with what the strengths of the others say, then estimate the rest.

    strengths: of all pairs; the generated ones when left out.
    """
    strengths = own_strengths() if strengths is None else strengths
    models = {}
    wanted = [*all_pairs(), *same_cation_pairs()] if pairs is None else list(pairs)
    for a, b in wanted:
        if (fit := fit_pair(a, b, expected=expectation(a, b, strengths))) is not None:
            models[frozenset((a, b))] = fit.model
    if pairs is None:
        models |= section_models(models)
        for a, b in all_pairs():
            if (key := frozenset((a, b))) not in models:
                models[key] = unmeasured_model(a, b, strengths)
    return {frozenset(pair): models[frozenset(pair)] for pair in wanted if frozenset(pair) in models}


def strengths_text(strengths: Iterable[Strength]) -> dict[str, str]:
    """data/fitted/strengths.csv as text, by file name."""
    rows = [[*s.salts, s.compound, f"{s.value_J_mol:.5g}", f"{s.sigma_J_mol:.5g}", Origin.FITTED] for s in strengths]
    return {"fitted/strengths.csv": table_text("salt_a,salt_b,compound,value_J_mol,sigma_J_mol,origin", rows)}


def file_texts(models: dict[frozenset, PairModel]) -> dict[str, str]:
    """The three generated files as text, by file name."""
    pairs, coefficients, covariances = [], [], []
    for model in models.values():
        a, b = model.salts
        rms = "" if model.rms_K is None else f"{model.rms_K:.3g}"
        pairs.append([a, b, model.status, model.points, rms, ";".join(model.sources), model.note])
        sigma = np.sqrt(np.diag(model.covariance))
        for parameter, value, spread, response in zip(
            model.parameters, model.values, sigma, model.fusion_response.T, strict=True
        ):
            known = model.status == Origin.FITTED and parameter.phase not in model.estimated
            origin = Origin.FITTED if known else Origin.ESTIMATED
            numbers = [digits(value, spread), parameter.unit, f"{spread:.6g}", *(digits(r, spread) for r in response)]
            coefficients.append([a, b, *parameter, *numbers, origin])
        for r, row in enumerate(model.parameters):
            for c in range(r + 1):
                scale = sigma[r] * sigma[c]
                covariances.append([a, b, row, model.parameters[c], digits(model.covariance[r, c], scale)])
    columns = "salt_a,salt_b,phase,term,value,unit,sigma,fusion_a,fusion_b,origin"
    return {
        "fitted/pairs.csv": table_text("salt_a,salt_b,status,points,rms_K,source,note", pairs),
        "fitted/interactions.csv": table_text(columns, coefficients),
        "fitted/interactions_covariance.csv": table_text("salt_a,salt_b,row,column,covariance", covariances),
    }


def regenerate_strengths() -> dict[str, str]:
    """Text of data/fitted/strengths.csv from the published points as they stand."""
    return strengths_text(fitted_strengths())


def regenerate() -> dict[str, str]:
    """Text of the three files of all pairs from the published points and the strengths as they stand."""
    return file_texts(fitted_models())
