"""The fitted interaction coefficients of every salt pair, with covariance, as `python -m thermo refit` wrote them.

Files (generated, never edited): data/fitted/interactions.csv (one coefficient a row),
data/fitted/interactions_covariance.csv (lower triangle), data/fitted/pairs.csv (one pair a row: status, points used,
rms, sources), data/fitted/strengths.csv (what a pair's own points say of its melt and its double salts before the rules
of size are consulted: the rules rest on these). A pair keeps the order of its salts in these files; odd terms change
sign when the salts are swapped.
The parameters are those of records/parameters. What the published melts of several salts add stands in
data/fitted/joint_shifts.csv (records/joint): `pair_fits` is before, `pair_models` after.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np

from thermo.records.parameters import ENTHALPY, ENTROPY, LATTICE, SLOPE, SLOPE_K, Parameter
from thermo.records.provenance import Origin, number
from thermo.records.remembered import remembered
from thermo.records.tables import read_rows, read_table, table_text
from thermo.records.ternary_terms import joint_shifts

FILES = ("pairs", "interactions", "interactions_covariance")


@dataclass(frozen=True)
class Strength:
    """What a pair's own points say at 900 K: a_0 + b_0 T of its melt (compound ''), or dH - T dS of a double salt.

    J/mol; of a double salt per mole of cations.
    """

    salts: tuple[str, str]
    compound: str
    value_J_mol: float
    sigma_J_mol: float


@dataclass(frozen=True)
class PairModel:
    """One salt pair: parameters and their values, covariance (P, P), and where they come from.

    fusion_response (2, P): what the fit makes of the parameters when the fusion energy of the first or the second salt
    is one standard deviation higher than tabulated.
    estimated: double salts whose energy no point of the pair tells of.
    status: 'fitted' (fitted to published points of this pair) or 'estimated' (size rule, no points of its own).
    """

    salts: tuple[str, str]
    status: Origin
    parameters: tuple[Parameter, ...]
    values: np.ndarray
    covariance: np.ndarray
    fusion_response: np.ndarray
    points: int
    rms_K: float | None
    sources: tuple[str, ...]
    note: str
    estimated: tuple[str, ...] = ()

    def terms(self, phase: str) -> dict[int, tuple[float, float]]:
        """{k: (a_k, b_k)} of `liquid` or a solid solution; empty when the pair has no such phase."""
        found: dict[int, list[float]] = {}
        for parameter, value in zip(self.parameters, self.values, strict=True):
            if parameter.phase != phase or parameter.term == LATTICE:
                continue
            if parameter.term == SLOPE:
                here = found.setdefault(0, [0.0, 0.0])
                here[:] = here[0] - SLOPE_K * float(value), here[1] + float(value)
            else:
                found.setdefault(parameter.order, [0.0, 0.0])[parameter.per_kelvin] += float(value)
        return {k: (a, b) for k, (a, b) in sorted(found.items())}

    def lattice_energies(self) -> dict[str, float]:
        """{host: energy of the other salt in the host's kind of crystal, above its own crystal, J/mol}."""
        return {
            parameter.host: float(value)
            for parameter, value in zip(self.parameters, self.values, strict=True)
            if parameter.host is not None and parameter.term == LATTICE
        }

    def double_salts(self) -> dict[str, tuple[float, float]]:
        """{formula: (dH J/mol, dS J/(mol K))} of the pair's double salts."""
        found: dict[str, list[float]] = {}
        for parameter, value in zip(self.parameters, self.values, strict=True):
            if parameter.term in (ENTHALPY, ENTROPY):
                found.setdefault(parameter.phase, [0.0, 0.0])[parameter.per_kelvin] = float(value)
        return {formula: (dH, dS) for formula, (dH, dS) in found.items()}


@remembered
def model_constant(quantity: str) -> float:
    """One constant of the melt model that belongs to no pair (data/fitted/model_error.csv, generated)."""
    (row,) = (row for row in read_table("fitted/model_error.csv") if row["quantity"] == quantity)
    return float(row["value"])


@remembered
def own_strengths() -> tuple[Strength, ...]:
    """data/fitted/strengths.csv, in file order."""
    return tuple(
        Strength((row["salt_a"], row["salt_b"]), row["compound"], float(row["value_J_mol"]), float(row["sigma_J_mol"]))
        for row in read_table("fitted/strengths.csv")
    )


class _Models(Mapping):
    """Pairs by their two formulas, each built from its rows when first asked for: one melt needs few of them."""

    def __init__(self, shifts: Mapping[tuple[frozenset, str], float]) -> None:
        self._shifts = shifts
        pairs, self._parameters, self._covariances = (table_text(f"fitted/{name}.csv") for name in FILES)
        self._pairs = {frozenset((row["salt_a"], row["salt_b"])): row for row in read_rows(pairs)}
        self._built: dict[frozenset, PairModel] = {}

    def __getitem__(self, key: frozenset) -> PairModel:
        if key not in self._built:
            pair = self._pairs[key]
            model = _model(pair, *(_rows_of(pair, text) for text in (self._parameters, self._covariances)))
            moved = [self._shifts.get((key, str(parameter)), 0.0) for parameter in model.parameters]
            self._built[key] = replace(model, values=model.values + moved)
        return self._built[key]

    def __contains__(self, key: object) -> bool:
        return key in self._pairs

    def __iter__(self) -> Iterator[frozenset]:
        return iter(self._pairs)

    def __len__(self) -> int:
        return len(self._pairs)


def _rows_of(pair: Mapping[str, str], text: str) -> list[dict[str, str]]:
    """The rows of a generated file that belong to one pair: of thousands of lines no other is taken apart."""
    mark, lines, end = f"\n{pair['salt_a']},{pair['salt_b']},", [text[: text.index("\n")]], 0
    while (start := text.find(mark, end)) >= 0:
        end = text.index("\n", start + 1)
        lines.append(text[start + 1 : end])
    return read_rows("\n".join(lines))


@remembered
def pair_models() -> Mapping[frozenset, PairModel]:
    """Every pair with what the joint update adds: frozenset of its two formulas -> PairModel; covariance before it."""
    return _Models(joint_shifts())


@remembered
def pair_fits() -> Mapping[frozenset, PairModel]:
    """Every pair as its own fit left it: frozenset of its two formulas -> PairModel."""
    return _Models({})


def moved_models(shifts: Mapping[tuple[frozenset, str], float]) -> Mapping[frozenset, PairModel]:
    """Every pair with these shifts of its parameters, named as in joint_shifts.csv."""
    return _Models(shifts)


def _model(pair: dict[str, str], rows: list[dict[str, str]], covariance_rows: list[dict[str, str]]) -> PairModel:
    names = tuple(Parameter(row["phase"], row["term"]) for row in rows)
    covariance = np.zeros((len(names), len(names)))
    place = {str(name): n for n, name in enumerate(names)}
    for row in covariance_rows:
        r, c = (place[row[side]] for side in ("row", "column"))
        covariance[r, c] = covariance[c, r] = float(row["covariance"])
    return PairModel(
        salts=(pair["salt_a"], pair["salt_b"]),
        status=Origin(pair["status"]),
        parameters=names,
        values=np.array([float(row["value"]) for row in rows]),
        covariance=covariance,
        fusion_response=np.array([[float(row[c]) for row in rows] for c in ("fusion_a", "fusion_b")]),
        points=int(pair["points"]),
        rms_K=number(pair["rms_K"]),
        sources=tuple(pair["source"].split(";")) if pair["source"] else (),
        note=pair["note"],
        estimated=tuple(row["phase"] for row in rows if row["term"] == ENTHALPY and row["origin"] == Origin.ESTIMATED),
    )
