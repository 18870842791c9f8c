"""Which solids a set of salts can form, and how their Gibbs energies depend on the fitted parameters.

Compounds of three salts come from their own file (`fitting/compound_fit`), all others from the pairs.

Salts joined by pairs that share a lattice (`solid solution`) have one kind of crystal and form one solid solution. A
kind of crystal, of one salt or of several, also takes up the strangers for which one of its salts is the host
(`solid solution in` that salt); the strangers' own crystals remain. Double salts that are known to mix completely form
one solution too (records/compound_solutions), where the interaction of the two is among the ternary terms.
Limits: one energy for a stranger in a kind of crystal, so of several salts of that kind only one may be its host in
data/solid_solutions.csv; two strangers in one lattice do not interact (nobody has looked; both are dilute).
Worked value: LiCl and MgCl2: rock salt LiCl that takes up MgCl2, and MgCl2.
"""

from collections.abc import Iterable, Mapping, Sequence
from itertools import combinations

import numpy as np

from thermo.laws.compound_solution import CompoundSolution, term_name
from thermo.laws.solid_solution import SolutionSolid
from thermo.laws.solids import DoubleSolid, PureSolid, Solid, TripleSolid
from thermo.records.compound_solutions import CompoundPair, pairs_within
from thermo.records.fitted import PairModel
from thermo.records.parameters import SHARED
from thermo.records.substances import double_salts
from thermo.records.triple_salts import TripleEnergy, triple_salts

IMMISCIBLE_J_mol = 90000.0  # members of one solid solution that nobody has seen dissolve in each other


def system_solids(
    salts: Sequence[str],
    pairs: Sequence[PairModel],
    energies: Iterable[TripleEnergy],
    mixing: Mapping[str, float],
) -> tuple[Solid, ...]:
    """Pure salts, compounds and solid solutions of these salts, whose positions in `salts` they carry.

    mixing: interaction of the double salts that dissolve in each other, J/mol, by laws/compound_solution.term_name.
    """
    solutions = _solutions(salts, pairs)
    dissolved = {solution.indices[m] for solution in solutions for m in solution.natives}
    pure = [PureSolid(f, i) for i, f in enumerate(salts) if i not in dissolved]
    doubles = []
    for pair in pairs:
        for formula, (dH, dS) in pair.double_salts().items():
            counts = double_salts()[formula].stoichiometry
            indices = tuple(salts.index(f) for f in counts)
            doubles.append(DoubleSolid(formula, indices, tuple(counts.values()), dH, dS))
    triples = [
        _triple(salts, energy) for energy in energies if set(triple_salts()[energy.formula].stoichiometry) <= set(salts)
    ]
    mixed = _compound_solutions(doubles, [pair for pair in pairs_within(salts) if term_name(*pair.members) in mixing],
                                mixing)  # fmt: skip
    single = [d for d in doubles if not any(d.name in solution.formulas for solution in mixed)]
    return (*pure, *single, *triples, *solutions, *mixed)


def _compound_solutions(
    doubles: Sequence[DoubleSolid], pairs: Sequence[CompoundPair], mixing: Mapping[str, float]
) -> list[CompoundSolution]:
    """One solid solution for each kind of crystal that holds several of these double salts."""
    known = {d.name: d for d in doubles}
    met = [pair for pair in pairs if set(pair.members) <= set(known)]
    joined: dict[str, frozenset[str]] = {}
    for pair in met:
        union = frozenset(pair.members).union(*(joined.get(member, frozenset()) for member in pair.members))
        joined |= dict.fromkeys(union, union)
    kinds = [[name for name in double_salts() if name in kind] for kind in dict.fromkeys(joined.values())]
    return [_compound_solution([known[name] for name in names], met, mixing) for names in kinds]


def _compound_solution(
    members: Sequence[DoubleSolid], pairs: Sequence[CompoundPair], mixing: Mapping[str, float]
) -> CompoundSolution:
    names = [member.name for member in members]
    own = [pair for pair in pairs if set(pair.members) <= set(names)]
    by_names = {frozenset(pair.members): mixing[term_name(*pair.members)] for pair in own}
    cations = {member: cation for pair in own for member, cation in zip(pair.members, pair.cations, strict=True)}
    terms = tuple((i, j, 0) for i, j in combinations(range(len(names)), 2))
    W = tuple(by_names.get(frozenset((names[i], names[j])), IMMISCIBLE_J_mol) for i, j, _ in terms)
    indices = tuple(sorted({i for member in members for i in member.indices}))
    return CompoundSolution(
        tuple(names), indices, terms, W, (0.0,) * len(W), compounds=tuple(members),
        cations=tuple(cations[name] for name in names), exchanged=own[0].exchanged / sum(members[0].counts),
    )  # fmt: skip


def _triple(salts: Sequence[str], known: TripleEnergy) -> TripleSolid:
    """The compound among these salts; no entropy of formation but that of its salts (Neumann & Kopp)."""
    counts = triple_salts()[known.formula].stoichiometry
    indices = tuple(salts.index(f) for f in counts)
    fusion = tuple(known.fusion.get(f, 0.0) for f in counts)
    return TripleSolid(
        known.formula, indices, tuple(counts.values()), known.energy_J_mol, 0.0,
        known.T_K, known.sigma_J_mol, known.answers, fusion, known.melt,
    )  # fmt: skip


def _solutions(salts: Sequence[str], pairs: Sequence[PairModel]) -> list[SolutionSolid]:
    """One solid solution for each kind of crystal that holds more than one salt."""
    joined = {f: {f} for f in salts}
    for pair in pairs:
        if pair.terms(SHARED):
            union = joined[pair.salts[0]] | joined[pair.salts[1]]
            for f in union:
                joined[f] = union
    found = []
    for natives in sorted({tuple(sorted(map(salts.index, kind))) for kind in joined.values()}):
        energies = {
            salts.index(next(f for f in pair.salts if f != host)): energy
            for pair in pairs
            for host, energy in pair.lattice_energies().items()
            if salts.index(host) in natives
        }
        if len(natives) + len(energies) > 1:
            found.append(_solution(salts, pairs, natives, energies))
    return found


def _solution(
    salts: Sequence[str], pairs: Sequence[PairModel], natives: tuple[int, ...], energies: Mapping[int, float]
) -> SolutionSolid:
    indices = tuple(sorted((*natives, *energies)))
    place = {salts[i]: m for m, i in enumerate(indices)}
    strangers = tuple((m, energies[i]) for m, i in enumerate(indices) if i in energies)
    bare = SolutionSolid(tuple(place), indices, (), (), (), strangers)
    terms, a, b = [], [], []
    for pair in pairs:
        if (phase := bare.phase_of(pair.salts)) is not None:
            for k, (a_k, b_k) in (pair.terms(phase) or {0: (IMMISCIBLE_J_mol, 0.0)}).items():
                terms.append((place[pair.salts[0]], place[pair.salts[1]], k))
                a.append(a_k)
                b.append(b_k)
    return SolutionSolid(tuple(place), indices, tuple(terms), tuple(a), tuple(b), strangers)


def solid_weights(solid: Solid, count: int, y: np.ndarray | None) -> np.ndarray:
    """Mole fractions of the system's salts in the solid, shape (count,)."""
    weights = np.zeros(count)
    weights[list(solid.indices)] = solid.shares(y)
    return weights
