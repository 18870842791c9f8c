"""The four answers of the first screen: freezing, metal, float or sink, window; a figure, a line and a badge each.

Made from the read-outs (`cards`), so a box and the lines behind it cannot differ. Level: good, alarm, open (the data
do not decide) or plain.
Limits: words only. Worked value: the opening melt gives four answers, the first with the key "freezing".
"""

import re
from dataclasses import dataclass

from scipy.special import ndtr

from thermo.answers.flotation import LIKELY, UNLIKELY
from thermo.present.page.cards import cards
from thermo.present.page.readouts import ReadOut
from thermo.present.words.card import Card
from thermo.present.words.written import NO_BREAK, VERDICT_SIGNS, degrees, plain, pretty, signed_density
from thermo.records.substances import metal
from thermo.records.units import celsius, kelvin

ROUGH_K = 30.0  # a band from which the figure is called rough: judgement, no source
ROOM = 64  # letters in the two lines of a box
KEYS = ("freezing", "metal", "float", "window")
SHORT = {"freezing": "Freezing starts", "metal": "Metal", "float": "Floats or sinks", "window": "Cell runs between"}


@dataclass(frozen=True)
class Answer:
    """One box: key, title, figure in large type, one line, badge with its look, level, and what a tap adds.

    brief: the line where a narrow screen has no room for it; '' where it has.
    """

    key: str
    title: str
    figure: str
    line: str
    badge: str = ""
    badge_look: str = ""
    level: str = ""
    more: tuple[str, ...] = ()
    brief: str = ""


def answers(out: ReadOut) -> tuple[Answer, ...]:
    """The four answers in their order; without a metal two of them say so."""
    shown = cards(out)
    by_key = dict(zip(KEYS if out.state.metal else ("freezing", "window"), shown, strict=True))
    return tuple(_PUT[key](out, by_key[key]) if key in by_key else _no_metal(key) for key in KEYS)


def _no_metal(key: str) -> Answer:
    return Answer(key, SHORT[key], "no metal", "choose one beside the temperature")


def _rest(card: Card) -> tuple[str, ...]:
    return tuple(plain(line) for line in card.details if line)


def _refused(key: str, card: Card) -> Answer:
    return Answer(key, SHORT[key], card.answer, _whole(card.details), level="alarm", more=_rest(card))


def _whole(details: tuple[str, ...]) -> str:
    """The reason where a box has room for all of it, else its first part: a reason cut in the middle is none."""
    text = plain(details[0]) if details else ""
    if len(text) <= ROOM:
        return text
    first = re.split(r"[:;(]", text)[0].strip()
    return first if len(first) <= ROOM else "the data do not say: see why under more"


def _freezing(out: ReadOut, card: Card) -> Answer:
    start = out.liquidus
    if start is None or not start.known:
        return _refused("freezing", card)
    first_K = start.T_K if out.bath is None else out.bath.liquidus.T_K
    above_K = kelvin(out.state.t_C) - first_K
    t_C = out.state.t_C
    undecided = _undecided(above_K, start.sigma_K if out.bath is None else out.bath.liquidus.sigma_K)
    where = f"{above_K:.0f} K below {t_C:.0f} °C" if above_K >= 0 else f"partly frozen at {t_C:.0f} °C"
    if undecided:
        where = f"at {t_C:.0f} °C too close to call"
    rough = start.sigma_K > ROUGH_K
    badge, look = (f"rough: ± {start.sigma_K:.0f} K", "rough") if rough else (start.status, start.status)
    level = "open" if undecided else "alarm" if card.alarm else "open" if rough else "good"
    title, line, brief = SHORT["freezing"], f"{pretty(start.first_solid)} first; {where}", where
    if out.bath is not None and out.bath.name.alumina_pct:
        title = f"{title}, without its alumina"
        line = brief = f"with its alumina from {degrees(first_K, out.bath.liquidus.sigma_K)}"
    return Answer("freezing", title, card.answer, line, badge, look, level, (card.title, *_rest(card)), brief)


def _undecided(above_K: float, sigma_K: float) -> bool:
    """Whether the data leave it open that a melt this far above its computed start of freezing is liquid."""
    return UNLIKELY < ndtr(above_K / max(1.0, sigma_K)) < LIKELY


def _metal(out: ReadOut, card: Card) -> Answer:
    element = metal(out.state.metal)
    span = f"melts {celsius(element.melting_point_K):.0f}, boils {celsius(element.boiling_point_K):.0f} °C"
    words, late = out.order.standing(element.symbol) if out.order else ("", False)
    unwanted = out.state.deposit not in ("either", card.answer)
    order = plain(words).replace(" ± ", f"{NO_BREAK}±{NO_BREAK}").replace(" V ", f"{NO_BREAK}V ")
    line = f"not the {out.state.deposit} deposit wanted" if unwanted else order if late else span
    if _absent(out):
        line, late = f"no salt of this melt holds {element.symbol}", False
    level = "alarm" if card.alarm or _absent(out) else "good"
    title = f"{element.name.capitalize()} at {out.state.t_C:.0f} °C"
    brief = "not first to deposit" if late and not unwanted else ""
    return Answer("metal", title, card.answer, line, "", "", level, _rest(card), brief)


def _absent(out: ReadOut) -> bool:
    """Whether no salt of the melt holds the metal that is to be made from it."""
    return out.melt is not None and not out.melt.holds_metal


def _float(out: ReadOut, card: Card) -> Answer:
    found = out.flotation
    if found is None:
        return _refused("float", card)
    title = f"{metal(out.state.metal).name.capitalize()} in this melt"
    if found.margin is None:
        return Answer("float", title, card.answer, "", level="alarm", more=_rest(card))
    verdict, margin = found.margin.verdict, signed_density(found.margin.difference_g_cm3, found.margin.sigma_g_cm3)
    level = "open" if verdict == "too close to call" else ""
    figure = VERDICT_SIGNS.get(verdict, verdict)
    badge, line = f"density {card.status}", f"{margin.lstrip('+−')} {'lighter' if margin[0] == '+' else 'heavier'}"
    return Answer("float", title, figure, line, badge, card.status, level, _rest(card))


def _window(out: ReadOut, card: Card) -> Answer:
    window = out.window
    if window is None:
        return _refused("window", card)
    if window.span_K is None:
        ends = [limit for limit in window.limits if limit.binding]
        at_least, at_most = ([one.T_K for one in ends if one.side == side] for side in ("low", "high"))
        line = _whole(card.details)
        if at_least and at_most:
            line = f"needs above {celsius(max(at_least)):.0f} and below {celsius(min(at_most)):.0f} °C at once"
        return Answer("window", SHORT["window"], window.words, line, level="alarm", more=_rest(card))
    t_K = kelvin(out.state.t_C)
    low_K, high_K = window.span_K
    place = "inside" if low_K <= t_K <= high_K else "below" if t_K < low_K else "above"
    possible = f"{celsius(low_K):.0f} – {celsius(high_K):.0f} °C"
    best = window.preferred
    figure = possible if best is None else f"{celsius(best.low_K):.0f} – {celsius(best.high_K):.0f} °C"
    wide = window.sigma_low_K > ROUGH_K
    badge = f"low end ± {window.sigma_low_K:.0f} K" if wide else ""
    level = "good" if place == "inside" and not card.alarm else "alarm"
    line = brief = f"{out.state.t_C:.0f} °C is {place} it"
    if out.liquidus is not None and not out.liquidus.known:
        line = brief = f"{out.state.t_C:.0f} °C is {place}, if the melt is liquid there"
    elif best is not None and figure != possible:
        line = f"{out.state.t_C:.0f} °C is {place}; possible {possible}"
    return Answer("window", SHORT["window"], figure, line, badge, "rough", level, _rest(card), brief)


_PUT = {"freezing": _freezing, "metal": _metal, "float": _float, "window": _window}


def sentence(out: ReadOut) -> str:
    """The melt in one sentence: what the metal is and does, and how far freezing is."""
    if out.composition is None:
        return "The melt waits for amounts that can be read."
    parts = []
    if out.state.metal:
        name, state = metal(out.state.metal).name, metal(out.state.metal).state(kelvin(out.state.t_C))
        verdict = out.flotation.verdict if out.flotation is not None else None
        does = {"too close to call": "may float or sink"}.get(verdict or "", verdict or "leaves the melt")
        late = out.order is not None and out.order.standing(out.state.metal)[1]
        first = f", but {metal(out.order.first.metal).name} deposits before it" if late and out.order else ""
        first = first or ", but no salt of this melt holds it" * _absent(out)
        parts.append(f"At {out.state.t_C:.0f} °C {name} is {state} and {does}{first}")
    if out.liquidus is not None and out.liquidus.known:
        away_K = kelvin(out.state.t_C) - out.liquidus.T_K
        at = degrees(out.liquidus.T_K, out.liquidus.sigma_K)
        where = f"{away_K:.0f} K lower" if away_K >= 0 else f"{-away_K:.0f} K higher: the melt is partly frozen"
        if _undecided(away_K, out.liquidus.sigma_K):
            where = "so molten or not is too close to call"
        parts.append(f"freezing starts at {at}, {where}")
    else:
        parts.append("where freezing starts is not known")
    text = "; ".join(parts)
    return f"{text[:1].upper()}{text[1:]}."
