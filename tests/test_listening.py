"""The page listens on this machine alone, and its start asks for no name and no address outside of it."""

import json
import os
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

pytest.importorskip("streamlit")
ROOT = Path(__file__).resolve().parents[1]

# Loaded into the server's process before anything else: writes down every look-up and every connection asked for.
HOOK = """
import json, os, sys

def written(event, arguments):
    if event in ("socket.getaddrinfo", "socket.gethostbyname", "socket.connect", "socket.bind"):
        what = arguments[0] if event.startswith("socket.get") else arguments[1]
        with open(os.environ["HEARD"], "a") as heard:
            heard.write(json.dumps([event, repr(what)]) + chr(10))

sys.addaudithook(written)
"""
NO_MACHINE = ("'127.0.0.1'", "'localhost'", "None", "''")


@pytest.fixture(scope="module")
def heard(tmp_path_factory):
    """What the server asked of the network from its start to its first answer."""
    import socket

    folder = tmp_path_factory.mktemp("hook")
    (folder / "sitecustomize.py").write_text(HOOK)
    log = folder / "heard"
    log.touch()
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    own = {**os.environ, "PYTHONPATH": str(folder), "HEARD": str(log), "MELTWRIGHT_NOTEBOOK": str(folder / "n.sqlite3")}
    command = [sys.executable, "-m", "streamlit", "run", "app.py", "--server.port", str(port)]
    server = subprocess.Popen(command, cwd=ROOT, env=own, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        end = time.monotonic() + 60
        while time.monotonic() < end:
            try:
                with urllib.request.urlopen(f"http://127.0.0.1:{port}/_stcore/health", timeout=2):
                    break
            except OSError:
                time.sleep(0.2)
        else:
            pytest.fail("the page did not answer within 60 s")
        time.sleep(1.0)  # a look-up in a thread of its own may come a little later
    finally:
        server.terminate()
        server.wait(timeout=20)
    return port, [json.loads(line) for line in log.read_text().splitlines()]


def test_it_listens_on_this_machine_alone(heard):
    port, events = heard
    bound = [what for event, what in events if event == "socket.bind" and f", {port}" in what]
    assert bound
    assert all(what.startswith("('127.0.0.1',") for what in bound)


def test_its_start_asks_for_nothing_outside(heard):
    _, events = heard
    named = [what for event, what in events if event in ("socket.getaddrinfo", "socket.gethostbyname")]
    assert [what for what in named if what not in NO_MACHINE] == []
    reached = [what for event, what in events if event == "socket.connect"]
    assert [what for what in reached if not what.startswith(("('127.0.0.1'", "'/", "b'"))] == []
