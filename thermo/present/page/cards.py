"""The page's read-outs as cards: title, answer in large type, lines of detail, and how it is known.

In the order a person needs them: freezing, metal, float or sink, window. A part that could not be had says why.
Limits: words only, from the answers in `readouts.ReadOut`. Worked value: the opening melt has four cards, the first
titled "Starts to freeze at".
"""

from thermo.answers.evidence.start_of_freezing import COMPUTED, MEASURED, FreezingStart
from thermo.answers.window import UNKNOWN
from thermo.equilibrium.invariants.coldest_near import WITHIN
from thermo.present.page.readouts import WORTH_SAYING_K, ReadOut
from thermo.present.words.card import Card
from thermo.present.words.written import VERDICT_SIGNS, degrees, percent_of_chance, plain, pretty, signed_density
from thermo.records.provenance import sources
from thermo.records.substances import metal
from thermo.records.units import celsius, kelvin

SAME_MELT = 0.002  # mole fraction: compositions are printed to 0.1 mol%
NEAR_BOILING_K = 150.0  # common practice, no source: vapour losses are felt well before the boiling point


def cards(out: ReadOut) -> tuple[Card, ...]:
    """The read-outs in the order a person needs them: freezing, metal, float or sink, window."""
    shown = [_freezing_card(out)]
    if out.state.metal:
        shown += [_metal_card(out), _flotation_card(out)]
    return (*shown, _window_card(out))


def _refused(out: ReadOut, title: str, part: str) -> Card:
    return Card(title, "not known", (out.messages.get(part, "waits for a melt that can be read"),), alarm=True)


def _freezing_card(out: ReadOut) -> Card:
    title = "Starts to freeze at"
    if out.liquidus is None:
        return _refused(out, title, "liquidus" if out.composition else "composition")
    if not out.liquidus.known:
        return Card(title, "not known", out.liquidus.notes[:1], out.liquidus.status, alarm=True)
    start, bath = out.liquidus, out.bath
    details = [f"first solid {pretty(start.first_solid)}"]
    if bath is not None:
        excess = f"{round(bath.name.excess_alf3_pct, 1) + 0.0:.1f}".replace("-", "−")
        details.append(f"cryolite ratio {bath.name.cryolite_ratio:.2f}, excess AlF₃ {excess} mass%")
    if bath is not None and bath.name.alumina_pct:
        title += ", without its alumina"
        start_of = degrees(bath.liquidus.T_K, bath.liquidus.sigma_K)
        details.append(f"With {bath.name.alumina_pct:g} mass% alumina it starts at {start_of}.")
    first_K = bath.liquidus.T_K if bath is not None else start.T_K
    superheat_K = kelvin(out.state.t_C) - first_K
    if superheat_K < 0:
        details.append(_frozen_line(out))
    else:
        details.append(f"{superheat_K:.0f} K of superheat at {out.state.t_C:.0f} °C")
    if out.solidus is not None and out.solidus.T_K is not None:
        details.append(f"all solid below {degrees(out.solidus.T_K, out.solidus.sigma_K)}")
    details += [*_dissolved_lines(out), *_published_lines(out)]
    return Card(title, degrees(start.T_K, start.sigma_K), tuple(details), start.status, alarm=superheat_K < 0)


def _frozen_line(out: ReadOut) -> str:
    """What is frozen at the working temperature: the bath, or a little undissolved fluoride in it."""
    little = out.melt.little_solid if out.melt else None
    if little is None:
        return f"At {out.state.t_C:.0f} °C this melt is already partly frozen."
    solids = ", ".join(f"{percent:.1f} mass% of {pretty(name)}" for name, percent in little.solids)
    return f"At {out.state.t_C:.0f} °C {solids} lies undissolved; the melt above it is liquid."


def _dissolved_lines(out: ReadOut) -> list[str]:
    """How much of each fluoride stays dissolved beside chlorides at the working temperature."""
    lines = []
    for one in out.melt.dissolves if out.melt else ():
        if one.mass_percent is None or one.solid is None:
            continue  # any amount: nothing to watch
        low = one.low_mass_percent or 0.0
        high = "any amount" if one.high_mass_percent is None else f"{one.high_mass_percent:.1f}"
        amount = f"{one.mass_percent:.1f} mass% of {pretty(one.salt)} ({low:.1f} to {high})"
        after = f"then {pretty(one.solid)} begins to come out; {one.in_the_bath_mass_percent:.1f} is in it"
        lines.append(f"{amount} dissolves at {celsius(one.T_K):.0f} °C, {after}")
    return lines


def _published_lines(out: ReadOut) -> list[str]:
    """What was computed beside what leads, the coldest melt near, the nearest published melt by every source."""
    lines = [] if out.liquidus is None else _readings(out.liquidus)
    lines += [
        f"Published: {degrees(row.T_K, row.T_sigma_K)} ({'' if row.sure else 'unsure, '}{row.kind}, "
        f"{100 * row.away:.1f} mol% away; {sources()[row.source].short})"
        for row in out.published
        if row.away <= out.published[0].away + SAME_MELT
    ]
    return lines


def _readings(start: FreezingStart) -> list[str]:
    """The computed value where a measured one leads, and the coldest melt within 3 mol% where it is clearly colder."""
    lines, own, near = [], start.computed, start.coldest_near
    if start.rests_on != COMPUTED and own.known:
        share = "measured melts lead" if start.rests_on == MEASURED else "measured and computed weigh in"
        lines.append(f"{share}; computed {degrees(own.T_K, own.sigma_K)}")
    if near is not None and own.T_K - near.T_K > WORTH_SAYING_K:
        mix = ", ".join(f"{pretty(f)} {share:.1f}" for f, share in near.composition.mole_percent.items())
        lines.append(f"coldest melt within {100 * WITHIN:.0f} mol%: {degrees(near.T_K, near.sigma_K)} ({mix})")
    return lines


def _metal_card(out: ReadOut) -> Card:
    element, T_K = metal(out.state.metal), kelvin(out.state.t_C)
    state = element.state(T_K)
    melts = degrees(element.melting_point_K, element.melting_point_sigma_K)
    details = [f"melts {melts}, boils {degrees(element.boiling_point_K)}"]
    unwanted = out.state.deposit not in ("either", state)
    if unwanted:
        details.append(f"Not the {out.state.deposit} deposit that is wanted.")
    if state == "solid":
        details.append("A solid deposit grows as sponge or branches that hold salt.")
    elif state == "liquid" and element.boiling_point_K - T_K < NEAR_BOILING_K:
        details.append(f"Only {element.boiling_point_K - T_K:.0f} K below boiling: expect vapour losses and fire.")
    if out.melt and not out.melt.holds_metal:
        details.append(f"No salt of this melt holds {element.symbol}: none can be deposited from it.")
    words, late = out.order.standing(element.symbol) if out.order else ("", False)
    if words:
        details.append(plain(words))
    return Card(
        f"{element.name.capitalize()} at {out.state.t_C:.0f} °C",
        state,
        tuple(details),
        alarm=state == "vapour" or unwanted or late,
    )


def _flotation_card(out: ReadOut) -> Card:
    name = metal(out.state.metal).name
    title = f"Does {name} float?"
    if out.flotation is None:
        return _refused(out, title, "flotation" if out.composition else "composition")
    result, margin = out.flotation, out.flotation.margin
    if margin is None:
        return Card(title, "leaves as vapour", result.notes[:1], alarm=True)
    details = [
        f"margin {signed_density(margin.difference_g_cm3, margin.sigma_g_cm3)} "
        f"(melt {result.melt_density.value_g_cm3:.3f} ± {result.melt_density.sigma_g_cm3:.3f}, "
        f"metal {margin.metal_density.value_g_cm3:.3f} ± {margin.metal_density.sigma_g_cm3:.3f})",
        f"chance that it floats: {percent_of_chance(margin.p_float)}",
    ]
    details += [note for note in result.notes if margin.verdict == "too close to call"]
    frozen_K = out.liquidus.T_K if out.liquidus is not None and out.liquidus.known else 0.0
    details += [
        f"turns at {celsius(c.T_K):.0f} ± {max(1.0, c.sigma_K):.0f} °C: {c.above} above"
        for c in result.crossings_above(frozen_K)
    ]
    if out.bath is not None and out.bath.name.alumina_pct:
        details.append("dissolved alumina left out: see Aluminium bath, below")
    status = "estimated" if result.melt_density.origin == "estimated" else "measured"
    verdict = VERDICT_SIGNS.get(margin.verdict, margin.verdict)
    return Card(title, verdict, tuple(details), status, alarm=margin.verdict == "too close to call")


def _window_card(out: ReadOut) -> Card:
    title = "Run the cell between"
    window, start, t_C = out.window, out.liquidus, out.state.t_C
    if window is None or start is None:
        return _refused(out, title, "window" if start else "liquidus")
    binding = [
        f"{'not below' if limit.side == 'low' else 'not above'} {degrees(limit.T_K)}: {limit.reason}"
        for limit in sorted(window.limits, key=lambda limit: limit.side, reverse=True)
        if limit.binding
    ]
    if window.span_K is None:
        return Card(title, window.words, (window.explanation,), alarm=True)
    low_K, high_K = window.span_K
    inside = low_K <= kelvin(t_C) <= high_K
    narrow = high_K - low_K < 2 * window.sigma_low_K
    low_sigma = (f"lower end ± {window.sigma_low_K:.0f} K, as the freezing start",) * (window.sigma_low_K > 0)
    doubt = (f"{UNKNOWN}: it may be above the lower end.",) * (not start.known)
    doubt += (
        f"Narrower than the doubt in the freezing start (± {window.sigma_low_K:.0f} K): it may not exist.",
    ) * narrow
    if out.bath is not None and out.bath.name.alumina_pct:
        lowering = start.T_K - out.bath.liquidus.T_K
        doubt += (
            f"Counted without dissolved alumina, which moves the freezing start by {-lowering:+.0f} K.".replace(
                "-", "−"
            ),
        )
    place = "inside" if inside else "below" if kelvin(t_C) < low_K else "above"
    possible = f"{celsius(low_K):.0f} and {celsius(high_K):.0f} °C"
    best, why = possible, tuple[str, ...]()
    if window.preferred is not None:
        best = f"{celsius(window.preferred.low_K):.0f} and {celsius(window.preferred.high_K):.0f} °C"
        why = (window.preferred.reason, f"possible between {possible}")
    return Card(
        title,
        best,
        (*why, f"{t_C:.0f} °C is {place} the window", *binding, *low_sigma, *doubt),
        alarm=not inside or not start.known,
    )
