"""What stands behind the numbers shown: sources, caveats, cautions, and the figures themselves as rows for a file.

Limits: gathers what the answers carry; adds nothing. Worked value: the rows of a two-salt melt begin with its two mole
percents, then its two mass percents.
"""

import math

from thermo.answers.cautions import cautions, dangers
from thermo.present.page.readouts import ReadOut
from thermo.present.words.written import degrees
from thermo.records.composition import anions
from thermo.records.units import celsius
from thermo.records.vessels import vessel_named


def sources_of(out: ReadOut) -> list[str]:
    """Full citations behind the numbers shown, each once."""
    return out.sources


def notes_of(out: ReadOut) -> list[str]:
    """Caveats of the numbers shown, and the soft limits of the window, each once."""
    advice = out.window.advice if out.window is not None else ()
    return list(dict.fromkeys([*out.notes, *(f"{limit.reason} ({degrees(limit.T_K)})" for limit in advice)]))


def cautions_of(out: ReadOut) -> tuple[str, ...]:
    """Safety cautions for the salts and the metal chosen."""
    if out.composition is None:
        return ()
    own = out.window.cautions if out.window is not None else ()
    return (*own, *cautions(out.composition.present, out.state.metal or None))


def dangers_of(out: ReadOut) -> str:
    """The same in one line: a vessel that leaks and air over the bath, then the dangers by name; '' without a melt."""
    if out.composition is None:
        return ""
    own = []
    if out.state.vessel:
        pot, held = vessel_named(out.state.vessel), set(anions(out.composition.present.salts))
        if ("F" in held and pot.fluorides == "no") or ("Cl" in held and pot.chlorides == "no"):
            own.append(f"this melt dissolves {pot.name}, the pot may leak")
    if out.state.atmosphere == "air":
        own.append("air over the bath: the metal burns")
    return "; ".join((*own, *dangers(out.composition.present, out.state.metal or None)))


def table_rows(out: ReadOut) -> list[dict[str, str]]:
    """Figures shown, for the download: quantity, value, standard deviation, unit."""
    rows: list[dict[str, str]] = []

    def add(quantity: str, value: float, sigma: float | str, unit: str) -> None:
        spread = sigma if isinstance(sigma, str) else f"{sigma:.4g}"
        if math.isfinite(value):
            rows.append({"quantity": quantity, "value": f"{value:.6g}", "sigma": spread, "unit": unit})

    if out.composition:
        for formula, share in out.composition.mole_percent.items():
            add(f"{formula}", share, "", "mol%")
        for formula, share in out.composition.mass_percent.items():
            add(f"{formula}", share, "", "mass%")
    add("working temperature", out.state.t_C, "", "deg C")
    if out.liquidus and out.liquidus.known:
        add(
            f"freezing starts (first solid {out.liquidus.first_solid})",
            celsius(out.liquidus.T_K),
            out.liquidus.sigma_K,
            "deg C",
        )
    if out.flotation and out.flotation.margin is not None:
        f, margin = out.flotation, out.flotation.margin
        own = margin.metal_density
        add("melt density", f.melt_density.value_g_cm3, f.melt_density.sigma_g_cm3, "g/cm3")
        add(f"{f.metal} density ({f.state})", own.value_g_cm3, own.sigma_g_cm3, "g/cm3")
        add("melt less metal", margin.difference_g_cm3, margin.sigma_g_cm3, "g/cm3")
        add(f"chance that it floats ({margin.verdict})", margin.p_float, "", "")
        for c in f.crossings_above(out.liquidus.T_K if out.liquidus is not None and out.liquidus.known else 0.0):
            add(f"densities cross ({c.above} above)", celsius(c.T_K), c.sigma_K, "deg C")
    if out.window:
        for limit in out.window.limits:
            add(f"{limit.side} limit: {limit.reason}", celsius(limit.T_K), "", "deg C")
    return rows
