"""Messages on the page, and the last resort when something in it breaks.

Text is shown as text: nothing in it is read as Markdown or fetched. A refusal of the answers (InputError, RangeError)
is one line where the answer would stand; anything else is a fault of the program: one line with what to report, the
traceback goes to the log, and the rest of the page stays.
Limits: draws. Worked value: guarded("cell", show) draws what show draws.
"""

import logging
from collections.abc import Callable
from contextlib import contextmanager

import streamlit as st

from thermo.present.page import html as markup
from thermo.present.words.written import with_signs
from thermo.records.provenance import DataError, InputError, RangeError
from thermo.records.typed import shown_word

log = logging.getLogger("meltwright")


def say(kind: str, text: str) -> None:
    """A message of kind error, warning, info or done."""
    st.html(markup.say_html(kind, with_signs(text)))


@contextmanager
def guarded(section: str, address: Callable[[], str] = lambda: ""):
    """Draw a section: what it refuses or breaks on becomes one line in it."""
    try:
        yield
    except (InputError, RangeError, DataError) as error:
        say("error", str(error))
    except Exception as error:
        log.exception("section %s", section)
        what = f"{type(error).__name__}: {shown_word(str(error), 120)}"
        say("error", f"{section}: a fault of the program, not yours. Please report: {what} {address()}")
