"""How the page's widgets and knobs change the one record that is the truth.

`session` is any mutable mapping: Streamlit's session state on the page, a dictionary in a test. Keys: page (the
PageState), one key a widget, shelf (amounts of salts seen, so that one taken out and put back is not lost), typed (what
the sections ask for, by name), messages.
Limits: called in callbacks, or before the first widget of a run; a widget's key must not be written after it is drawn.
Worked value: after start(session, {}), session["page"] is OPENING.
"""

import secrets
from collections.abc import Mapping, MutableMapping
from dataclasses import replace

from thermo.equilibrium.invariants.lowest import lowest
from thermo.equilibrium.invariants.pair import Invariant
from thermo.present.page.link import read_typed
from thermo.present.page.state import TEMPERATURE_C, PageState, moved, read_link, read_recipe, write_link
from thermo.present.words.written import degrees, shares
from thermo.records.provenance import InputError, RangeError

NEW_SALT_PARTS = 10.0
_PLAIN = ("basis", "metal", "deposit", "vessel", "atmosphere")


def start(session: MutableMapping, fields: Mapping[str, str]) -> None:
    """First run: the state of the link's fields, or the opening one."""
    session["session_id"], session["shelf"] = secrets.token_hex(4), {}
    session["lowest_message"] = ""
    page, messages, session["recipe"] = read_link(fields)
    session["recipe_message"] = _refusal(session["recipe"])
    session["typed"], more = read_typed(fields)
    session["link_messages"] = (*messages, *more)
    adopt(session, page)


def adopt(session: MutableMapping, page: PageState) -> None:
    """Make `page` the truth and show it in every widget."""
    session["page"] = page
    session["chosen"] = list(page.salts)
    for name, amount in page.amounts:
        session[f"part_{name}"] = session["shelf"][name] = float(amount)
    session["t_C"], session["superheat"] = round(page.t_C), page.superheat_K
    for name in _PLAIN:
        session[name] = getattr(page, name)


def take_widgets(session: MutableMapping) -> None:
    """Read every widget into the record; an emptied amount becomes not-a-number, which the page then names."""
    shelf = session["shelf"]
    for name in session["page"].salts:
        if f"part_{name}" in session:
            shelf[name] = session[f"part_{name}"]
    amounts = []
    for name in session["chosen"]:
        typed = shelf.setdefault(name, NEW_SALT_PARTS)
        session[f"part_{name}"] = typed
        amounts.append((name, float("nan") if typed is None else float(typed)))
    plain = {name: session[name] for name in _PLAIN}
    session["page"] = PageState(
        tuple(amounts), t_C=float(session["t_C"]), superheat_K=float(session["superheat"]), **plain
    )
    session["lowest_message"] = ""


def take_move(session: MutableMapping, key: str, seq: int, changes: Mapping) -> None:
    """A knob of the drawing `key` moved: new composition (x or shares, mol%) or temperature."""
    session[f"seq_{key}"] = seq
    page: PageState = session["page"]
    if "x" in changes and len(page.amounts) == 2:
        page = moved(page, (100 - changes["x"], changes["x"]))
    if "shares" in changes and len(page.amounts) == 3:
        page = moved(page, changes["shares"])
    if "t_C" in changes:
        page = replace(page, t_C=min(max(changes["t_C"], TEMPERATURE_C[0]), TEMPERATURE_C[1]))
    adopt(session, page)
    session["lowest_message"] = ""


def take_recipe(session: MutableMapping) -> None:
    """The recipe line was entered: use it, or keep it with its message."""
    session["recipe_message"] = session["lowest_message"] = ""
    if not session["recipe"].strip():
        return
    session["recipe_message"] = _refusal(session["recipe"])
    if not session["recipe_message"]:
        adopt(session, replace(session["page"], amounts=read_recipe(session["recipe"])))


def _refusal(recipe: str) -> str:
    """Why a recipe cannot be read; '' where it can, or where there is none."""
    try:
        read_recipe(recipe)
    except InputError as error:
        return str(error)
    return ""


def link(session: Mapping) -> str:
    """The share link of all that is set and typed."""
    return write_link(session["page"], session["typed"], session["recipe"])


def take_lowest(session: MutableMapping) -> None:
    """Set the melt to the lowest-melting mix of its salts, on the knob's half-percent grid."""
    try:
        best = lowest(session["page"].salts)
        adopt(session, moved(session["page"], _half_percents(best.fractions)))
        session["lowest_message"] = (
            f"Lowest: {degrees(best.T_K, best.sigma_K)} at {_percents(best)} mol% ({best.status})."
        )
    except (InputError, RangeError) as error:
        session["lowest_message"] = str(error)


def _half_percents(fractions: tuple[float, ...]) -> tuple[float, ...]:
    """Nearest half percents that sum to 100; the largest share takes the rounding."""
    percents = [round(200 * x) / 2 for x in fractions]
    percents[percents.index(max(percents))] += 100 - sum(percents)
    return tuple(percents)


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
