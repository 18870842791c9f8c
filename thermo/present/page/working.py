"""Work that takes seconds: a bar that moves, and a button to leave it.

Any press on the page ends the run at the bar's next step; what was worked out until then is remembered by the answers.
Limits: draws; how far the work is must be told by the work itself. Worked value: with working("edges", "Drawing") as
step: step(3, 15) shows a bar at a fifth.
"""

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

SHOWN_AFTER_S = 0.5  # quicker than this, a bar would only flicker


@contextmanager
def working(
    key: str, words: str, cancel: Callable[..., None] | None = None, arguments: tuple = ()
) -> Iterator[Callable[[int, int], None]]:
    """Gives step(done, of) for the work to call; cancel(*arguments) is what Cancel takes back, else it only stops."""
    place = st.empty()
    began = time.monotonic()
    bars: list[DeltaGenerator] = []

    def step(done: int, of: int) -> None:
        if not bars and time.monotonic() - began > SHOWN_AFTER_S:
            with place.container(horizontal=True, vertical_alignment="center", key=f"working_{key}"):
                bars.append(st.progress(0.0, f"{words} …", width="stretch"))
                st.button("Cancel", key=f"cancel_{key}", on_click=cancel, args=arguments)
        for bar in bars:
            bar.progress(min(done / max(of, 1), 1.0), f"{words}: {done} of {of}")

    try:
        yield step
    except Exception:  # a refusal: its line takes the bar's place
        place.empty()
        raise
    place.empty()
