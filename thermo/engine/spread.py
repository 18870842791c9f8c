"""Many tasks over some workers: results in the order of the tasks, memory bounded, nothing lost with a worker.

At most AHEAD tasks a worker are in flight, so memory does not grow with their number. Results come in the order of the
tasks, so what is made of them is the same for any number of workers. Where a worker was killed the tasks it held are
done again, RETRIES times; whoever stops reading (an error, Ctrl-C) cancels what has not begun.
Limits: a task that kills every worker that takes it ends in an error after RETRIES. Worked value: squares of 0 to 9 by
two workers come as 0, 1, 4 ... 81.
"""

from collections import deque
from collections.abc import Callable, Generator, Iterable
from concurrent.futures import BrokenExecutor, Executor, Future
from dataclasses import dataclass
from itertools import islice
from typing import Generic, TypeVar

from thermo.engine.workers import Workers

Task = TypeVar("Task")
Result = TypeVar("Result")
AHEAD = 4
RETRIES = 3


class WorkersLost(RuntimeError):
    """Workers died again and again: memory is short, or a task kills them."""


def spread(
    work: Callable[[Task], Result], tasks: Iterable[Task], workers: Workers | Executor | None
) -> Generator[Result, None, None]:
    """work(task) of every task, in their order. workers: None for this process, a Workers, or any executor."""
    if workers is None or (isinstance(workers, Workers) and workers.executor is None):
        yield from map(work, tasks)
        return
    waiting: deque[_Sent] = deque()
    source, lost = iter(tasks), 0

    def send(task: Task) -> Future:
        return _executor(workers).submit(work, task)

    ahead = AHEAD * (workers.count if isinstance(workers, Workers) else _count(workers))
    try:
        while True:
            waiting.extend(_Sent(task) for task in islice(source, ahead - len(waiting)))
            if not waiting:
                return
            try:
                for sent in waiting:
                    if sent.future is None:  # a pool may be found broken here already
                        sent.future = send(sent.task)
                result = waiting[0].result(send)
            except BrokenExecutor:
                lost += 1
                if lost > RETRIES or not isinstance(workers, Workers):
                    raise WorkersLost(f"workers were lost {lost} times: is memory short?") from None
                workers.renew()
                for sent in waiting:
                    sent.future = None
                continue
            waiting.popleft()
            yield result
    finally:
        for sent in waiting:
            if sent.future is not None:
                sent.future.cancel()


@dataclass
class _Sent(Generic[Task]):
    """A task and what became of it; future None: not handed out yet, or its worker was lost."""

    task: Task
    future: Future | None = None

    def result(self, send: Callable[[Task], Future]):
        """What the work gave, when it is done; sent again where it was lost on the way."""
        assert self.future is not None
        for _ in range(RETRIES):
            try:
                return self.future.result()
            except TypeError as error:
                if not _lost_on_the_way(error):
                    raise
                self.future = send(self.task)
        return self.future.result()


def _lost_on_the_way(error: TypeError) -> bool:
    """Whether a cluster's executor stumbled over a result that came in while its worker died, and not the work."""
    trace = error.__traceback__
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    return trace is not None and trace.tb_frame.f_globals.get("__name__") == "distributed.cfexecutor"


def _executor(workers: Workers | Executor) -> Executor:
    executor = workers.executor if isinstance(workers, Workers) else workers
    assert executor is not None
    return executor


def _count(executor: Executor) -> int:
    """How many workers an executor has, as far as it tells."""
    return int(getattr(executor, "_max_workers", 1))
