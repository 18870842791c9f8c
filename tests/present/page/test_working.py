"""Work beside the page: its answer and its errors come through, and who leaves it is gone at once."""

import threading
import time

import pytest

from thermo.present.page.working import HEARD_S, Left, aside


def nothing(done, of):
    pass


def test_the_answer_and_how_far_it_is_come_through():
    seen = []

    def work(step):
        for n in range(3):
            step(n, 3)
            time.sleep(2 * HEARD_S)
        return "done"

    assert aside(work, lambda done, of: seen.append((done, of))) == "done"
    assert [(n, 3) for n in range(3) if (n, 3) in seen] == [(0, 3), (1, 3), (2, 3)]
    assert sorted(set(seen) - {(0, 1)}) == [(0, 3), (1, 3), (2, 3)]


def test_an_error_of_the_work_is_raised_here():
    with pytest.raises(ZeroDivisionError):
        aside(lambda step: 1 // 0, nothing)


def test_leaving_does_not_wait_for_a_long_step():
    """The work is in a step of half a minute; the press ends the waiting, and the work ends at its next own step."""
    gate, ended = threading.Event(), threading.Event()

    def work(step):
        gate.wait(30)
        try:
            step(1, 2)
        except Left:
            ended.set()
            raise

    def pressed(done, of):
        raise KeyboardInterrupt

    start = time.monotonic()
    with pytest.raises(KeyboardInterrupt):
        aside(work, pressed)
    assert time.monotonic() - start < 10
    assert not ended.is_set()
    gate.set()
    assert ended.wait(10)
