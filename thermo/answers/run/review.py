"""The run is over: what does the weighed metal say, and what most likely went wrong?

Current efficiency from the weighed mass, then every cause of thermo.answers.run.causes with its number. What was seen,
words of data/observations.csv, multiplies the strength of a cause by a factor (4: typical; 0.3: speaks against it), and
    weight_i = s_i / (sum of s + REST)          s_i = strength x factors
REST is room for what is not computed, so the weights sum to less than one: ranks, not probabilities. A word that no
cause of any strength explains is listed as not explained, with what else it could be. Factors, REST: judgement.
Limits: see thermo.answers.run.causes; it never names a cause whose number is zero, whatever was seen.
Worked value: magnesium at 600 deg C with black sponge: the solid deposit ranks first.
"""

from dataclasses import dataclass

from thermo.answers.run.causes import Cause, all_causes, freezing_bath_g
from thermo.answers.run.facts import NORMAL, Facts, Run, facts_of
from thermo.laws.faraday import halogen
from thermo.records.composition import halide_at_the_anode
from thermo.records.seen_in_a_run import Observation, observation_named

REST = 0.25
LEAST_WEIGHT = 0.02  # causes below this are left out
EXPLAINS = 0.05  # strength from which a cause counts as explaining what was seen


@dataclass(frozen=True)
class RankedCause:
    """A cause with its number, its weight 0..1 and its remedy; key is its name in data/observations.csv."""

    key: str
    cause: str
    evidence: str
    weight: float
    remedy: str


@dataclass(frozen=True)
class Review:
    """The review of one run; current_efficiency is a fraction, above 1 where more was weighed than can be."""

    run: Run
    most_g: float
    current_efficiency: float
    efficiency_sigma: float
    causes: tuple[RankedCause, ...]
    unexplained: tuple[str, ...]
    notes: tuple[str, ...]
    sources: tuple[str, ...]


def review(run: Run, saw: tuple[str, ...] = ()) -> Review:
    """Rank what went wrong. InputError for a word not in the list, or metal weighed that the bath did not hold."""
    seen = tuple({o.word: o for o in map(observation_named, saw)}.values())
    facts = facts_of(run, bool(seen))
    causes = all_causes(facts)
    scores = {cause.key: _score(cause, seen) for cause in causes}
    total = sum(scores.values()) + REST
    ranked = sorted(causes, key=lambda cause: -scores[cause.key])
    return Review(
        run,
        facts.most_g,
        facts.efficiency,
        facts.efficiency_sigma,
        tuple(
            RankedCause(cause.key, cause.cause, cause.evidence, scores[cause.key] / total, cause.remedy)
            for cause in ranked
            if scores[cause.key] / total >= LEAST_WEIGHT
        ),
        tuple(line for o in seen if (line := _unexplained(o, causes))),
        _notes(facts, seen, causes),
        tuple(dict.fromkeys([*facts.freezing.sources, *facts.order.sources, *facts.element.sources])),
    )


def _score(cause: Cause, seen: tuple[Observation, ...]) -> float:
    score = cause.strength
    for observation in seen:
        score *= observation.factors.get(cause.key, 1.0)
    return score


def _unexplained(observation: Observation, causes: tuple[Cause, ...]) -> str:
    """'' where some cause with a number explains it."""
    strengths = {cause.key: cause.strength for cause in causes}
    for key, factor in observation.factors.items():
        if factor > 1 and strengths.get(key, 0.0) >= EXPLAINS:
            return ""
    also = f"; it may be {observation.also}, which is not computed" if observation.also else ""
    return f"{observation.label}: nothing computed here explains it{also}"


def _frozen_by_drift(grams: float, sigma_g: float) -> str:
    """Which baths the drift of this run would have frozen; where the doubt is as large as the mass, up to which."""
    if 2 * sigma_g < grams:
        return f"a bath under {_two_figures(grams)} +- {_two_figures(sigma_g)} g would have frozen by drift in this run"
    most = _two_figures(grams + 2 * sigma_g)
    return f"a bath under {_two_figures(grams)} g would have frozen by drift in this run, one under {most} g may have"


def _two_figures(value: float) -> str:
    return f"{float(f'{value:.2g}'):.10g}"  # 250, not 2.5e+02


def _notes(facts: Facts, seen: tuple[Observation, ...], causes: tuple[Cause, ...]) -> tuple[str, ...]:
    run = facts.run
    notes = []
    if facts.efficiency >= NORMAL and not facts.too_much and not seen:
        notes.append(f"{100 * facts.efficiency:.0f} % is as good as a careful laboratory run: nothing asks for a cause")
    if run.bath_g is None:
        smallest = freezing_bath_g(facts)
        least = ""
        if smallest is not None:
            least = f" ({_frozen_by_drift(*smallest)})"
        notes.append(f"the mass of the bath was not told: drift, water and dissolved metal are only half judged{least}")
    if any(o.word == "weak-chlorine" for o in seen):
        gas = halogen(halide_at_the_anode(run.composition), run.charge_Ah)
        much = f"{gas.L:.2g} L of {gas.formula} (25 deg C, 1 atm, {gas.NaOH_g:.3g} g of NaOH)"
        notes.append(f"{run.charge_Ah:.3g} A h should give {much}: the lye used up tells more than the nose")
    for o in seen:
        if o.also and not _unexplained(o, causes):
            notes.append(f"{o.label} may also be {o.also}: not computed")
    return (*notes, "weights rank causes; they are not probabilities, and shorts or stray currents are not in them")
