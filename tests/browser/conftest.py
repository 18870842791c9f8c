"""One server and one browser for all browser tests, and a page whose console must stay free of errors."""

import pytest

from tests.browser.session import chromium, served_page

# Streamlit asks for these below a page's address before it asks at the root; the first answers 404 by design.
PROBES = ("/_stcore/health", "/_stcore/host-config")


@pytest.fixture(scope="session")
def notebook_file(tmp_path_factory):
    return tmp_path_factory.mktemp("notebook") / "notebook.sqlite3"


@pytest.fixture(scope="session")
def address(notebook_file):
    with served_page(notebook_file) as url:
        yield url


@pytest.fixture(scope="session")
def browser():
    with chromium() as running:
        yield running


@pytest.fixture
def page(browser):
    """A fresh page; at the end there must be no error in its console, and nothing asked of another machine."""
    context = browser.new_context(viewport={"width": 1280, "height": 800})
    tab = context.new_page()
    errors, foreign = [], []
    tab.on(
        "console",
        lambda message: errors.append((message.text, message.location["url"])) if message.type == "error" else None,
    )
    tab.on("pageerror", lambda error: errors.append((str(error), "")))
    tab.on("request", lambda request: foreign.append(request.url) if _foreign(request.url) else None)
    yield tab
    context.close()
    assert [text for text, url in errors if not url.endswith(PROBES)] == []
    assert foreign == []


def _foreign(url):
    return not url.startswith(("http://127.0.0.1:", "ws://127.0.0.1:", "data:", "blob:"))
