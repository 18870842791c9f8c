"""Pairs, sections of two anions and lowest melts as plain dictionaries; units and unknowns as in the other answers."""

from thermo.equilibrium.freezing.liquidus import STAYS_LIQUID
from thermo.equilibrium.freezing.solidus import missing_solids
from thermo.equilibrium.invariants.pair import Invariant, stays_liquid
from thermo.equilibrium.invariants.section import Section
from thermo.equilibrium.system.build import salt_system
from thermo.present.as_json.melt import composition_json, published_json, rounded
from thermo.records.composition import Composition
from thermo.records.fitted import PairModel
from thermo.records.provenance import cite
from thermo.records.published import MeltPoint
from thermo.records.units import celsius


def invariant_json(point: Invariant) -> dict:
    """One invariant point of a pair."""
    return {
        "kind": point.kind,
        "mole_percent": {f: rounded(100 * x, 2) for f, x in zip(point.salts, point.fractions, strict=True)},
        "T_C": rounded(celsius(point.T_K), 2),
        "sigma_K": rounded(point.sigma_K, 2),
        "solids": list(point.solids),
    }


def pair_json(a: str, b: str, points: tuple[Invariant, ...], model: PairModel) -> dict:
    """A pair: invariants, interaction coefficients of the melt, quality of the fit."""
    sign = 1 if model.salts == (a, b) else -1
    return {
        "pair": [a, b],
        "status": model.status,
        "invariants": [invariant_json(point) for point in points],
        "interactions": [
            {"k": k, "a_J_mol": rounded(sign**k * a_k, 3), "b_J_mol_K": rounded(sign**k * b_k, 6)}
            for k, (a_k, b_k) in model.terms("liquid").items()
        ],
        "double_salts": [
            {"formula": f, "dH_J_mol": rounded(dH, 1), "dS_J_mol_K": rounded(dS, 4)}
            for f, (dH, dS) in model.double_salts().items()
        ],
        "fit": {"points": model.points, "rms_K": rounded(model.rms_K, 2)},
        "note": "; ".join(filter(None, (model.note, STAYS_LIQUID if stays_liquid(a, b) else ""))),
        "sources": cite(model.sources),
    }


def section_json(found: Section) -> dict:
    """A section between a fluoride and a chloride of two cations: as a pair, with its fields and its stable pair."""
    a, b = found.salts
    return {
        "pair": [a, b],
        "status": found.lowest.status,
        "invariants": [invariant_json(found.lowest)],
        "fields": [
            {"solid": field.solid, "from_mole_percent": rounded(100 * field.low, 1),
             "to_mole_percent": rounded(100 * field.high, 1)}
            for field in found.fields
        ],
        "stable_pair": list(found.stable_pair),
        "interactions": [],
        "double_salts": [],
        "fit": {"points": found.points, "rms_K": rounded(found.rms_K, 2)},
        "note": found.note,
        "sources": cite(found.lowest.sources),
    }  # fmt: skip


def lowest_json(point: Invariant, composition: Composition, published: MeltPoint | None = None) -> dict:
    """The lowest-melting mix of the salts asked for, beside the coldest one published."""
    found = invariant_json(point)
    return composition_json(composition) | {
        "published_lowest": None if published is None else published_json(published),
        "T_C": found["T_C"],
        "sigma_K": found["sigma_K"],
        "kind": point.kind,
        "solids": found["solids"],
        "status": point.status,
        "notes": missing_solids(salt_system(point.salts)),
        "sources": cite((*point.sources, *([] if published is None else [published.source]))),
    }
