"""Work that takes seconds: a bar that moves, and a button to leave it.

Any press on the page ends the run at the bar's next step; what was worked out until then is remembered by the answers.
Work whose steps take seconds goes on in a thread (`aside`), so that a press is heard at once all the same.
Limits: draws; how far the work is must be told by the work itself; left work ends at its own next step. Worked value:
with working("edges", "Drawing") as step: step(3, 15) shows a bar at a fifth.
"""

import threading
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor, wait
from contextlib import contextmanager
from typing import TypeVar

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

SHOWN_AFTER_S = 0.5  # quicker than this, a bar would only flicker
HEARD_S = 0.1  # how often a press is looked for
Step = Callable[[int, int], None]
Answer = TypeVar("Answer")


@contextmanager
def working(key: str, words: str, cancel: Callable[..., None] | None = None, arguments: tuple = ()) -> Iterator[Step]:
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


class Left(Exception):
    """Raised inside work that was left."""


def aside(work: Callable[[Step], Answer], step: Step) -> Answer:
    """work(step of its own) in a thread, while `step` of the bar is called often: what it raises leaves the work."""
    told, left = [0, 1], threading.Event()

    def own(done: int, of: int) -> None:
        if left.is_set():
            raise Left
        told[:] = done, of

    pool = ThreadPoolExecutor(1)
    future = pool.submit(work, own)
    try:
        while not future.done():
            step(*told)
            wait([future], HEARD_S)
        return future.result()
    finally:
        left.set()
        pool.shutdown(wait=False)
