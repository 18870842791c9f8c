"""What runs in the browser, as Streamlit components: the draggable diagram, and the address that follows the page.

The browser owns the knob while it moves; the server's echo carries the number of the move it answers (see knob.js).
Limits: nothing the browser sends is trusted; a move that fails the checks is dropped and the page stays as it was.
Worked value: read_move({"seq": 3, "changes": {"x": 52.0}}) = Move(3, {"x": 52.0}).
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

import streamlit as st

from thermo.equilibrium.system.build import MOST_SALTS

_HERE = Path(__file__).parent
_SCRIPT = "\n".join(
    (_HERE / name).read_text(encoding="utf-8")
    for name in ("svg.js", "knob.js", "chart.js", "triangle.js", "shares.js", "axis.js")
)
_mount = st.components.v2.component(
    "meltwright_diagram",
    html='<div class="meltwright"></div>',
    css=(_HERE / "knob.css").read_text(encoding="utf-8"),
    js=_SCRIPT,
)
_address = st.components.v2.component(
    "meltwright_address", html="<span></span>", js=(_HERE / "address.js").read_text(encoding="utf-8")
)


@dataclass(frozen=True)
class Move:
    """One message from the browser: its running number and the new values by name, floats but for shares and mix."""

    seq: int
    changes: Mapping[str, float | tuple[float, ...]]


def read_move(raw: object) -> Move | None:
    """A checked Move, or None for anything malformed.

    `x` is 0-100, `shares` three parts of 100, `mix` two to six parts of 100, `t_C` finite.
    """
    if not isinstance(raw, Mapping) or not isinstance(raw.get("changes"), Mapping):
        return None
    seq = raw.get("seq")
    if isinstance(seq, bool) or not isinstance(seq, int) or seq < 0:
        return None
    checks = {"x": _percent, "t_C": _finite, "shares": _shares, "mix": _mix}
    changes = {}
    for name, value in raw["changes"].items():
        checked = checks[name](value) if name in checks else None
        if checked is None:
            return None
        changes[name] = checked
    return Move(seq, changes)


def _finite(value: object) -> float | None:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    try:
        number = float(value)
    except OverflowError:  # a whole number of more digits than a float holds
        return None
    return number if math.isfinite(number) else None


def _percent(value: object) -> float | None:
    number = _finite(value)
    return number if number is not None and 0 <= number <= 100 else None


def _shares(value: object) -> tuple[float, ...] | None:
    return _mix(value) if isinstance(value, list | tuple) and len(value) == 3 else None


def _mix(value: object) -> tuple[float, ...] | None:
    if not isinstance(value, list | tuple) or not 2 <= len(value) <= MOST_SALTS:
        return None
    parts = [_percent(part) for part in value]
    whole = tuple(part for part in parts if part is not None)
    return whole if len(whole) == len(value) and abs(sum(whole) - 100) < 0.01 else None


def diagram(key: str, payload: dict, on_move: Callable[[], None]) -> None:
    """Mount one drawing. payload: {figure, values, seq, session, spoken}; on_move runs before the next run."""
    _mount(key=key, data=payload, default={"move": None}, on_move_change=on_move)


def keep_address(
    link: str, place: int, session: str, on_back: Callable[[object], None], on_restart: Callable[[], None]
) -> None:
    """Put a link into the address bar, a new entry of the history for a new place on the page's trail.

    on_back: called with the address that the browser's Back or Forward reached; on_restart: called when the page in
    the browser is older than this session, which means that the server was started anew under it.
    """

    def told(name: str) -> object:
        state = st.session_state.get("address")
        return state.get(name) if isinstance(state, Mapping) else None

    _address(
        key="address",
        data={"address": link, "place": place, "session": session},
        on_back_change=lambda: on_back(told("back")),
        on_restarted_change=on_restart,
        on_hello_change=lambda: None,
    )


def received(key: str) -> Move | None:
    """The newest move of the component mounted under `key`, for use in its callback."""
    state = st.session_state.get(key)
    return read_move(state.get("move")) if isinstance(state, Mapping) else None
