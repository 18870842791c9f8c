"""How the page's widgets and knobs change the one record that is the truth.

`session` is any mutable mapping: Streamlit's session state on the page, a dictionary in a test. Keys: page (the
PageState), one key a widget, shelf (the text of every amount seen, so that a salt put back has its own), slips (what
stands in a box and cannot be read, by the box's key), typed (what the pages ask for, by name), trail, messages.
Limits: called in callbacks, or before the first widget of a run; a widget's key must not be written after it is drawn.
Worked value: after adopt(session, OPENING), session["page"] is OPENING.
"""

import math
import time
from collections.abc import Mapping, MutableMapping
from dataclasses import replace

from thermo.answers.evidence.start_of_freezing import start_of_freezing
from thermo.equilibrium.invariants.pair import Invariant
from thermo.equilibrium.system.build import MOST_SALTS
from thermo.present.page.readouts import inside_window
from thermo.present.page.state import SUPERHEAT_K, TEMPERATURE_C, PageState, moved
from thermo.present.words.written import degrees, shares
from thermo.records.provenance import InputError, RangeError
from thermo.records.recipe import read_recipe
from thermo.records.salt_names import means
from thermo.records.typed import number_text, read_number

NEW_SALT_PARTS = "10"
ECHO_S = 2.0  # within which a box may answer with an earlier place of a knob: judgement, no source
_PLAIN = ("basis", "metal", "deposit", "vessel", "atmosphere")


def adopt(session: MutableMapping, page: PageState) -> None:
    """Make `page` the truth and show it in every widget."""
    session["page"], session["slips"] = page, {}
    for name, amount in page.amounts:
        _show_amount(session, name, "" if math.isnan(amount) else number_text(amount))
    session["t_C"], session["superheat"] = number_text(round(page.t_C, 1)), number_text(page.superheat_K)
    for name in _PLAIN:
        session[name] = getattr(page, name)
    session["lowest_message"] = session["moved_message"] = ""


def keep_widgets(session: MutableMapping) -> None:
    """Give every widget that was not drawn last time its value again: the page forgets what it does not draw."""
    page: PageState = session["page"]
    for name in page.salts:
        session.setdefault(f"part_{name}", session["shelf"].get(name, NEW_SALT_PARTS))
    for name in _PLAIN:
        if session.get(name) is None:
            session[name] = getattr(page, name)
    session.setdefault("t_C", number_text(page.t_C))
    session.setdefault("superheat", number_text(page.superheat_K))
    session.setdefault("recipe", session["recipe_line"])


def _show_amount(session: MutableMapping, name: str, text: str) -> None:
    session[f"part_{name}"] = session["shelf"][name] = text


def take_widgets(session: MutableMapping) -> None:
    """Read every widget into the record; what cannot be read stays in its box, is named beside it, and is no melt."""
    keep_widgets(session)
    slips: dict[str, str] = {}
    amounts = []
    for name in session["page"].salts:
        key = f"part_{name}"
        if _is_echo(session, name, session[key]):
            session[key] = session["shelf"][name]
        text = session["shelf"][name] = session[key]
        amounts.append((name, _amount(text, key, slips)))
    page = session["page"]
    t_C = _held(session["t_C"], "t_C", "temperature", TEMPERATURE_C, page.t_C, slips)
    superheat = _held(session["superheat"], "superheat", "superheat", SUPERHEAT_K, page.superheat_K, slips)
    plain = {name: session[name] for name in _PLAIN}
    session["page"] = PageState(tuple(amounts), t_C=t_C, superheat_K=superheat, **plain)
    session["slips"] = slips
    session["lowest_message"] = session["moved_message"] = ""


def _is_echo(session: Mapping, name: str, text: str) -> bool:
    """Whether a box still says where a knob stood a moment ago: the browser answers before it has drawn the newest."""
    behind = text != session["shelf"].get(name, text) and text in session.get("echoes", {}).get(name, ())
    return behind and time.monotonic() < session["echo_until"]


def _expect_echoes(session: MutableMapping) -> None:
    """What the boxes say now may come back after the knob has moved on."""
    now = time.monotonic()
    if now >= session.get("echo_until", now):
        session["echoes"] = {}
    for name, text in session["shelf"].items():
        session["echoes"].setdefault(name, set()).add(text)
    session["echo_until"] = now + ECHO_S


def _amount(text: str, key: str, slips: dict[str, str]) -> float:
    try:
        value = read_number(text, "amount")
    except InputError as error:
        slips[key] = str(error)
        return math.nan
    if value < 0:
        slips[key] = f"amount: {value:g}; allowed is zero or more"
    return value


def _held(text: str, key: str, what: str, span: tuple[float, float], held: float, slips: dict[str, str]) -> float:
    """What a box says, or what was there before where it says nothing that is allowed."""
    try:
        value = read_number(text, what)
    except InputError as error:
        slips[key] = f"{error}; still {held:g}"
        return held
    if not span[0] <= value <= span[1]:
        slips[key] = f"{what} {value:g}: allowed is {span[0]:g} to {span[1]:g}; still {held:g}"
        return held
    return value


def take_salt(session: MutableMapping) -> None:
    """A salt, mineral or compound was chosen to be added: with the amount it had before, or ten parts."""
    word, session["add_salt"] = session.get("add_salt"), None
    meaning = means(word) if word else None
    page: PageState = session["page"]
    if meaning is None:
        return
    new = [name for name in meaning.moles if name not in page.salts]
    if len(page.salts) + len(new) > MOST_SALTS:
        session["lowest_message"] = f"A melt has at most {MOST_SALTS} salts here: take one out first."
        return
    amounts = list(page.amounts)
    for name in new:
        text = session["shelf"].get(name, NEW_SALT_PARTS)
        if not meaning.dry_salt:
            text = number_text(10 * meaning.moles[name])
        amounts.append((name, _amount(text, name, {})))
    adopt(session, replace(page, amounts=tuple(amounts)))


def drop_salt(session: MutableMapping, formula: str) -> None:
    """A salt was taken out; its amount is remembered for when it comes back."""
    page: PageState = session["page"]
    adopt(session, replace(page, amounts=tuple(pair for pair in page.amounts if pair[0] != formula)))


def nudge(session: MutableMapping, formula: str, by: float) -> None:
    """One more or one less part of a salt, never below zero."""
    page: PageState = session["page"]
    amounts = tuple(
        (name, round(max(0.0, (0.0 if math.isnan(a) else a) + by), 6) if name == formula else a)
        for name, a in page.amounts
    )
    session["gesture"] = f"part_{formula}"
    adopt(session, replace(page, amounts=amounts))


def set_temperature(session: MutableMapping, t_C: float, gesture: str = "") -> None:
    """A working temperature, held inside what the page allows."""
    low, high = TEMPERATURE_C
    session["gesture"] = gesture
    adopt(session, replace(session["page"], t_C=min(max(t_C, low), high)))


def take_move(session: MutableMapping, key: str, seq: int, changes: Mapping) -> None:
    """A knob of the drawing `key` moved: new composition (x, shares or mix, mol%) or temperature."""
    _expect_echoes(session)
    session[f"seq_{key}"] = seq
    session["gesture"] = f"{key} {' '.join(sorted(changes))}"
    page: PageState = session["page"]
    if "x" in changes and len(page.amounts) == 2:
        page = moved(page, (100 - changes["x"], changes["x"]))
    if "shares" in changes:
        page = _with_shares(session, page, changes["shares"])
    if "mix" in changes and len(changes["mix"]) == len(page.amounts):
        page = moved(page, changes["mix"])
    if "t_C" in changes:
        page = replace(page, t_C=min(max(changes["t_C"], TEMPERATURE_C[0]), TEMPERATURE_C[1]))
    adopt(session, page)


def corners_of(session: Mapping, page: PageState) -> tuple[str, ...]:
    """The three salts on the triangle's corners: chosen by the person among four to six, or the first three."""
    chosen = tuple(name for name in session["typed"].get("corners", ()) if name in page.salts)
    return chosen if len(chosen) == 3 else page.salts[:3]


def take_corners(session: MutableMapping) -> None:
    """Other salts were chosen for the triangle's corners; kept while other pages are shown, and in the link."""
    session["typed"]["corners"] = list(session["corners"])


def _with_shares(session: Mapping, page: PageState, parts: tuple[float, ...]) -> PageState:
    """Shares of the three salts on the corners, percent of those three; the other salts keep theirs."""
    corners = corners_of(session, page)
    if len(corners) != 3:
        return page
    if len(page.amounts) == 3:
        return moved(page, parts)
    try:
        percent = page.composition().mole_percent
    except InputError:
        return page
    room = sum(percent[name] for name in corners)
    percent |= {name: part * room / 100 for name, part in zip(corners, parts, strict=True)}
    return moved(page, tuple(round(percent[name], 4) for name in page.salts))


def take_recipe(session: MutableMapping) -> None:
    """The recipe line was entered: use it and empty the line, or keep the line with its message and the melt."""
    session["recipe_message"] = session["lowest_message"] = ""
    session["recipe_notes"] = ()
    session["recipe_line"] = session["recipe"]
    if not session["recipe"].strip():
        return
    page: PageState = session["page"]
    session["recipe_message"] = refusal(session["recipe"], page.basis)
    if not session["recipe_message"]:
        read = read_recipe(session["recipe"], page.basis)
        session["recipe_notes"] = read.notes
        adopt(session, replace(page, amounts=read.amounts, basis=read.basis))
        session["recipe"] = session["recipe_line"] = ""


def refusal(recipe: str, basis: str) -> str:
    """Why a recipe cannot be taken; '' where it can, or where there is none."""
    if not recipe.strip():
        return ""
    try:
        found = read_recipe(recipe, basis)
    except InputError as error:
        return str(error)
    if len(found.amounts) > MOST_SALTS:
        return f"recipe names {len(found.amounts)} salts: allowed are up to {MOST_SALTS}"
    return ""


def want_lowest(session: MutableMapping, wanted: bool = True) -> None:
    """The next run is to look for the lowest-melting mix of these salts, or to leave it."""
    session["lowest_asked"] = session["page"] if wanted else None


def take_lowest(session: MutableMapping) -> None:
    """Set the melt to the lowest-melting mix that was found for its salts, to 0.01 mol%; called before any widget.

    lowest_found: the page it was asked for, and the mix or the line that refuses it.
    """
    asked, best = session.pop("lowest_found", (None, None))
    if asked is None or asked != session["page"]:
        return
    if isinstance(best, str):
        session["lowest_message"] = best
        return
    adopt(session, moved(session["page"], _hundredths(best.fractions)))
    start = start_of_freezing(session["page"].composition().present)  # as on its card, measured melts weighed in
    T_K, sigma_K = (start.T_K, start.sigma_K) if start.known else (best.T_K, best.sigma_K)
    session["lowest_message"] = f"Lowest: {degrees(T_K, sigma_K)} at {_percents(best)} mol% ({best.status})."


def _hundredths(fractions: tuple[float, ...]) -> tuple[float, ...]:
    """Nearest hundredths of a percent that sum to 100; the largest share takes the rounding."""
    percents = [round(10000 * x) for x in fractions]
    percents[percents.index(max(percents))] += 10000 - sum(percents)
    return tuple(p / 100 for p in percents)


def _percents(best: Invariant) -> str:
    return shares(dict(zip(best.salts, (100 * x for x in best.fractions), strict=True)))


def payload(session: Mapping, key: str, figure: dict, values: dict, spoken: str = "") -> dict:
    """What a drawing is sent: content, knob values, the last move seen, the reader's line."""
    return {
        "figure": figure,
        "values": values,
        "seq": session.get(f"seq_{key}", 0),
        "session": session["session_id"],
        "spoken": spoken,
    }


def take_metal(session: MutableMapping) -> None:
    """Another metal: where its window lies elsewhere the working temperature moves into it, and says so."""
    take_widgets(session)
    page: PageState = session["page"]
    try:
        target = inside_window(page)
    except (InputError, RangeError):
        return
    if target is not None:
        adopt(session, replace(page, t_C=target))
        session["moved_message"] = (
            f"Temperature moved from {page.t_C:.0f} to {target:.0f} °C, into the window; Undo takes it back."
        )
