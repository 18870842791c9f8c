"""An aluminium bath as the command line's dictionary: its trade names, liquidus, superheat."""

from thermo.answers.bath import BathAnswer, BathName
from thermo.answers.cautions import cautions
from thermo.present.as_json.melt import composition_json, rounded
from thermo.records.provenance import cite
from thermo.records.units import celsius


def bath_json(answer: BathAnswer) -> dict:
    """The bath as a dictionary; percentages of the whole bath, mole percent of its salts."""
    liquidus = answer.liquidus
    keys = dict.fromkeys((*liquidus.sources, *answer.density.sources, *answer.aluminium_density.sources))
    return {
        "bath": _name_json(answer.name),
        "composition": composition_json(answer.composition),
        "liquidus": {
            "T_C": rounded(celsius(liquidus.T_K), 2),
            "sigma_K": rounded(liquidus.sigma_K, 2),
            "first_solid": liquidus.first_solid,
            "status": liquidus.status,
            "rests_on": answer.rests_on,
            "computed_C": rounded(celsius(answer.computed.T_K), 2),
            "computed_sigma_K": rounded(answer.computed.sigma_K, 2),
        },
        "working": {"T_C": rounded(celsius(answer.T_K), 2), "superheat_K": rounded(answer.superheat_K, 2)},
        "alumina_saturation": {
            "at_liquidus_mass_percent": rounded(liquidus.saturation_pct, 3),
            "at_working_mass_percent": rounded(answer.saturation_pct, 3),
        },
        "density": {
            "melt_g_cm3": rounded(answer.density.value_g_cm3, 4),
            "sigma_g_cm3": rounded(answer.density.sigma_g_cm3, 4),
        },
        "aluminium": {
            "density_g_cm3": rounded(answer.aluminium_density.value_g_cm3, 4),
            "difference_g_cm3": rounded(answer.difference_g_cm3, 4),
            "sigma_g_cm3": rounded(answer.sigma_g_cm3, 4),
            "p_float": rounded(answer.p_float, 4),
            "verdict": answer.verdict,
        },
        "notes": [*liquidus.notes, *answer.density.caveats],
        "cautions": list(cautions(answer.composition, "Al")),
        "sources": cite(keys),
    }


def _name_json(name: BathName) -> dict:
    return {
        "cryolite_ratio": rounded(name.cryolite_ratio, 4),
        "bath_ratio": rounded(name.bath_ratio, 4),
        "excess_AlF3_mass_percent": rounded(name.excess_alf3_pct, 3),
        "Al2O3_mass_percent": rounded(name.alumina_pct, 3),
        "additions_mass_percent": {f: rounded(pct, 3) for f, pct in name.additions_pct.items()},
    }
