"""What stands below every answer in a terminal: notes, cautions and sources, folded so that no word is cut.

Sources are named by author and year; whole citations come with --json, on the page and on paper.
"""

import shutil
import textwrap
from collections.abc import Iterable, Mapping

from thermo.records.provenance import sources

CLOSING = ("notes", "cautions", "sources")
WIDTH = 110  # columns where nobody sits at a terminal


def closing_lines(found: Mapping, titles: Iterable[str] = CLOSING) -> list[str]:
    """Blank line, title and entries of every list in `found` that holds any."""
    lines: list[str] = []
    for title in titles:
        if not found[title]:
            continue
        if title == "sources":
            lines += ["", *source_lines(found[title])]
        else:
            lines += ["", f"{title}:", *[folded(f"  - {entry}", 4 * " ") for entry in found[title]]]
    return lines


def source_lines(citations: Iterable[str]) -> list[str]:
    """Citations by author and year, one paragraph, each once."""
    short = {source.cite(): source.short for source in sources().values()}
    names = list(dict.fromkeys(short.get(citation, citation) for citation in citations))
    return [f"sources ({len(names)}; whole with --json):", folded("  " + "; ".join(names), "  ")]


def folded(text: str, indent: str) -> str:
    """The text in lines as wide as the terminal, those after the first behind `indent`."""
    width = shutil.get_terminal_size(fallback=(WIDTH, 24)).columns
    return textwrap.fill(text, width, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False)
