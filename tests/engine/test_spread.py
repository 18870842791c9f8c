"""Tasks over workers: order, bounded flight, killed workers, cancelling, a cluster of two."""

import os
import signal
import threading
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from pathlib import Path

import pytest

from thermo.engine.spread import AHEAD, WorkersLost, spread
from thermo.engine.workers import Workers
from thermo.records.provenance import InputError


def square(n: int) -> int:
    return n * n


def killed_once(task: tuple[int, str]) -> int:
    """The square; of 3, the worker kills itself the first time."""
    n, mark = task
    if n == 3 and not Path(mark).exists():
        Path(mark).write_text("seen", encoding="utf-8")
        os.kill(os.getpid(), signal.SIGKILL)
    return n * n


def always_killed(n: int) -> int:
    os.kill(os.getpid(), signal.SIGKILL)
    return n


@pytest.mark.parametrize("count", [1, 2])
def test_results_come_in_order_for_any_number_of_workers(count):
    with Workers(count) as workers:
        assert list(spread(square, range(20), workers)) == [n * n for n in range(20)]


def test_any_executor_will_do():
    with ThreadPoolExecutor(3) as pool:
        assert list(spread(square, range(9), pool)) == [n * n for n in range(9)]


def test_few_tasks_are_in_flight():
    """Tasks are taken from an endless source only as results are read: memory does not grow with their number."""
    taken, lock = [], threading.Lock()

    def endless():
        n = 0
        while True:
            with lock:
                taken.append(n)
            yield n
            n += 1

    with ThreadPoolExecutor(2) as pool:
        results = spread(square, endless(), pool)
        for wanted in range(50):
            assert next(results) == wanted**2
            assert len(taken) <= wanted + 1 + 2 * AHEAD
        results.close()


def test_a_killed_worker_loses_nothing(tmp_path):
    tasks = [(n, str(tmp_path / "mark")) for n in range(12)]
    with Workers(2) as workers:
        assert list(spread(killed_once, tasks, workers)) == [n * n for n in range(12)]
    assert (tmp_path / "mark").exists()


def test_a_pool_found_broken_when_a_task_is_handed_out():
    """The pool may notice the kill between two results: then handing out fails, and no task may be lost by it."""

    class Breaks(ThreadPoolExecutor):
        handed_out = 0

        def submit(self, *given, **more):
            Breaks.handed_out += 1
            if Breaks.handed_out in (3, 9):
                raise BrokenProcessPool("a worker was killed")
            return super().submit(*given, **more)

    with Workers(2) as workers:
        workers._executor = Breaks(2)
        workers.renew = lambda: None  # the next one handed out works again
        assert list(spread(square, range(20), workers)) == [n * n for n in range(20)]
    assert Breaks.handed_out > 20


@pytest.mark.slow
def test_a_task_that_kills_every_worker_ends_in_an_error():
    with Workers(2) as workers, pytest.raises(WorkersLost, match="memory"):
        list(spread(always_killed, range(4), workers))


def test_who_stops_reading_cancels_the_rest():
    class Slow(ThreadPoolExecutor):
        futures: list[Future] = []  # noqa: RUF012 one test

        def submit(self, *given, **more):
            future = super().submit(*given, **more)
            self.futures.append(future)
            return future

    gate = threading.Event()
    with Slow(1) as pool:
        results = spread(lambda n: gate.wait(5) if n else n, range(100), pool)
        assert next(results) == 0
        results.close()
        gate.set()
    assert len(pool.futures) <= AHEAD
    assert any(future.cancelled() for future in pool.futures)


def test_an_error_of_the_work_is_passed_on():
    with pytest.raises(ZeroDivisionError):
        list(spread(lambda n: 1 / n, [1, 0], None))


@pytest.mark.parametrize("count", [0, -1, 5000])
def test_senseless_numbers_of_workers_are_refused(count):
    with pytest.raises(InputError, match="1 to 1024"):
        Workers(count)


@pytest.mark.slow
def test_a_scheduler_that_is_not_there_is_named():
    pytest.importorskip("distributed")
    with pytest.raises(InputError, match=r"127\.0\.0\.1:1"):
        Workers(scheduler="tcp://127.0.0.1:1")


@pytest.mark.slow
@pytest.mark.filterwarnings("ignore")
def test_a_cluster_of_two_and_one_of_its_workers_killed(tmp_path):
    distributed = pytest.importorskip("distributed")
    tasks = [(n, str(tmp_path / "mark")) for n in range(12)]
    with (
        distributed.LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster,
        Workers(scheduler=cluster.scheduler_address) as workers,
    ):
        assert workers.count == 2
        assert list(spread(square, range(10), workers)) == [n * n for n in range(10)]
        assert list(spread(killed_once, tasks, workers)) == [n * n for n in range(12)]


class Stumbling(Executor):
    """Its first results are lost as a cluster's executor loses one whose worker dies: by a TypeError of its own."""

    def __init__(self, module, times):
        self.space, self.left = {"__name__": module}, times
        exec("def stumble():\n    typ, exc, tb = 7\n", self.space)

    def submit(self, work, /, *arguments):
        future = Future()
        try:
            self.left -= 1
            future.set_result(self.space["stumble"]() if self.left >= 0 else work(*arguments))
        except TypeError as error:
            future.set_exception(error)
        return future


def test_a_result_lost_on_the_way_is_asked_for_again_and_an_error_of_the_work_is_not():
    assert list(spread(abs, range(5), Stumbling("distributed.cfexecutor", 2))) == [0, 1, 2, 3, 4]
    with pytest.raises(TypeError):
        list(spread(abs, range(5), Stumbling("distributed.cfexecutor", 9)))
    with pytest.raises(TypeError):
        list(spread(abs, range(5), Stumbling("thermo.answers.finder.sweep", 1)))
