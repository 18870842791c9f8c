"""The picture of the melts found, as a Streamlit component: points that are buttons (diagram/choices.js).

Limits: nothing the browser sends is trusted; what is no number of a point is dropped.
Worked value: read_choice({"chosen": 2}, 5) is 2, read_choice({"chosen": 7}, 5) is None.
"""

from collections.abc import Callable, Mapping
from pathlib import Path

import streamlit as st

_HERE = Path(__file__).parents[1] / "diagram"
_mount = st.components.v2.component(
    "meltwright_choices",
    html='<div class="meltwright"></div>',
    css="\n".join((_HERE / name).read_text(encoding="utf-8") for name in ("knob.css", "choices.css")),
    js="\n".join((_HERE / name).read_text(encoding="utf-8") for name in ("svg.js", "choices.js")),
)


def read_choice(state: object, count: int) -> int | None:
    """The position that was chosen, of so many; None for anything malformed."""
    n = state.get("chosen") if isinstance(state, Mapping) else None
    if isinstance(n, bool) or not isinstance(n, int) or not 0 <= n < count:
        return None
    return n


def choices(key: str, figure: dict, chosen: int | None, count: int, on_choice: Callable[[int], None]) -> None:
    """Mount the picture; on_choice(position) runs before the next run, for one of `count` positions."""

    def told() -> None:
        n = read_choice(st.session_state.get(key), count)
        if n is not None:
            on_choice(n)

    _mount(key=key, data={"figure": figure, "chosen": chosen}, on_chosen_change=told)
