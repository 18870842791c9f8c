"""Answers as text for people reading a terminal. Takes the dictionaries of `answers_json`, so both say the same."""

import io
import shutil
import sys

from thermo.present.command_line.closing import closing_lines, folded, source_lines
from thermo.present.words.dissolved import dissolved_words


def table(rows: list[list[str]]) -> str:
    """Columns under the names of the first row: padded with blanks, or drawn where a person sits at a terminal."""
    if sys.stdout.isatty():
        return _drawn(rows)
    widths = [max(len(row[c]) for row in rows) for c in range(len(rows[0]))]
    return "\n".join(
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in rows
    )


def _drawn(rows: list[list[str]]) -> str:
    """The table as rich draws it, as wide as the terminal; NO_COLOR and a terminal without colours are honoured."""
    from rich import box
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    drawn = Table(box=box.SIMPLE_HEAD, pad_edge=False, header_style="bold")
    for name in rows[0]:
        drawn.add_column(Text(name), overflow="fold")
    for row in rows[1:]:
        drawn.add_row(*map(Text, row))  # text as it is: [brackets] are no markup
    text = io.StringIO()
    Console(file=text, force_terminal=True, width=shutil.get_terminal_size().columns).print(drawn)
    return "\n".join(line.rstrip() for line in text.getvalue().strip("\n").splitlines())


def _number(value: float | None, form: str) -> str:
    return "unknown" if value is None else format(value, form)


def salts_text(found: dict) -> str:
    """Lists of salts, metals and how each pair is known."""
    rows = [["salt", "melts deg C", "boils deg C", "density measured deg C"]]
    for s in found["salts"]:
        span = " to ".join(_number(v, ".0f") for v in s["density_span_C"])
        rows.append([s["formula"], _number(s["melting_point_C"], ".0f"), _number(s["boiling_point_C"], ".0f"), span])
    metals = [["metal", "melts deg C", "boils deg C"]]
    for m in found["metals"]:
        metals.append([m["symbol"], _number(m["melting_point_C"], ".0f"), _number(m["boiling_point_C"], ".0f")])
    fitted = ["-".join(p["salts"]) for p in found["pairs"] if p["status"] == "fitted"]
    estimated = len(found["pairs"]) - len(fitted)
    return "\n\n".join(
        [
            table(rows),
            table(metals),
            f"pairs fitted to published points ({len(fitted)}): {', '.join(fitted)}\n"
            f"other pairs, by the size rule only: {estimated}",
        ]
    )


def percent_table(found: dict) -> str:
    """Mole and mass percent side by side."""
    rows = [["salt", "mol%", "mass%"]]
    for f, mole in found["mole_percent"].items():
        rows.append([f, f"{mole:.2f}", f"{found['mass_percent'][f]:.2f}"])
    return table(rows)


def _liquidus_line(liquidus: dict) -> str:
    if liquidus["T_C"] is None:
        return f"starts to freeze  unknown, see the notes ({liquidus['status']})"
    return (
        f"starts to freeze  {liquidus['T_C']:.0f} +- {liquidus['sigma_K']:.0f} deg C, first solid "
        f"{liquidus['first_solid']} ({liquidus['status']})"
    )


def _reading_lines(found: dict) -> list[str]:
    """The computed value where a measured one leads, and the coldest melt near."""
    own, near, lines = found["liquidus"], found["coldest_near"], []
    if own["rests_on"] != "computed":
        computed = (
            "unknown" if own["computed_C"] is None else f"{own['computed_C']:.0f} +- {own['computed_sigma_K']:.0f}"
        )
        share = "measured melts lead" if own["rests_on"] == "measured" else "measured and computed weigh in"
        lines.append(f"{'':18s}{share}; computed {computed} deg C")
    if near is not None:
        mix = ", ".join(f"{f} {share:.1f}" for f, share in near["mole_percent"].items())
        which = "near     " if own["rests_on"] == "computed" else "computed "
        lines.append(f"coldest {which} {near['T_C']:.0f} +- {near['sigma_K']:.0f} deg C within 3 mol%: {mix}")
    return lines


def melt_text(found: dict) -> str:
    """One melt, top line first."""
    lines = [
        *([f"{found['above_all'][0].upper()}{found['above_all'][1:]}."] if found["above_all"] else []),
        percent_table(found["composition"]),
        "",
        _liquidus_line(found["liquidus"]),
        *_reading_lines(found),
        _solidus_line(found["solidus"]),
        *_published_lines(found["published"]),
        *_dissolved_lines(found.get("dissolves", [])),
        _density_line(found["density"]),
    ]
    if "metal" in found:
        lines += _metal_lines(found)
        lines += [f"deposits          {_order_words(found)}"] if found["deposits"] else []
    lines += _window_lines(found["window"])
    lines += closing_lines(found)
    return "\n".join(lines)


def _solidus_line(solidus: dict) -> str:
    if solidus["T_C"] is None:
        return "all solid below   unknown, see the notes"
    return f"all solid below   {solidus['T_C']:.0f} +- {solidus['sigma_K']:.0f} deg C: {' + '.join(solidus['solids'])}"


def _dissolved_lines(rows: list[dict]) -> list[str]:
    """How much of each fluoride stays dissolved at the temperature asked for."""
    lines: list[str] = []
    for row in rows:
        lines.append(f"{'' if lines else 'dissolves':18s}{dissolved_words(row)}")
    return lines


def _density_line(density: dict) -> str:
    if density["melt_g_cm3"] is None:
        return f"melt density      unknown at {density['T_C']:.0f} deg C, see the notes"
    band = f"{density['melt_g_cm3']:.3f} +- {density['sigma_g_cm3']:.3f} g/cm3"
    return f"melt density      {band} at {density['T_C']:.0f} deg C"


def _published_lines(published: list[dict]) -> list[str]:
    """What was measured on melts like this one, the nearest first."""
    lines: list[str] = []
    for row in published:
        doubt = "" if row["sure"] else "unsure, "
        lines.append(
            f"{'' if lines else 'published':18s}{row['T_C']:g} +- {row['sigma_K']:g} deg C ({doubt}{row['kind']}, "
            f"{row['away_mole_percent']:.1f} mol% away; {row['source']})"
        )
    return lines


def _metal_lines(found: dict) -> list[str]:
    metal, verdict = found["metal"], found["float_or_sink"]
    lines = [f"metal             {metal['symbol']} {metal['state']}"]
    if metal["density_g_cm3"] is not None:
        lines[0] += f", {metal['density_g_cm3']:.3f} +- {metal['sigma_g_cm3']:.3f} g/cm3"
    if verdict["verdict"] is not None:
        lines.append(
            f"float or sink     {verdict['verdict']} (melt minus metal {verdict['difference_g_cm3']:+.3f} +- "
            f"{verdict['sigma_g_cm3']:.3f} g/cm3, chance to float {100 * verdict['p_float']:.0f} %)"
        )
    for c in verdict["crossings_C"]:
        band = "" if c["sigma_K"] is None else f" +- {c['sigma_K']:.0f}"
        lines.append(f"                  {c['above']} above {c['T_C']:.0f}{band} deg C")
    return lines


def _order_words(found: dict) -> str:
    own = found["deposits"]
    if own["gap_V"] is None:
        return f"{own['first_metal']} first; {found['metal']['symbol']} is not in this melt"
    return own["words"] or f"nothing but {own['first_metal']} can deposit"


def _window_lines(window: dict) -> list[str]:
    if window["exists"]:
        high = "no upper limit in the data" if window["high_C"] is None else f"{window['high_C']:.0f} deg C"
        head = f"run between       {window['low_C']:.0f} and {high}"
        if window["preferred_low_C"] is not None:
            best = f"{window['preferred_low_C']:.0f} and {window['preferred_high_C']:.0f} deg C"
            head = f"run between       {best} ({window['preferred_reason']}); possible {head[18:]}"
    else:
        head = f"{'no window  ' if window['low_C'] is not None else 'run between'}       {window['explanation']}"
    return [
        head,
        *[f"                  {limit['side']} {limit['T_C']:.0f}: {limit['reason']}" for limit in window["limits"]],
        *[f"                  advice {limit['T_C']:.0f}: {limit['reason']}" for limit in window["advice"]],
        *[f"                  {caution}" for caution in window["cautions"]],
    ]


def pair_text(found: dict, terms: bool = False) -> str:
    """Invariants of a pair; with `terms` also the mixing terms of its melt and the energies of its double salts."""
    a, b = found["pair"]
    rows = [["point", f"mol% {b}", "deg C", "+-", "solids"]]
    for p in found["invariants"]:
        rows.append(
            [
                p["kind"],
                f"{p['mole_percent'][b]:.1f}",
                f"{p['T_C']:.1f}",
                f"{p['sigma_K']:.1f}",
                " + ".join(p["solids"]),
            ]
        )
    fit = found["fit"]
    rms = "" if fit["rms_K"] is None else f", {fit['rms_K']:.1f} K root mean square"
    lines = [f"{a}-{b}: {found['status']}, {fit['points']} observations{rms}", "", table(rows), ""]
    if "fields" in found:
        lines += [*_field_lines(found), ""]
    elif terms:
        lines += [*_term_lines(found), ""]
    if found["note"]:
        lines += [found["note"], ""]
    return "\n".join([*lines, *source_lines(found["sources"])])


def _field_lines(found: dict) -> list[str]:
    """Which solid freezes first along a section of two anions."""
    b = found["pair"][1]
    rows = [["first solid", f"from mol% {b}", "to"]]
    rows += [[f["solid"], f"{f['from_mole_percent']:.1f}", f"{f['to_mole_percent']:.1f}"] for f in found["fields"]]
    return [table(rows)]


def _term_lines(found: dict) -> list[str]:
    """Mixing terms, x_A x_B (x_A - x_B)^k times each, and how the double salts form from their salts."""
    a, b = found["pair"]
    lines = [f"G_mix = RT sum x ln x + x({a}) x({b}) sum of term k (x({a}) - x({b}))^k, T in K"]
    lines += [
        f"mixing term {i['k']} = {i['a_J_mol']:.0f} {i['b_J_mol_K']:+.3f} T  J/mol" for i in found["interactions"]
    ]
    return lines + [
        f"{d['formula']} from its salts: enthalpy {d['dH_J_mol']:.0f} J/mol, entropy {d['dS_J_mol_K']:.2f} J/(mol K)"
        for d in found["double_salts"]
    ]


def _coldest_lines(row: dict | None) -> list[str]:
    """The coldest melt of these salts that was published."""
    if row is None:
        return []
    mix = row["mole_percent"]
    at = "without a composition" if mix is None else " ".join(f"{f}={share:g}" for f, share in mix.items())
    return [f"published {row['T_C']:g} +- {row['sigma_K']:g} deg C ({row['kind']}, {at}; {row['source']})"]


def lowest_text(found: dict) -> str:
    """The lowest-melting mix."""
    return "\n".join(
        [
            percent_table(found),
            "",
            f"melts at {found['T_C']:.1f} +- {found['sigma_K']:.1f} deg C ({found['kind']}, {found['status']}); "
            f"solids {' + '.join(found['solids'])}",
            *_coldest_lines(found["published_lowest"]),
            *[folded(f"note: {entry}", 6 * " ") for entry in found["notes"]],
            "",
            *source_lines(found["sources"]),
        ]
    )
