"""How many people at once? Sessions over the real socket, beside an empty page of the same version in the same run.

    python -m tests.benchmarks.load                         1, 5, 10, 20 and 40 sessions, UPDATES each
    python -m tests.benchmarks.load --sessions 5 --seconds 300            five minutes; 3600 for an hour; --keep

Both servers are started as a person starts them, with the same settings, on this machine alone. A session opens both
pages, then asks for an update every EVERY_S on average (another temperature is typed) and waits for the run to end, on
both in turns. Printed for each count: median and 95th percentile of an update on both, their ratio, updates that failed
or took longer than WAIT_S, memory of the server a session. Wanted: 40 sessions, median at most RATIO times the empty
page's, none lost. With --seconds the server's memory is looked at all along, and between the second and the last third
of the time it may not grow by more than GROWTH_MB: a read-out of 0.1 MB kept at each update of five sessions would be
25 MB in a third of five minutes.
Limits: the melt stays while its temperature changes. What the browser draws is not in it (tests/benchmarks/page.py).
All of it shares one machine.
"""

import argparse
import asyncio
import random
import statistics
import sys
import time
from collections.abc import Iterator
from contextlib import AsyncExitStack, ExitStack, contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory

import psutil
from streamlit.proto.BackMsg_pb2 import BackMsg
from streamlit.proto.ForwardMsg_pb2 import ForwardMsg
from websockets.asyncio.client import connect
from websockets.exceptions import WebSocketException

from tests.benchmarks.measured import keep
from tests.benchmarks.page import empty_page
from tests.browser.session import ROOT, served_page

COUNTS, UPDATES, EVERY_S, WAIT_S, RATIO, MOST = (1, 5, 10, 20, 40), 8, 2.0, 60.0, 3.0, 40
GROWTH_MB, LOOKS = 10.0, 30
MELTS = ("NaCl:48,CaCl2:52", "NaCl:60,CaCl2:18,MgCl2:22", "LiF:46,NaF:12,KF:42", "KCl:42,LiCl:58")

SHOWN = ("{}\u00a0°C", "{} °C", "id=said>{}")  # how a temperature typed comes back in an answer


@dataclass
class Seen:
    """Seconds of the updates of all sessions, and what failed."""

    seconds: list[float] = field(default_factory=list)
    failed: list[str] = field(default_factory=list)

    @contextmanager
    def failing(self) -> Iterator[None]:
        """Write down what fails, and go on."""
        try:
            yield
        except (OSError, TimeoutError, EOFError, WebSocketException) as error:
            self.failed.append(f"{type(error).__name__} {error}"[:100])

    def words(self) -> str:
        """Median and 95th percentile in ms."""
        if not self.seconds:
            return "nothing"
        return f"{1000 * statistics.median(self.seconds):.0f} ms, 95 % within {1000 * late(self.seconds):.0f} ms"


def late(seconds: list[float]) -> float:
    """95th percentile."""
    return sorted(seconds)[min(int(0.95 * len(seconds)), len(seconds) - 1)]


async def _run(socket, query: str, typed: tuple[str, str] | None = None) -> tuple[str, bytes]:
    """One run of the script, with (widget, text) typed where given: id of the page's box, and all that came back.

    OSError where the run ended in an error. The box is the temperature's, or the only one of the empty page.
    """
    message, box, came = BackMsg(), "", b""
    message.rerun_script.query_string = query
    if typed:
        message.rerun_script.widget_states.widgets.add(id=typed[0], string_value=typed[1])
    await socket.send(message.SerializeToString())
    async with asyncio.timeout(WAIT_S):
        while True:
            raw = await socket.recv()
            found = ForwardMsg.FromString(raw)
            came += raw
            if found.WhichOneof("type") == "script_finished":
                if found.script_finished == ForwardMsg.FINISHED_WITH_COMPILE_ERROR:
                    raise OSError("the script did not compile")
                return box, came
            element = found.delta.new_element
            if element.WhichOneof("type") == "exception":
                raise OSError(element.exception.message[:80])
            if element.WhichOneof("type") == "text_input" and (not box or element.text_input.id.endswith("-t_C")):
                box = element.text_input.id


async def session(full: str, empty: str, number: int, updates: int, seen: tuple[Seen, Seen]) -> None:
    """One person with both pages open: types another temperature on one and then on the other, again and again."""
    draw = random.Random(number)
    query = f"v=1&m={MELTS[number % len(MELTS)]}&metal=Mg&T=700"
    async with AsyncExitStack() as open_now:
        pages = []
        await asyncio.sleep(draw.uniform(0, EVERY_S))
        for address, own in zip((full, empty), seen, strict=True):
            with own.failing():
                at = address.replace("http", "ws") + "/_stcore/stream"
                socket = await open_now.enter_async_context(connect(at, subprotocols=["streamlit"], max_size=None))
                pages.append((socket, (await _run(socket, query))[0], own))
        for _ in range(updates):
            await asyncio.sleep(draw.uniform(0.5, 1.5) * EVERY_S)
            for socket, box, own in pages:
                with own.failing():
                    own.seconds.append(await _update(socket, query, box, str(draw.randint(601, 999))))


async def _update(socket, query: str, box: str, t_C: str) -> float:
    """Seconds from a temperature typed to the end of the run; OSError where no answer shows it."""
    start = time.perf_counter()
    _, came = await _run(socket, query, (box, t_C))
    took = time.perf_counter() - start
    if not any(words.format(t_C).encode() in came for words in SHOWN):
        raise OSError(f"{t_C} was typed, and no answer shows it")
    return took


async def watched(address: str, seconds: float, seen: list[float]) -> None:
    """Write down the memory of a server LOOKS times while a load goes on."""
    for _ in range(LOOKS):
        await asyncio.sleep(seconds / LOOKS)
        seen.append(memory_MB(address))


async def lasting(full: str, empty: str, count: int, seconds: float) -> tuple[tuple[Seen, Seen], float]:
    """`both` for so long, and by how many MB the page's server grew from the second to the last third of it."""
    memory: list[float] = []
    watch = asyncio.create_task(watched(full, seconds, memory))
    seen = await both(full, empty, count, max(int(seconds / EVERY_S), 1))
    await watch
    third = len(memory) // 3
    return seen, statistics.median(memory[-third:]) - statistics.median(memory[third : 2 * third])


async def both(full: str, empty: str, count: int, updates: int) -> tuple[Seen, Seen]:
    """So many sessions, each with the page and the empty one: in turns, so that the machine's load cancels."""
    seen = Seen(), Seen()
    await asyncio.gather(*(session(full, empty, n, updates, seen) for n in range(count)))
    return seen


def memory_MB(address: str) -> float:
    """Resident memory of the process that listens at an address."""
    port = int(address.rpartition(":")[2])
    children = psutil.Process().children(recursive=True)
    (server,) = [one for one in children if port in [c.laddr.port for c in one.net_connections() if c.laddr]]
    return server.memory_info().rss / 1e6


def measure(counts: list[int], seconds: float | None) -> tuple[dict[str, str], bool]:
    """Figures by name, and whether the demands are met."""
    figures, met = {}, True
    with ExitStack() as open_now:
        place = Path(open_now.enter_context(TemporaryDirectory()))
        full = open_now.enter_context(served_page(place / "notebook.sqlite3"))
        empty = open_now.enter_context(empty_page(ROOT / ".streamlit"))
        asyncio.run(both(full, empty, len(MELTS), 1))  # everything loaded once
        for count in counts:
            updates = UPDATES if seconds is None else max(int(seconds / EVERY_S), 1)
            before = memory_MB(full)
            grown = None
            if seconds is None:
                own, bare = asyncio.run(both(full, empty, count, updates))
            else:
                (own, bare), grown = asyncio.run(lasting(full, empty, count, seconds))
            ratio = statistics.median(own.seconds) / statistics.median(bare.seconds) if own.seconds else float("inf")
            lost = len(own.failed)
            met &= ratio <= RATIO and not lost and (grown is None or grown <= GROWTH_MB)
            said = f"{own.words()}; empty page {bare.words()}; {ratio:.1f} times; "
            said += f"{lost} of {count * (updates + 1)} updates failed; "
            said += f"{(memory_MB(full) - before) / count:.1f} MB more a session, {memory_MB(full):.0f} MB in all"
            said += "" if grown is None else f"; {grown:+.1f} MB from the second to the last third of {seconds:.0f} s"
            figures[f"{count} sessions, {updates} updates each"] = said
            print(f"{count} sessions: {said}", *own.failed[:5], sep="\n    ", flush=True)
    return figures, met


if __name__ == "__main__":
    parser = argparse.ArgumentParser()
    parser.add_argument(
        "--sessions", type=int, nargs="+", default=list(COUNTS), choices=range(1, MOST + 1), metavar="N"
    )
    parser.add_argument("--seconds", type=float)
    parser.add_argument("--keep", action="store_true")
    asked = parser.parse_args()
    found, good = measure(asked.sessions, asked.seconds)
    if asked.keep:
        long = "" if asked.seconds is None else f" --sessions {asked.sessions[0]} --seconds {asked.seconds:g}"
        keep("load for long" if long else "load", f"python -m tests.benchmarks.load{long} --keep", found)
    sys.exit(0 if good else 1)
