"""What every answer of the page's server says to the browser about safety.

Scripts, styles, pictures and connections come from this server alone, so the page stays whole without a network and
nothing that is typed can be sent elsewhere; no other page may frame it, no file is taken for another kind than it says,
and a link that is followed tells nobody what stood in the address (a melt, a metal).
Limits: Streamlit's own page needs styles written by script, loads the diagram's script from a blob of its own, and has
one script inside the page, which is allowed by its hash.
"""

import base64
import hashlib
import re
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType

import streamlit
from starlette.datastructures import MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

PAGE = Path(streamlit.__file__).parent / "static" / "index.html"


def hashes(page: str) -> str:
    """Sources of Content-Security-Policy for the scripts that stand inside a page: 'sha256-...' each."""
    inside = re.findall(r"<script(?![^>]*\bsrc=)[^>]*>(.*?)</script>", page, re.DOTALL)
    digests = [base64.b64encode(hashlib.sha256(text.encode()).digest()).decode() for text in inside]
    return " ".join(f"'sha256-{digest}'" for digest in digests)


POLICY = MappingProxyType(
    {
        "default-src": "'self'",
        "script-src": f"'self' blob: {hashes(PAGE.read_text(encoding='utf-8'))}",
        "style-src": "'self' 'unsafe-inline'",
        "img-src": "'self' data: blob:",
        "font-src": "'self' data:",
        "connect-src": "'self'",
        "object-src": "'none'",
        "base-uri": "'self'",
        "form-action": "'self'",
        "frame-ancestors": "'none'",
    }
)
HEADERS: Mapping[str, str] = MappingProxyType(
    {
        "Content-Security-Policy": "; ".join(f"{name} {value}" for name, value in POLICY.items()),
        "X-Content-Type-Options": "nosniff",
        "X-Frame-Options": "DENY",
        "Referrer-Policy": "no-referrer",
        "Cross-Origin-Opener-Policy": "same-origin",
    }
)


class SafeHeaders:
    """ASGI middleware: HEADERS on every answer over HTTP."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass everything on; an answer's start gets the headers."""

        async def answer(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers[name] = value
            await send(message)

        await self.app(scope, receive, answer if scope["type"] == "http" else send)
