"""A run of a cell as a plain dictionary (the machine-readable form of the command `cell`). Units in the key names.

order[].gap_V is the distance above the first metal, so 0 for the first. freezes_at_Ah is None where the bath stays
liquid until its salt is used up, or where no bath mass was given.
"""

from thermo.answers.cell import CellAnswer
from thermo.answers.cell_kind import CellKind
from thermo.answers.power import Range
from thermo.laws.ventilation import capture_note
from thermo.present.as_json.melt import composition_json, rounded
from thermo.records.provenance import cite, sources
from thermo.records.units import celsius


def cell_json(answer: CellAnswer) -> dict:
    """The whole record; parts that were not asked for are None."""
    couple = answer.order.couple(answer.metal)
    weighed = answer.weighed
    found = {
        "composition": composition_json(answer.composition),
        "metal": answer.metal,
        "T_C": rounded(celsius(answer.T_K), 2),
        "hours": rounded(answer.run.hours, 6),
        "charge_Ah": rounded(answer.charge_Ah, 6),
        "metal_g_max": rounded(answer.metal_g_max, 5),
        "metal_g_expected": rounded(answer.metal_g_expected, 5),
        "current_efficiency": None if weighed is None else rounded(weighed.value, 5),
        "sigma_current_efficiency": None if weighed is None else rounded(weighed.sigma, 5),
        "salt_consumed_g": rounded(answer.salt_g, 4),
        "halogen": _halogen_json(answer),
        "decomposition_V": rounded(answer.kind.E_V, 4),
        "sigma_decomposition_V": rounded(answer.kind.sigma_V, 4),
        "standard_V": rounded(couple.E0_V, 4),
        "metal_state": couple.metal_state,
        "order": [_couple_json(c) for c in answer.order.couples],
        "first_metal": answer.order.first.metal,
        "margin_V": rounded(answer.order.margin_V, 4),
        "p_first": rounded(answer.order.p_first, 4),
        "deposit_purity": answer.order.meaning,
        "liquidus": {
            "T_C": rounded(celsius(answer.liquidus.T_K), 2),
            "sigma_K": rounded(answer.liquidus.sigma_K, 2),
            "first_solid": answer.liquidus.first_solid,
            "status": answer.liquidus.status,
        },
        "energy_kWh_per_kg": rounded(answer.energy_kWh_per_kg, 4),
    }
    found |= _drift_json(answer) | _loss_json(answer) | _power_json(answer) | _kind_json(answer.kind, answer)
    return found | {
        "air_m3_min": _air_json(answer),
        "capture": capture_note(answer.air_m3_min),
        "notes": list(answer.notes),
        "cautions": list(answer.cautions),
        "sources": cite(answer.sources),
    }


def _halogen_json(answer: CellAnswer) -> dict:
    gas, chosen = answer.halogen, answer.halogen_chosen
    return {
        "formula": gas.formula,
        "g": rounded(gas.g, 5),
        "L_25C_1atm": rounded(gas.L, 5),
        "NaOH_g": rounded(gas.NaOH_g, 5),
        "L_chosen": rounded(chosen.L, 5),
        "chosen_C": rounded(celsius(chosen.T_K), 2),
        "chosen_kPa": rounded(chosen.p_Pa / 1000, 4),
    }


def _air_json(answer: CellAnswer) -> list[dict]:
    return [
        {"limit": limit.name, "ppm": limit.ppm, "m3_min": rounded(flow, 3), "provenance": limit.provenance}
        for limit, flow in answer.air_m3_min
    ]


def _couple_json(couple) -> dict:
    return {
        "metal": couple.metal,
        "salt": couple.salt,
        "E_V": rounded(couple.E_V, 4),
        "sigma_V": rounded(couple.sigma_V, 4),
        "gap_V": rounded(couple.gap_V, 4),
        "sigma_gap_V": rounded(couple.gap_sigma_V, 4),
        "activity": rounded(couple.activity, 8),
        "sigma_activity": rounded(couple.activity_sigma, 8),
        "metal_state": couple.metal_state,
        "activity_in_deposit": rounded(couple.in_deposit, 6),
    }


def _drift_json(answer: CellAnswer) -> dict:
    drift = answer.drift
    if drift is None:
        return {"drift": None, "freezes_at_Ah": None}
    freezes = drift.freezes
    return {
        "drift": [
            {
                "Ah": rounded(p.charge_Ah, 4),
                "mole_percent": {f: rounded(v, 3) for f, v in p.composition.mole_percent.items()},
                "bath_g": rounded(p.bath_g, 3),
                "liquidus_C": rounded(celsius(p.liquidus_K), 2),
                "sigma_K": rounded(p.sigma_K, 2),
                "first_solid": p.first_solid,
                "melt_g_cm3": rounded(p.melt_g_cm3, 4),
                "sigma_g_cm3": rounded(p.sigma_g_cm3, 4),
                "verdict": p.verdict,
                "decomposition_V": rounded(p.E_V, 4),
                "frozen": p.frozen,
            }
            for p in drift.points
        ],
        "freezes_at_Ah": None if freezes is None else rounded(freezes.charge_Ah, 4),
        "sigma_freezes_at_Ah": None if freezes is None else rounded(freezes.sigma_Ah, 4),
        "freezes_as": None if freezes is None else freezes.solid,
        "verdict_changes": [
            {"Ah": rounded(c.charge_Ah, 4), "before": c.before, "after": c.after} for c in drift.changes
        ],
        "exhausted_at_Ah": rounded(drift.exhausted_Ah, 4),
        "feed_salt": drift.formula,
        "feed_g_per_Ah": rounded(drift.feed_g_per_Ah, 5),
    }


def _loss_json(answer: CellAnswer) -> dict:
    loss, drops = answer.loss, answer.drops
    solubility = loss.solubility
    found: dict = {
        "deposit": answer.deposit,
        "metal_loss": {
            "solubility_mol_percent": None if solubility.fraction is None else rounded(100 * solubility.fraction, 5),
            "sigma_ln": rounded(solubility.sigma_ln, 3),
            "miscible": solubility.miscible,
            "loss_A_cm2": rounded(loss.loss_A_cm2, 5),
            "best_efficiency": rounded(loss.best_efficiency, 3),
            "text": loss.text,
            "notes": list(solubility.notes),
        },
        "drops": None,
    }
    if drops is not None:
        found["drops"] = {
            "what": drops.noun,
            "direction": drops.direction,
            "depth_cm": drops.depth_cm,
            "difference_g_cm3": rounded(drops.difference_g_cm3, 4),
            "sigma_g_cm3": rounded(drops.sigma_g_cm3, 4),
            "viscosity_mPa_s": rounded(drops.viscosity_mPa_s, 4),
            "viscosity_band_mPa_s": [rounded(v, 4) for v in drops.viscosity_band_mPa_s],
            "sizes": [
                {
                    "diameter_mm": d.diameter_mm,
                    "minutes": rounded(d.minutes, 4),
                    "rigid_minutes": rounded(d.rigid_minutes, 4),
                    "fast_minutes": rounded(d.fast_min, 4),
                    "slow_minutes": rounded(d.slow_min, 4),
                }
                for d in drops.drops
            ],
            "notes": list(drops.notes),
        }
    return found


def _range(entry: Range | None) -> list[float | None] | None:
    return None if entry is None else [rounded(v, 4) for v in (entry.low, entry.mid, entry.high)]


def _power_json(answer: CellAnswer) -> dict:
    voltage, heat = answer.voltage, answer.heat
    found: dict = {"voltage": None, "terminal_V": None, "supply_A": _range(answer.supply_A), "heat": None}
    if voltage is not None:
        total = voltage.total_V
        found["terminal_V"] = {
            "low": rounded(total.low, 3),
            "middle": rounded(total.mid, 3),
            "high": rounded(total.high, 3),
        }
        found["voltage"] = {
            "total_V": _range(voltage.total_V),
            "ohmic_V": _range(voltage.ohmic_V),
            "overvoltage_V": _range(voltage.overvoltage_V),
            "leads_V": _range(voltage.leads_V),
            "supply_V": _range(voltage.supply_V),
            "conductance_S_cm": rounded(voltage.conductance.value, 4),
            "conductance_band_S_cm": [rounded(v, 4) for v in voltage.conductance.band],
            "conductance_origin": voltage.conductance.origin,
            "cathode_A_cm2": rounded(voltage.cathode_A_cm2, 4),
            "anode_A_cm2": rounded(voltage.anode_A_cm2, 4),
            "notes": list(voltage.notes),
        }
    if heat is not None:
        found["heat"] = {
            "thermoneutral_V": rounded(heat.thermoneutral_V, 4),
            "made_W": rounded(heat.made_W, 3),
            "feed_W": rounded(heat.feed_W, 3),
            "open_W": rounded(heat.open_W, 2),
            "lid_W": None if heat.lid_W is None else [rounded(v, 2) for v in heat.lid_W],
            "verdict": heat.verdict,
        }
    return found


def _kind_json(kind: CellKind, answer: CellAnswer) -> dict:
    """Cathode, host, feed, what print says of efficiency, limiting current, heat to melt the charge."""
    printed, limiting, shift, melting = kind.printed, kind.limiting, kind.shift, answer.melting
    efficiency = printed.efficiency if printed is not None else None
    return {
        "cathode": kind.cathode,
        "cathode_metal": None if kind.host is None else kind.host.symbol,
        "alloy_shift_V": None if shift is None else rounded(shift.value_V, 4),
        "efficiency_printed": None
        if printed is None or efficiency is None
        else {"low": efficiency[0], "high": efficiency[1], "source": sources()[printed.source].short},
        "limiting_A_cm2": None
        if limiting is None
        else {"low": rounded(limiting.low_A_cm2, 4), "high": rounded(limiting.high_A_cm2, 4)},
        "joins": kind.joins or None,
        **_feed_json(kind),
        "melting": None
        if melting is None
        else {
            "heat_kJ": rounded(melting.J / 1000, 3),
            "minutes": None if melting.minutes is None else [rounded(v, 1) for v in melting.minutes],
        },
    }


def _feed_json(kind: CellKind) -> dict:
    feed = kind.feed
    if feed is None:
        return {"feed": None, "reaction": None, "gas": None}
    main = feed.main
    return {
        "feed": {
            "oxide": main.oxide,
            "g": rounded(feed.feed_g, 4),
            "g_per_Ah": rounded(main.feed_g_per_Ah, 5),
            "carbon_g": [rounded(v, 4) for v in feed.carbon_g],
            "solubility_mass_percent": None if feed.solubility is None else list(feed.solubility.mass_pct),
            "halide_V": rounded(feed.halide_V, 4),
        },
        "reaction": main.equation,
        "gas": {"formula": main.gas, "L_25C_1atm": rounded(feed.litres(main), 5)},
        "other_gases": [
            {
                "formula": other.gas,
                "E_V": rounded(other.E_V, 4),
                "sigma_V": rounded(other.sigma_V, 4),
                "L_25C_1atm": rounded(feed.litres(other), 5),
                "reaction": other.equation,
            }
            for other in feed.reactions[1:]
        ],
    }
