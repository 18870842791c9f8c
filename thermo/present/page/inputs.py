"""What the page's sections share: inputs whose values are kept by name, and the notes and sources under an answer.

Two sections that ask for the same thing (amperes, grams weighed) share one name, so it is typed once. `session.typed`
is the truth; a widget's own key is section_name and is written before the widget is drawn.
What is typed stays, whatever is opened, closed or drawn anew.
Limits: draws widgets; checks nothing: bad numbers are refused, in one line, by the answers.
Worked value: number("cell", "amps", "Current, A", 5.0) and number("review", "amps", ...) show one number.
"""

from collections.abc import Callable, Iterable

import streamlit as st

from thermo.present.page import html as markup
from thermo.records.provenance import InputError, cite
from thermo.records.typed import number_text, read_number

ss = st.session_state
_NEVER = object()


def _kept(widget: Callable, section: str, name: str, default, *arguments, **options):
    typed, key = ss.typed, f"{section}_{name}"
    value = typed.setdefault(name, default)
    if ss.get(key, _NEVER) != value:
        ss[key] = value

    def keep() -> None:
        typed[name] = ss[key]

    return widget(*arguments, key=key, on_change=keep, **options)


def number(section: str, name: str, label: str, default: float | None = None, **options) -> float | None:
    """A number, with decimal comma or point; None where the box is empty or what stands in it cannot be read.

    What cannot be read stays in the box with a line under it that says so.
    """
    typed, key = ss.typed, f"num_{section}_{name}"
    value = typed.setdefault(name, default)
    slips = ss.setdefault("number_slips", {})
    slip = slips.get(key)
    if slip is None or value is not None:
        text = "" if value is None else number_text(value)
        if key not in ss or not same_number(ss[key], value):
            ss[key] = text
        slips.pop(key, None)
        slip = None

    def keep() -> None:
        slips.pop(key, None)
        try:
            typed[name] = read_number(ss[key], label) if ss[key].strip() else None
        except InputError as error:
            typed[name] = None
            slips[key] = f"{error}: counted as empty"

    options = {"width": 148} | {k: v for k, v in options.items() if k in ("help", "width", "disabled", "placeholder")}
    with st.container(width=options.pop("width"), gap=None, key=f"box_{key}"):
        st.text_input(label, key=key, on_change=keep, **options)
        if slip:
            st.html(markup.slip_html(slip))
    return typed[name]


def same_number(text: str, value: float | None) -> bool:
    """Whether a box already says this number, however it is written."""
    try:
        return (None if not text.strip() else read_number(text)) == value
    except InputError:
        return False


def choice(section: str, name: str, label: str, allowed: Iterable, default, **options):
    """One of `allowed`; the default where what was chosen before is not allowed any more."""
    allowed = list(allowed)
    if ss.typed.get(name, default) not in allowed:
        ss.typed[name] = default
    return _kept(st.selectbox, section, name, default, label, allowed, **options)


def several(section: str, name: str, label: str, allowed: Iterable, default=(), **options) -> list:
    """Any of `allowed`; what was chosen and is not allowed now stays in the box, and counts again when it is."""
    allowed = list(allowed)
    chosen = ss.typed[name] = list(ss.typed.get(name, default))[: options.get("max_selections")]
    offered = [*allowed, *(entry for entry in chosen if entry not in allowed)]
    picked = _kept(st.multiselect, section, name, chosen, label, offered, **options)
    return [entry for entry in picked if entry in allowed]


def ticked(section: str, name: str, label: str, default: bool = False, **options) -> bool:
    """A switch."""
    return _kept(st.toggle, section, name, default, label, **options)


def words(section: str, name: str, label: str, default: str = "", **options) -> str:
    """A line of text."""
    return _kept(st.text_input, section, name, default, label, **options)


def wide_picture(name: str, content: bytes, width: int, alt: str) -> None:
    """A drawing with small print: on a narrow screen it keeps a width that can be read, and is pushed sideways."""
    with st.container(key=f"wide_{name}"):
        st.image(content, width=width, alt=alt)


def dark_page() -> bool:
    """Whether the page is shown dark: pictures are drawn to match."""
    return st.context.theme.type == "dark"


def background(section: str, notes: Iterable[str], sources: Iterable[str] = ()) -> None:
    """Notes and sources of an answer, shown when asked for; `sources` are keys of data/sources.csv."""
    cited_background(section, notes, cite(tuple(dict.fromkeys(sources))))


def cited_background(section: str, notes: Iterable[str], citations: Iterable[str]) -> None:
    """The same where the sources are citations already."""
    if ticked(section, f"{section}_background", "Notes and sources"):
        st.html(markup.lines_html(list(dict.fromkeys(notes)) or ["no notes"]))
        st.html(markup.lines_html(list(citations)))
