"""A worker killed in the middle of a search on the command line: the answer is the one of an undisturbed search."""

import json
import signal
import subprocess
import sys
import time
from pathlib import Path

import psutil
import pytest

ROOT = Path(__file__).resolve().parents[3]
SEARCH = ["find", "--metal", "Mg", "--salts", "MgCl2,NaCl,KCl,CaCl2", "--max-salts", "3", "--json"]


def started(*more: str) -> subprocess.Popen:
    command = [sys.executable, "-m", "thermo", *SEARCH, *more]
    return subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def workers_of(process: subprocess.Popen) -> list[psutil.Process]:
    """Its workers once they have begun to work; not the helper that Python starts beside them."""
    try:
        children = psutil.Process(process.pid).children()
        workers = [child for child in children if "spawn_main" in " ".join(child.cmdline())]
        return [worker for worker in workers if worker.cpu_times().user > 0.3]
    except psutil.Error:
        return []


@pytest.mark.slow
def test_a_killed_worker_changes_nothing_in_the_answer():
    alone = started("--workers", "1")
    wanted, _ = alone.communicate(timeout=280)
    disturbed = started("--workers", "2")
    killed = 0
    while disturbed.poll() is None and not killed:
        for worker in workers_of(disturbed)[:1]:
            worker.send_signal(signal.SIGKILL)
            killed += 1
        time.sleep(0.02)
    found, said = disturbed.communicate(timeout=280)
    assert killed == 1
    assert (disturbed.returncode, "Traceback" in said) == (0, False)
    assert json.loads(found) == json.loads(wanted)
