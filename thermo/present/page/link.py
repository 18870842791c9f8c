"""What is typed in the page's sections, as fields of the share link.

Fields, all optional: a number under its own name (amps, hours, bath_g, ...), bottles=CaCl2:CaCl2.2H2O,
assays=CaCl2:0.77, arrests=620,498 (deg C), bath_by=ratio, lists (saw=black-sponge,foam; at_hand; hydrates; corners of
the triangle), title=text. Empty boxes are not written.
Limits: a field that cannot be read is left out and named in a message; nothing raises; whether a number makes sense is
for the answer that uses it. Worked value: {"amps": 5.0} is written as amps=5 and read back as itself.
"""

from collections.abc import Callable, Collection, Mapping
from typing import Any

from thermo.answers.cooling.curve import MOST as MOST_ARRESTS
from thermo.records.hydrates import hydrates_of
from thermo.records.provenance import suggest
from thermo.records.seen_in_a_run import observations
from thermo.records.substances import salts
from thermo.records.typed import LARGEST

BATH_BOXES = (
    "bath_excess",
    "bath_ratio",
    "bath_al2o3",
    "bath_CaF2",
    "bath_LiF",
    "bath_MgF2",
    "bath_KF",
    "bath_superheat_K",
)
BATH_NAMINGS = {"excess": "excess AlF₃", "ratio": "cryolite ratio"}
NUMBERS = (
    "amps",
    "hours",
    "bath_g",
    "volts",
    "efficiency",
    "weighed_g",
    "cathode_cm2",
    "anode_cm2",
    "gap_cm",
    "surface_cm2",
    "total_g",
    "below_C",
    "reading_sigma_K",
    "off_percent",
    "want_g",
    "pot_mL",
    "supply_V",
    "supply_A",
    "furnace_W",
    *BATH_BOXES,
)
ARRESTS = tuple(f"arrest_{n}_C" for n in range(1, MOST_ARRESTS + 1))
LISTS: dict[str, Callable[[], Collection[str]]] = {
    "saw": observations,
    "at_hand": salts,
    "corners": salts,
    "hydrates": lambda: [formula for formula in salts() if hydrates_of(formula)],
}
MOST_WORDS = 40  # of one field that are looked at
LONGEST_TITLE = 80


def write_typed(typed: Mapping[str, Any]) -> dict[str, str]:
    """Fields for what is typed; what is empty or no part of a link is left out."""
    fields = {name: f"{typed[name]:.10g}" for name in NUMBERS if typed.get(name) is not None}
    for field, prefix in (("bottles", "bottle_"), ("assays", "assay_")):
        own = {name.removeprefix(prefix): value for name, value in typed.items() if name.startswith(prefix)}
        pairs = [f"{name}:{_written(value)}" for name, value in own.items() if value not in (None, 1.0, name)]
        if pairs:
            fields[field] = ",".join(pairs)
    arrests = [f"{typed[name]:.10g}" for name in ARRESTS if typed.get(name) is not None]
    if arrests:
        fields["arrests"] = ",".join(arrests)
    fields |= {name: ",".join(typed[name]) for name in LISTS if typed.get(name)}
    if typed.get("bath_by") not in (None, "excess"):
        fields["bath_by"] = typed["bath_by"]
    if typed.get("sheet_title"):
        fields["title"] = typed["sheet_title"]
    return fields


def _written(value: object) -> str:
    return f"{value:.10g}" if isinstance(value, float) else str(value)


def read_typed(fields: Mapping[str, str]) -> tuple[dict[str, Any], tuple[str, ...]]:
    """What was typed, and a message for every field that cannot be read."""
    typed: dict[str, Any] = {}
    messages: list[str] = []
    for name in NUMBERS:
        if name in fields:
            value = _number(fields[name])
            if value is None:
                messages.append(f"link, {name}: {fields[name][:40]!r} is not a number up to {LARGEST:g}")
            else:
                typed[name] = value
    messages += _read_arrests(_words(fields.get("arrests", "")), typed)
    messages += _read_naming(fields.get("bath_by"), typed)
    readers: dict[str, Callable[[str, str], tuple[str, str | float] | None]] = {"bottles": _bottle, "assays": _assay}
    for name, read in readers.items():
        for word in _words(fields.get(name, "")):
            found = read(*word.partition(":")[::2])
            if found is None:
                messages.append(f"link, {name}: {word[:40]!r} is not known")
            else:
                typed[found[0]] = found[1]
    for name, allowed in LISTS.items():
        for word in dict.fromkeys(_words(fields.get(name, ""))):
            if word in allowed():
                typed.setdefault(name, []).append(word)
            else:
                messages.append(f"link, {name}: {word[:40]!r} is not known{suggest(word[:40], allowed())}")
    if fields.get("title"):
        typed["sheet_title"] = fields["title"][:LONGEST_TITLE]
    return typed, tuple(messages)


def _read_arrests(words: list[str], typed: dict[str, Any]) -> list[str]:
    """Put the arrests into their boxes, in order; a message for what is none or has no box."""
    messages = []
    for word in words:
        value, box = _number(word), next((name for name in ARRESTS if name not in typed), None)
        if value is None:
            messages.append(f"link, arrests: {word[:40]!r} is not a number up to {LARGEST:g}")
        elif box is None:
            messages.append(f"link, arrests: {word[:40]!r} is left out; allowed are up to {MOST_ARRESTS}")
        else:
            typed[box] = value
    return messages


def _read_naming(word: str | None, typed: dict[str, Any]) -> list[str]:
    """How an aluminium bath is named; a message where that is not known."""
    if word is not None and word not in BATH_NAMINGS:
        return [f"link, bath_by: {word[:40]!r}; allowed are {' and '.join(BATH_NAMINGS)}"]
    if word is not None:
        typed["bath_by"] = word
    return []


def _words(text: str) -> list[str]:
    return [word for word in text.split(",")[:MOST_WORDS] if word]


def _number(text: str) -> float | None:
    try:
        value = float(text)
    except ValueError:
        return None
    return value if abs(value) <= LARGEST else None


def _bottle(formula: str, label: str) -> tuple[str, str] | None:
    if label in [hydrate.label for hydrate in hydrates_of(formula)]:
        return f"bottle_{formula}", label
    return None


def _assay(formula: str, text: str) -> tuple[str, float] | None:
    value = _number(text)
    return (f"assay_{formula}", value) if formula in salts() and value is not None else None
