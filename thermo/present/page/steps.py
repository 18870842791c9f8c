"""The steps of one visit: how it begins, what a link carries, undo, redo, and the browser's Back and Forward.

`session` is any mutable mapping, as in `callbacks`. Every step is an address; opening one is opening a link.
Limits: called in callbacks, or before the first widget of a run.
Worked value: after start(session, {}) and one change, undo(session) shows the opening melt again.
"""

import secrets
import time
from collections.abc import Mapping, MutableMapping
from urllib.parse import parse_qsl

from thermo.present.page.callbacks import adopt, refusal
from thermo.present.page.history import Trail
from thermo.present.page.link import read_typed, write_typed
from thermo.present.page.state import read_link, write_link
from thermo.records.provenance import InputError

LONGEST_ADDRESS = 4000


def start(session: MutableMapping, fields: Mapping[str, str]) -> None:
    """First run: the state of the link's fields, or the opening one."""
    session["session_id"], session["shelf"], session["trail"] = secrets.token_hex(4), {}, Trail()
    session["gesture"] = session["lowest_message"] = session["moved_message"] = ""
    session["typed"] = {}
    _open(session, fields)


def _open(session: MutableMapping, fields: Mapping[str, str]) -> None:
    page, messages, recipe = read_link(fields)
    session["recipe"] = session["recipe_line"] = recipe
    session["recipe_notes"] = ()
    session["recipe_message"] = refusal(session["recipe"], page.basis)
    typed, more = read_typed(fields)
    unwritten = {name: value for name, value in session["typed"].items() if not write_typed({name: value})}
    session["typed"] = {**{name: value for name, value in unwritten.items() if value is not None}, **typed}
    session["link_messages"] = (*messages, *more)
    adopt(session, page)


def link(session: Mapping) -> str:
    """The share link of all that is set and typed."""
    return write_link(session["page"], session["typed"], session["recipe_line"])


def remember(session: MutableMapping) -> None:
    """Note where the page stands on its trail, once a run; amounts that are no melt are not noted.

    Nor is a recipe that was refused: it changed nothing that could be undone.
    """
    if _readable(session):
        session["trail"].remember(_place(session), session["gesture"], time.monotonic())
    session["gesture"] = ""


def _place(session: Mapping) -> str:
    """The address of what is set and typed, as the trail keeps it."""
    return write_link(session["page"], session["typed"])


def _readable(session: Mapping) -> bool:
    try:
        session["page"].composition()
    except InputError:
        return False
    return True


def open_address(session: MutableMapping, address: str) -> None:
    """The state of an address that was kept, as one more step of the trail."""
    _open(session, dict(parse_qsl(address[:LONGEST_ADDRESS].removeprefix("?"))))


def undo(session: MutableMapping) -> None:
    """One step back on the trail; from amounts that are no melt, back to the last that were one."""
    trail = session["trail"]
    address = trail.step(-1 if _readable(session) else 0)
    if address is not None:
        _open(session, dict(parse_qsl(address.removeprefix("?"))))


def redo(session: MutableMapping) -> None:
    """One step forward on the trail."""
    address = session["trail"].step(1)
    if address is not None:
        _open(session, dict(parse_qsl(address.removeprefix("?"))))


def restarted(session: MutableMapping) -> None:
    """The server was started anew under an open page: say so."""
    session["link_messages"] = (
        *session["link_messages"],
        "The server was started anew; the page came back from its address. Undo begins here.",
    )


def take_address(session: MutableMapping, address: object) -> None:
    """The browser went back or forward: the state of that address, which is on the trail or joins it."""
    if not isinstance(address, str) or len(address) > LONGEST_ADDRESS:
        return
    _open(session, dict(parse_qsl(address.removeprefix("?"))))
    session["trail"].find(_place(session))
