"""The page's own HTML: answers, cards, tables, lists, messages. Records and text in, HTML out, by Jinja2 templates.

Templates escape everything, so a word from a link, a file or the notebook is text and nothing else. Limits:
presentation only. Worked value: say_html("info", "a < b") holds "a &lt; b".
"""

import base64
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from thermo.present.words.card import Card
from thermo.present.words.written import plain, pretty
from thermo.records.composition import Composition
from thermo.records.remembered import remembered

_HERE = Path(__file__).parent
LONG, LONGEST = 34, 110  # characters from which a cell is broken into lines, and kept wide enough to be read
NARROW_PX = 350  # of a drawing on a telephone
TALL = 25  # rows from which a table scrolls inside itself


@remembered
def _parts():
    """The macros of templates/parts.html."""
    environment = Environment(
        loader=FileSystemLoader(_HERE / "templates"), autoescape=True, undefined=StrictUndefined, trim_blocks=True
    )
    return environment.get_template("parts.html").module


@remembered
def style() -> str:
    """The page's style sheet as one element."""
    return f"<style>{(_HERE / 'page.css').read_text(encoding='utf-8')}</style>"


def answers_html(entries: Sequence, sentence: str, melt: str = "") -> str:
    """The four answers, each in its box, and the one sentence that a screen reader hears when they change.

    melt: the melt in a line, for pages that do not show its amounts.
    """
    return str(_parts().answers(entries, sentence, melt))


def cards_html(cards: Iterable[Card]) -> str:
    """Read-outs as a grid of cards; an alarm has its sign, its frame and its reason in words."""
    shown = [Card(c.title, c.answer, tuple(plain(d) for d in c.details if d), c.status, c.alarm) for c in cards]
    return str(_parts().cards(shown))


def composition_html(melt: Composition) -> str:
    """Mole and mass percent side by side."""
    mass = melt.mass_percent
    rows = [(pretty(name), f"{share:.1f}", f"{mass[name]:.1f}") for name, share in melt.mole_percent.items()]
    return str(_parts().composition(rows))


def say_html(kind: str, text: str) -> str:
    """A message: kind is error, warning, info or done."""
    return str(_parts().say(kind, text))


def slip_html(text: str) -> str:
    """What is wrong with what stands in a box, for the line under it."""
    return str(_parts().slip(text))


def head_html(text: str) -> str:
    """A small heading inside a section."""
    return str(_parts().head(text))


def hint_html(*lines: str) -> str:
    """Small print that keeps enough contrast to be read, one line each."""
    return str(_parts().hint(lines))


def lines_html(lines: Iterable[str], marked: bool = False) -> str:
    """A plain list; marked: every line begins with a sign of its own and hangs beside it."""
    return str(_parts().lines([plain(line) for line in lines], "mw-lines mw-marked" if marked else "mw-lines"))


def code_html(text: str) -> str:
    """Text to be copied, as it is."""
    return str(_parts().code(text))


def table_html(
    caption: str,
    header: Sequence[str],
    rows: Iterable[Sequence[str]],
    strong: Iterable[int] = (),
    downwards: bool = False,
) -> str:
    """A table with a caption; rows numbered in `strong` (from 0) are set in heavy type.

    It scrolls inside itself, and can be reached with the keyboard for that. On a narrow screen a table with sentences
    in it, or any with downwards, becomes one block a row, each cell under its column's name.
    """
    body = [list(row) for row in rows]
    wordy = downwards or any(len(cell) > LONG for row in body for cell in row)
    cells = [[(plain(cell), _width(cell), head) for cell, head in zip(row, header, strict=True)] for row in body]
    return str(_parts().table(caption, header, cells, set(strong), wordy, len(body) > TALL))


def _width(cell: str) -> str:
    return "longest" if len(cell) > LONGEST else "long" if len(cell) > LONG else ""


def ranks_html(entries: Iterable[tuple[str, Sequence[str]]]) -> str:
    """A numbered list: each entry a head and lines under it."""
    return str(_parts().ranks([(plain(head), [plain(line) for line in lines]) for head, lines in entries]))


def shares_html(percents: dict[str, float], unit: str = "mol%") -> str:
    """Shares as bars, the largest first, each with its number."""
    rows = [
        (pretty(name), f"{value:.1f}", f"{min(max(value, 0.0), 100.0):.2f}")
        for name, value in sorted(percents.items(), key=lambda entry: -entry[1])
    ]
    return str(_parts().shares(rows, unit))


def caution_html(words: str, lines: Sequence[str]) -> str:
    """All dangers by name in one line, what to do about each on a tap."""
    return str(_parts().caution(plain(words), [plain(line) for line in lines]))


def pictures_html(entries: Iterable[tuple[str, str]]) -> str:
    """Small drawings side by side, as many in a row as there is room for: (SVG, words) each."""
    return str(_parts().pictures([picture_html(svg, alt) for svg, alt in entries]))


_INK = "<style>svg{color:#1d1f24;font-family:sans-serif}@media(prefers-color-scheme:dark){svg{color:#f2f2f2}}</style>"


def picture_html(svg: str, alt: str, look: str = "", narrow: str = "") -> str:
    """A drawing of this package (one SVG element) as an image, with words for who cannot see it; light or dark ink.

    narrow: the same drawn for a narrow screen, where the wide one's words would be too small to read.
    """
    return str(_parts().picture(_as_data(svg), alt, look, _as_data(narrow) if narrow else ""))


def sized_html(draw: Callable[..., str], alt: str) -> str:
    """A drawing that takes its width: as wide as it is usually, and once more for a narrow screen."""
    return picture_html(draw(), alt, narrow=draw(width=NARROW_PX))


def _as_data(svg: str) -> str:
    start, _, rest = svg.partition(">")
    if "xmlns=" not in start:
        start += ' xmlns="http://www.w3.org/2000/svg"'
    return base64.b64encode(f"{start}>{_INK}{rest}".encode()).decode()
