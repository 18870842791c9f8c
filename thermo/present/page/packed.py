"""Scripts and styles of the page's server go packed over the wire: a first visit weighs half of what it would.

Streamlit packs what it computes and leaves its own files as they are, which suits a browser on the same machine; over a
workshop's wireless they are most of the wait. Fonts are packed already and pass (Starlette knows them by their type).
Limits: files below /static/ alone, for browsers that say they can unpack. Worked value: the largest script of Streamlit
1.67 goes from 861 to 101 kB.
"""

from starlette.middleware.gzip import GZipMiddleware
from starlette.types import ASGIApp, Receive, Scope, Send

FILES = "/static/"
LEVEL = 6  # 9 takes twice as long for one per cent less


class PackedFiles:
    """ASGI middleware: gzip for the server's own files, everything else as it is."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app
        self.packing = GZipMiddleware(app, minimum_size=1000, compresslevel=LEVEL)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """A file's answer is packed, any other passes."""
        own = scope["type"] == "http" and FILES in scope["path"]
        await (self.packing if own else self.app)(scope, receive, send)
