"""The energies of compounds of three salts, from the temperature at which each melts or falls apart.

There the mix of its composition has the same Gibbs energy with the compound and without it. With z its mole fractions
and pi the chemical potentials of the salts in the balance of all other phases at that temperature
(phases/balance), counted from the pure solid salts,
    energy of formation = sum z_i pi_i        J per mole of salt formulas
whether what forms is a melt alone (congruent) or a melt beside other solids. A small change of a parameter moves it by
the sum of the changes of n_p G_p at fixed amounts and compositions (they are at their lowest energy); this is stored
with it, so that errors of the melt cancel where the compound freezes from a melt like that one.
sigma: the temperature read times the entropy of melting.
Compounds of the same salts are taken from the hottest down, each in the presence of those before; one whose mix is
computed to be solid where it is said to melt gets no energy and is named as missing. One whose own melting nobody
reports may freeze first from a published melt x; then the energy is sum z_i mu_i(x), as uncertain as that melt.
Entropy of formation from the solids: zero (Neumann & Kopp). Limits: no solid solutions between compounds; one anion.
Worked value: NaCaAlF6 falls apart at 735 deg C to CaF2 and melt: -16 kJ per mole of salt formulas.
"""

from collections.abc import Hashable, Iterable, Iterator, Mapping

import numpy as np

from thermo.equilibrium.phases.balance import PhaseBalance
from thermo.equilibrium.phases.part import Balance, Phase
from thermo.equilibrium.system.driving_force import Melts
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.laws.compound_solution import CompoundSolution
from thermo.laws.gibbs import fusion_sigma
from thermo.laws.solids import TripleSolid
from thermo.records.parameters import LIQUID, Parameter
from thermo.records.provenance import Origin
from thermo.records.published import MeltPoint, ternary_points
from thermo.records.substances import salts
from thermo.records.table_text import table_text
from thermo.records.ternary_terms import Key
from thermo.records.triple_salts import TripleEnergy, TripleSalt, triple_salts

_STEP_K = 0.5
UNSURE = 3.0  # factor on the error of a row marked unsure
ABSENT = 1e-9  # an answer smaller than this (1, K or J/mol; what counts starts at 1e-3) is rounding and left out


def fitted_energies(
    compounds: Iterable[TripleSalt], models: Mapping | None = None, terms: Mapping | None = None
) -> list[TripleEnergy]:
    """Energies of the compounds whose melting is known, the hottest first; `models`, `terms` default to the files."""
    known = [c for c in compounds if c.T_K is not None and c.T_sigma_K is not None]
    found: list[TripleEnergy] = []
    for compound in sorted(known, key=lambda c: -c.known_T_K[0]):
        energy = fit_energy(compound, models, found, terms)
        found += [] if energy is None else [energy]
    for compound in compounds:
        if compound.T_K is None and (point := freezes_first_from(compound)) is not None:
            found.append(energy_from_melt(compound, point, models, terms))
    return found


def freezes_first_from(compound: TripleSalt) -> MeltPoint | None:
    """The published melt of its three salts from which a compound alone freezes first; None where there is none."""
    points = ternary_points(*compound.stoichiometry)
    return next((p for p in points if p.solids == (compound.formula,) and p.fractions), None)


def energy_from_melt(
    compound: TripleSalt, point: MeltPoint, models: Mapping | None = None, terms: Mapping | None = None
) -> TripleEnergy:
    """Energy of a compound whose own melting nobody reports, from another melt in balance with it: sum z_i mu_i(x)."""
    names = tuple(f for f in salts() if f in compound.stoichiometry)
    system = SaltSystem(names, models, terms=terms, compounds=())
    counts = np.array([compound.stoichiometry[f] for f in names], dtype=float)
    size, z = float(counts.sum()), counts / counts.sum()
    place = dict(zip(point.salts, point.fractions, strict=True))
    x = np.array([place[f] for f in names]) / sum(place.values())
    forces, slopes = Melts(system, x[None, :]).salt_forces(np.array([point.T_K]), tuple(range(len(names))))
    terms_of_pairs = system.liquid_terms(x, z, point.T_K)
    answers: dict[tuple[frozenset, Parameter | str], float] = {
        (frozenset(pair.salts), parameter): terms_of_pairs[p, parameter.order] * parameter.factor(point.T_K)
        for p, pair in enumerate(system.pairs)
        for parameter in pair.parameters
        if parameter.phase == LIQUID
    }
    for (at, kind, *_), key in zip(system.fitted_terms, system.term_keys, strict=True):
        answers[key] = float(z @ system.term_shape(x[None, :], at, kind)[0])
    scale = UNSURE if point.unsure else 1.0
    return TripleEnergy(
        compound.formula,
        point.T_K,
        size * float(z @ forces[0]),
        size * scale * point.T_sigma_K * abs(float(z @ slopes[0])),
        {key: size * value for key, value in answers.items() if abs(value) > ABSENT},
        {f: size * share * fusion_sigma(f, point.T_K) for f, share in zip(names, z.tolist(), strict=True)},
        {key: size * error for key, error in system.melt_errors(x, z, point.T_K).items() if abs(error) > ABSENT},
    )


def fit_energy(
    compound: TripleSalt, models: Mapping | None, others: Iterable[TripleEnergy], terms: Mapping | None = None
) -> TripleEnergy | None:
    """Energy of one compound beside `others`; None where nothing of its mix is molten at its temperature."""
    names = tuple(f for f in salts() if f in compound.stoichiometry)
    system = SaltSystem(names, models, terms=terms, compounds=others)
    counts = np.array([compound.stoichiometry[f] for f in names], dtype=float)
    mix = counts / counts.sum()
    phases, (T_K, T_sigma_K) = PhaseBalance(system), compound.known_T_K
    low, here, high = (phases.at(mix, T_K + step) for step in (-_STEP_K, 0.0, _STEP_K))
    if here.liquid is None:
        return None
    entropy = -float(mix @ (high.potentials - low.potentials)) / (2 * _STEP_K)  # of melting, J/(mol K)
    size = float(counts.sum())
    return TripleEnergy(
        compound.formula,
        T_K,
        size * float(mix @ here.potentials),
        size * T_sigma_K * entropy,
        {key: size * value for key, value in _answers(system, here).items() if abs(value) > ABSENT},
        {f: size * float(value) for f, value in zip(names, _fusion(system, here), strict=True)},
        {key: size * error for key, error in _melt(system, here).items() if abs(error) > ABSENT},
    )


def _answers(system: SaltSystem, balance: Balance) -> dict[tuple[frozenset, Parameter | str], float]:
    """dG/d(parameter) of a balance by every parameter of pairs and every term that moves it, a mole of mix."""
    found: dict[tuple[frozenset, Parameter | str], float] = {}
    for phase in balance.phases:
        melt = system.liquid_terms(phase.own, phase.own, balance.T_K) if phase.solid is None else {}
        for p, pair in enumerate(system.pairs):
            for parameter in pair.parameters:
                if phase.solid is not None:
                    share = phase.solid.share(pair.salts, parameter, balance.T_K, phase.members)
                elif parameter.phase == LIQUID:
                    share = melt[p, parameter.order] * parameter.factor(balance.T_K)
                else:
                    continue
                own = frozenset(pair.salts), parameter
                found[own] = found.get(own, 0.0) + phase.amount * share
        for key, share in _term_shares(system, phase):
            found[key] = found.get(key, 0.0) + phase.amount * share
    return found


def _term_shares(system: SaltSystem, phase: Phase) -> Iterator[tuple[Key, float]]:
    """dG/d(ternary term) of a phase, a mole of it."""
    if phase.solid is None:
        for (at, kind, *_), key in zip(system.fitted_terms, system.term_keys, strict=True):
            yield key, float(phase.own @ system.term_shape(phase.own[None, :], at, kind)[0])
    elif isinstance(phase.solid, TripleSolid):
        for key in system.term_keys:
            yield key, phase.solid.answers.get(key, 0.0) / sum(phase.solid.counts)
    elif isinstance(phase.solid, CompoundSolution):
        for key in system.term_keys:
            yield key, phase.solid.term_share(str(key[1]), phase.members)


def _fusion(system: SaltSystem, balance: Balance) -> np.ndarray:
    """What one sigma of each salt's energy of melting does to G of a balance, J a mole of mix: (n,)."""
    total = np.zeros(len(system.salts))
    for phase in balance.phases:
        if phase.solid is None:
            total += phase.amount * phase.own * [fusion_sigma(f, balance.T_K) for f in system.salts]
        elif isinstance(phase.solid, TripleSolid):
            total[list(phase.solid.indices)] += phase.amount * np.array(phase.solid.fusion) / sum(phase.solid.counts)
    return total


def _melt(system: SaltSystem, balance: Balance) -> dict[Hashable, float]:
    """What the errors of the melt's laws do to G of a balance, J a mole of mix."""
    found: dict[Hashable, float] = {}
    for phase in balance.phases:
        if phase.solid is None:
            _add(found, system.melt_errors(phase.own, phase.own, balance.T_K), phase.amount)
        elif isinstance(phase.solid, TripleSolid):
            _add(found, phase.solid.melt, phase.amount / sum(phase.solid.counts))
    return found


def _add(found: dict[Hashable, float], errors: Mapping[Hashable, float], amount: float) -> None:
    for key, error in errors.items():
        found[key] = found.get(key, 0.0) + amount * error


def regenerate() -> dict[str, str]:
    """Text of the fitted triple_energies.csv and triple_answers.csv, from pairs and published temperatures."""
    known, energies, answers = triple_salts(), [], []
    for energy in fitted_energies(known.values()):
        numbers = [f"{energy.T_K:.2f}", f"{energy.energy_J_mol:.6g}", f"{energy.sigma_J_mol:.3g}"]
        energies.append([energy.formula, *numbers, known[energy.formula].source, Origin.FITTED])
        for (pair, parameter), value in energy.answers.items():
            unit = "K" if isinstance(parameter, Parameter) and parameter.per_kelvin else "1"
            named = sorted(pair, key=list(salts()).index) if len(pair) == 2 else ["", ""]
            row = [*named, parameter, f"{value:.6g}", unit]
            answers.append([energy.formula, *row, Origin.FITTED])
        for formula, value in energy.fusion.items():
            answers.append(
                [energy.formula, formula, "", "one sigma of melting", f"{value:.6g}", "J/mol", Origin.FITTED]
            )
        for key, value in energy.melt.items():
            answers.append([energy.formula, "", "", key, f"{value:.6g}", "J/mol", Origin.FITTED])
    return {
        "fitted/triple_energies.csv": table_text("formula,T_K,energy_J_mol,sigma_J_mol,source,origin", energies),
        "fitted/triple_answers.csv": table_text("formula,salt_a,salt_b,parameter,value,unit,origin", answers),
    }
