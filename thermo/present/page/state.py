"""The page's inputs as one record, and the share link that carries it.

Link format, version 1 (amounts in any total, T in deg C, superheat in K):
?v=1&m=NaCl:60,CaCl2:18&basis=mol&metal=Mg&T=720&deposit=liquid&superheat=30&vessel=&atmosphere=inert
Every field is written, defaults too, so that a link keeps its meaning when a later version opens with something else;
the text of the recipe line (recipe=...) only where there is one.
Limits: a field that cannot be read is left at the opening value and named in a message; nothing raises.
Worked value: read_link(write_link(OPENING)'s fields) gives OPENING and no message.
"""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any
from urllib.parse import quote, urlencode

from thermo.answers.window import ATMOSPHERES
from thermo.equilibrium.system.build import MOST_SALTS
from thermo.present.charts.pair_data import TEMPERATURE_C
from thermo.present.page.link import write_typed
from thermo.records.composition import BASES, Composition, from_amounts
from thermo.records.provenance import InputError, suggest
from thermo.records.recipe import read_recipe
from thermo.records.substances import metals
from thermo.records.vessels import vessels

LINK_VERSION = "1"
DEPOSITS = ("either", "liquid", "solid")
SUPERHEAT_K = (0.0, 200.0)
LONGEST_TEXT = 400  # characters of a recipe that a link carries


@dataclass(frozen=True)
class PageState:
    """Everything the user sets. amounts: (salt, parts) in `basis`; metal and vessel '' for none."""

    amounts: tuple[tuple[str, float], ...]
    basis: str
    metal: str
    t_C: float
    deposit: str
    superheat_K: float
    vessel: str
    atmosphere: str

    @property
    def salts(self) -> tuple[str, ...]:
        """The salts named, in order."""
        return tuple(name for name, _ in self.amounts)

    def composition(self) -> Composition:
        """The melt; InputError where the amounts cannot be one."""
        if len(self.amounts) > MOST_SALTS:
            raise InputError(f"{len(self.amounts)} salts named: allowed are up to {MOST_SALTS}")
        return from_amounts(dict(self.amounts), self.basis)


# Magnesium from a calcium-bearing bath: three salts, so the triangle is shown, and a margin worth looking at.
OPENING = PageState(
    amounts=(("NaCl", 60.0), ("CaCl2", 18.0), ("MgCl2", 22.0)),
    basis="mol",
    metal="Mg",
    t_C=720.0,
    deposit="liquid",
    superheat_K=30.0,
    vessel="",
    atmosphere="inert",
)


def write_link(state: PageState, typed: Mapping[str, object] | None = None, recipe: str = "") -> str:
    """The query string of a state, of what is typed in the sections and of the recipe line, with its question mark."""
    melt = ",".join(f"{name}:{amount:.10g}" for name, amount in state.amounts)
    fields = {
        "v": LINK_VERSION,
        "m": melt,
        "basis": state.basis,
        "metal": state.metal,
        "T": f"{state.t_C:.10g}",
        "deposit": state.deposit,
        "superheat": f"{state.superheat_K:.10g}",
        "vessel": state.vessel,
        "atmosphere": state.atmosphere,
        **({"recipe": recipe[:LONGEST_TEXT]} if recipe.strip() else {}),
        **write_typed(typed or {}),
    }
    return "?" + urlencode(fields, safe=":,", quote_via=quote)


def read_link(fields: Mapping[str, str]) -> tuple[PageState, tuple[str, ...], str]:
    """A state from a link's fields, messages for what could not be read, and the recipe line.

    A melt that could not be read stands in the recipe line, to be put right.
    """
    if not fields or ("m" not in fields and "v" not in fields):
        return OPENING, (), ""
    if fields.get("v", LINK_VERSION) != LINK_VERSION:
        return OPENING, (f"link: version {fields['v'][:20]!r} is not known; allowed is {LINK_VERSION}",), ""
    state, messages, recipe = OPENING, [], fields.get("recipe", "")[:LONGEST_TEXT]
    if "m" in fields:
        try:
            basis = fields.get("basis", "mol")
            found = read_recipe(fields["m"], basis if basis in BASES else "mol")
            amounts = found.amounts
            messages += [f"link, melt: {note}" for note in found.notes]
            if len(amounts) > MOST_SALTS:
                raise InputError(f"{len(amounts)} salts named: allowed are up to {MOST_SALTS}")
            state = replace(state, amounts=amounts)
        except InputError as error:
            messages.append(f"link, melt: {error}")
            recipe = re.sub(r",(?=[A-Za-z])", " ", fields["m"][:LONGEST_TEXT]).replace(":", "=")
    changes: dict[str, Any] = {}
    for field, name, choices in _choices():
        if field in fields:
            if fields[field] in choices:
                changes[name] = fields[field]
            else:
                messages.append(
                    f"link, {field}: {fields[field][:40]!r} is not known{suggest(fields[field][:40], choices)}"
                )
    for field, name, span in (("T", "t_C", TEMPERATURE_C), ("superheat", "superheat_K", SUPERHEAT_K)):
        if field in fields:
            value = _number(fields[field])
            if math.isfinite(value) and span[0] <= value <= span[1]:
                changes[name] = value
            else:
                messages.append(
                    f"link, {field}: {fields[field][:40]!r}; allowed is a number from {span[0]:g} to {span[1]:g}"
                )
    return replace(state, **changes), tuple(messages), recipe


def _choices() -> tuple[tuple[str, str, tuple[str, ...]], ...]:
    return (
        ("basis", "basis", BASES),
        ("metal", "metal", ("", *metals())),
        ("deposit", "deposit", DEPOSITS),
        ("vessel", "vessel", ("", *vessels())),
        ("atmosphere", "atmosphere", ATMOSPHERES),
    )


def _number(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        return math.nan


def moved(state: PageState, mole_percents: tuple[float, ...]) -> PageState:
    """The state with its salts at these mole percents, written in the basis in use (mass percent to 0.01)."""
    if state.basis == "mol":
        parts = mole_percents
    else:
        shares = Composition(state.salts, tuple(p / 100 for p in mole_percents)).mass_percent
        parts = tuple(round(shares[name], 2) for name in state.salts)
    return replace(state, amounts=tuple(zip(state.salts, parts, strict=True)))
