"""Who does the work: this process, processes of this machine, or a cluster whose scheduler has an address.

A `Workers` makes a `concurrent.futures.Executor` and makes it anew where a worker was killed. A cluster needs the
package `distributed` (pip install distributed), which is imported only when an address is given.
Limits: the functions and tasks sent must be importable and picklable. Worked value: Workers(1) works in this process.
"""

import os
import signal
import threading
from concurrent.futures import Executor, ProcessPoolExecutor
from multiprocessing import get_context, parent_process
from multiprocessing.connection import wait
from types import TracebackType

from thermo.records.provenance import InputError

MOST_WORKERS = 1024
ONE_THREAD = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")  # processes, not threads, share the machine


class Workers:
    """So many processes of this machine, or the workers of a scheduler; a context that closes them."""

    def __init__(self, count: int = 1, scheduler: str | None = None):
        """InputError for a count below 1, or a scheduler that cannot be reached or whose package is missing."""
        if not 1 <= count <= MOST_WORKERS:
            raise InputError(f"workers {count}: allowed is 1 to {MOST_WORKERS}")
        self._scheduler = scheduler
        self._client = None if scheduler is None else _client(scheduler)
        self.count = count if self._client is None else max(len(self._client.scheduler_info()["workers"]), 1)
        self._executor: Executor | None = None

    @property
    def executor(self) -> Executor | None:
        """The executor, made when first asked for; None where this process does the work itself."""
        if self._executor is None and (self._client is not None or self.count > 1):
            self._executor = _processes(self.count) if self._client is None else self._client.get_executor(retries=3)
        return self._executor

    def renew(self) -> None:
        """Drop an executor that broke; the next one is a new one."""
        self.close_executor()

    def close_executor(self) -> None:
        """Cancel what has not begun and let the workers go."""
        if self._executor is not None:
            if self._client is None:
                self._executor.shutdown(wait=True, cancel_futures=True)
            else:
                self._executor.shutdown(wait=False)  # a cluster's executor cancels by itself
            self._executor = None

    def __enter__(self) -> "Workers":
        return self

    def __exit__(self, kind: type | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.close_executor()
        if self._client is not None:
            self._client.close()


def _processes(count: int) -> Executor:
    """A pool whose processes start afresh, each with one thread for matrix products."""
    for name in ONE_THREAD:
        os.environ.setdefault(name, "1")
    return ProcessPoolExecutor(count, mp_context=get_context("spawn"), initializer=_end_with_parent)


def _end_with_parent() -> None:
    """In a worker: end when the process that asked for it is gone; a pool's workers would wait for it for ever.

    Ctrl-C is the parent's to answer: a terminal sends it to all.
    """
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = parent_process()
    if parent is not None:
        threading.Thread(target=_end_after, args=(parent.sentinel,), daemon=True).start()


def _end_after(sentinel: int) -> None:
    wait([sentinel])
    os._exit(1)


def _client(address: str):
    try:
        from distributed import Client
    except ImportError:
        raise InputError("--scheduler: the package `distributed` is not installed (pip install distributed)") from None
    try:
        return Client(address, timeout=10, set_as_default=False)
    except (OSError, ValueError) as error:
        raise InputError(f"--scheduler {address!r}: no scheduler answers there ({error})") from None
