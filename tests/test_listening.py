"""The page listens on this machine alone, its start asks for nothing outside, its answers say what a browser may do."""

import gzip
import json
import os
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

import pytest

streamlit = pytest.importorskip("streamlit")
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
FILES = Path(streamlit.__file__).parent / "static"
SCRIPT = max((FILES / "static" / "js").glob("*.js"), key=lambda file: file.stat().st_size)
PATHS = (
    f"/{SCRIPT.relative_to(FILES)}",
    "/",
    "/notebook",
    "/favicon.png",
    "/_stcore/health",
    "/_stcore/host-config",
    "/no/such/file.js",
)
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
        answers = {path: _headers(f"http://127.0.0.1:{port}{path}") for path in PATHS}
        answers["packed"] = _packed(f"http://127.0.0.1:{port}{PATHS[0]}")
        time.sleep(1.0)  # a look-up in a thread of its own may come a little later
    finally:
        server.terminate()
        server.wait(timeout=20)
    return port, [json.loads(line) for line in log.read_text().splitlines()], answers


def _headers(url):
    """The headers of an answer, of a refusal too."""
    try:
        with urllib.request.urlopen(url, timeout=5) as answer:
            return dict(answer.headers)
    except urllib.error.HTTPError as refusal:
        return dict(refusal.headers)


def _packed(url):
    """The bytes of an answer to a browser that can unpack."""
    with urllib.request.urlopen(urllib.request.Request(url, headers={"Accept-Encoding": "gzip"}), timeout=5) as answer:
        assert answer.headers["Content-Encoding"] == "gzip"
        return answer.read()


def test_it_listens_on_this_machine_alone(heard):
    port, events, _ = heard
    bound = [what for event, what in events if event == "socket.bind" and f", {port}" in what]
    assert bound
    assert all(what.startswith("('127.0.0.1',") for what in bound)


def test_its_start_asks_for_nothing_outside(heard):
    _, events, _ = heard
    named = [what for event, what in events if event in ("socket.getaddrinfo", "socket.gethostbyname")]
    assert [what for what in named if what not in NO_MACHINE] == []
    reached = [what for event, what in events if event == "socket.connect"]
    assert [what for what in reached if not what.startswith(("('127.0.0.1'", "'/", "b'"))] == []


@pytest.mark.parametrize("path", PATHS)
def test_every_answer_says_what_a_browser_may_do(heard, path):
    """As the OWASP project on secure headers recommends them; scripts from nowhere else, no frame, no address told."""
    said = {name.lower(): value for name, value in heard[2][path].items()}
    policy = dict(part.split(" ", 1) for part in said["content-security-policy"].split("; "))
    assert policy["default-src"] == policy["connect-src"] == "'self'"
    assert policy["frame-ancestors"] == policy["object-src"] == "'none'"
    allowed = policy["script-src"].split()
    assert allowed[:2] == ["'self'", "blob:"]
    assert all(source.startswith("'sha256-") for source in allowed[2:])
    assert said["x-content-type-options"] == "nosniff"
    assert said["x-frame-options"] == "DENY"
    assert said["referrer-policy"] == "no-referrer"


def test_its_scripts_come_packed_where_the_browser_can_unpack(heard):
    """RFC 9110, 12.5.3: only where it is accepted; unpacked they are the same bytes, packed at most half as many."""
    answers = heard[2]
    assert "content-encoding" not in {name.lower() for name in answers[PATHS[0]]}
    assert gzip.decompress(answers["packed"]) == SCRIPT.read_bytes()
    assert len(answers["packed"]) < SCRIPT.stat().st_size / 2
