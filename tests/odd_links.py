"""What is wrong with how a page takes a link: the whole page that it opens, and what it says was typed."""

from urllib.parse import parse_qs

import pytest
from hypothesis import strategies as st

from tests.odd_inputs import NO_NUMBER, links, melts
from thermo.present.page.cards import cards
from thermo.present.page.link import NUMBERS, read_typed, write_typed
from thermo.present.page.readouts import read_out
from thermo.present.page.sources import cautions_of, notes_of, sources_of, table_rows
from thermo.present.page.state import LINK_VERSION, read_link, write_link

PAGE_LINKS = st.tuples(melts(), links(["T", "superheat", "v"]))
LINK_FIELDS = links(list(NUMBERS))


def page_fault(case: tuple[list[str], dict[str, str]]) -> list[str]:
    """Every part answers in one line and without a number that is none; the page's own link opens the same page."""
    words, fields = case
    melt = ",".join(word.replace("=", ":") for word in words)
    state, messages, recipe = read_link({"v": LINK_VERSION, "m": melt} | fields)
    out = read_out(state)
    texts = [*out.messages.values(), *notes_of(out), *sources_of(out), *cautions_of(out)]
    texts += [text for card in cards(out) for text in (card.title, card.answer, *card.details)]
    wrong = [text for text in texts if "\n" in text or NO_NUMBER.search(text)]
    wrong += [text for text in messages if "\n" in text]
    wrong += [str(row) for row in table_rows(out) if float(row["value"]) != float(row["value"])]
    written = write_link(state, {}, recipe)  # ten digits of each number
    again = {name: values[0] for name, values in parse_qs(written[1:], keep_blank_values=True).items()}
    return wrong if write_link(read_link(again)[0], {}, recipe) == written else [*wrong, f"opens another: {written}"]


def fields_fault(fields: dict[str, str]) -> list[str]:
    """What was typed is read or named; numbers are written to ten digits, an assay of 1 (all of it) is not."""
    typed, messages = read_typed(fields)
    wrong = [message for message in messages if "\n" in message]
    again, more = read_typed(write_typed(typed))
    wrong += more
    for name, value in typed.items():
        same = pytest.approx(value, rel=1e-9) if isinstance(value, float) else value
        if again.get(name, 1.0) != same:
            wrong.append(f"{name} {value!r} came back as {again.get(name)!r}")
    return wrong
