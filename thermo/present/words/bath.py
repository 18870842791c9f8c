"""Words of an aluminium bath, one text for page and command line: its name, freezing, alumina, aluminium under it.

They read the bath as `bath_json` writes it, so that the figures are those of the JSON too. Temperatures in deg C,
amounts in mass% of the whole bath. Limits: text only. Worked value: pure cryolite is "cryolite ratio 3.00 (bath ratio
1.50), 0.0 mass% excess AlF3, 0.0 mass% Al2O3".
"""

from collections.abc import Mapping


def ratio_words(bath: Mapping) -> str:
    """Cryolite ratio and bath ratio."""
    return f"cryolite ratio {bath['cryolite_ratio']:.2f} (bath ratio {bath['bath_ratio']:.2f})"


def excess_words(bath: Mapping) -> str:
    """Excess AlF3, or what is short of cryolite, in mass%."""
    excess = round(bath["excess_AlF3_mass_percent"], 1) + 0.0  # no minus sign on a zero
    return f"{excess:.1f} mass% excess AlF3" if excess >= 0 else f"{-excess:.1f} mass% AlF3 short of cryolite"


def name_words(bath: Mapping) -> str:
    """The bath's name, alumina included."""
    return f"{ratio_words(bath)}, {excess_words(bath)}, {bath['Al2O3_mass_percent']:.1f} mass% Al2O3"


def start_words(found: Mapping) -> str:
    """Start of freezing, alumina counted, with its band."""
    liquidus = found["liquidus"]
    return f"{liquidus['T_C']:.0f} +- {max(liquidus['sigma_K'], 1):.0f} deg C"


def superheat_words(found: Mapping) -> str:
    """Superheat at the working temperature; below the freezing start that part is frozen."""
    superheat = found["working"]["superheat_K"]
    return f"{superheat:.0f} K of superheat" if superheat >= 0 else f"{-superheat:.0f} K below it: partly frozen"


def saturation_words(found: Mapping) -> str:
    """How much alumina dissolves at the working temperature and at the freezing start."""
    saturation = found["alumina_saturation"]
    return (
        f"up to {saturation['at_working_mass_percent']:.1f} mass% there, "
        f"{saturation['at_liquidus_mass_percent']:.1f} where it starts to freeze"
    )


def density_words(found: Mapping) -> str:
    """Density of the bath with its dissolved alumina."""
    return f"{found['density']['melt_g_cm3']:.3f} +- {found['density']['sigma_g_cm3']:.3f} g/cm3"


def margin_words(found: Mapping) -> str:
    """Density of the bath less that of aluminium."""
    metal = found["aluminium"]
    return f"bath minus metal {metal['difference_g_cm3']:+.3f} +- {metal['sigma_g_cm3']:.3f} g/cm3"
