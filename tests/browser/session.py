"""A running page and a real Chromium for the browser tests; skips with a reason where there is none, fails under CI."""

import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-dev-shm-usage",
    "--disable-background-networking",
    "--disable-quic",
    "--no-first-run",
    "--disable-component-update",
    "--disable-sync",
]


def absent(reason: str) -> None:
    """Skip for want of a browser, or fail where CI is set: there a missing browser is a broken machine."""
    if os.environ.get("CI"):
        pytest.fail(f"{reason}, and CI is set")
    pytest.skip(reason)


@contextmanager
def chromium() -> Iterator:
    """A Playwright browser on the machine's own Chromium."""
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        absent("the package playwright is not installed")
    path = shutil.which("chromium") or shutil.which("chromium-browser")
    if path is None:
        absent("no chromium on this machine")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=FLAGS)
        yield browser
        browser.close()


def free_port() -> int:
    """A port of this machine that nobody listens on."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return free.getsockname()[1]


@contextmanager
def served_page(notebook: Path, port: int = 0, root: Path = ROOT) -> Iterator[str]:
    """The address of app.py of `root` served as a person starts it, on a free port or this one; stopped at the end."""
    port = port or free_port()
    command = [sys.executable, "-m", "streamlit", "run", "app.py", "--server.port", str(port)]
    own = {**os.environ, "MELTWRIGHT_NOTEBOOK": str(notebook)}
    server = subprocess.Popen(command, cwd=root, env=own, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        address = f"http://127.0.0.1:{port}"
        wait_until_served(address)
        yield address
    finally:
        server.terminate()
        server.wait(timeout=20)


def wait_until_served(address: str, seconds: float = 60.0) -> None:
    """Wait until a server answers; fails where it does not."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        try:
            with urllib.request.urlopen(f"{address}/_stcore/health", timeout=2):
                return
        except OSError:
            time.sleep(0.2)
    pytest.fail(f"the page did not answer within {seconds:g} s")
