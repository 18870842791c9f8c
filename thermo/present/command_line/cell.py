"""The command `cell`: words in, one run of a cell out, as text for people or as JSON (present/as_json/cell)."""

import argparse

from thermo.present.command_line.closing import closing_lines
from thermo.present.command_line.shared import add_run, composition, show
from thermo.records.provenance import InputError
from thermo.records.units import temperature_K

HELP = "charge, metal, halogen, order of deposition, drift of the bath, drops, voltage and heat of one run"


def add_arguments(sub: argparse.ArgumentParser) -> None:
    """Options of `cell`."""
    add_run(sub, hours=False)
    sub.add_argument("--hours", type=float, metavar="2", help="time, h")
    sub.add_argument("--want-g", type=float, metavar="10", help="metal wanted, g, instead of --hours: gives the hours")
    sub.add_argument("--cathode", default="rod", help="rod (default), pool or contact")
    sub.add_argument(
        "--cathode-metal", metavar="Sn", help="metal that takes the deposit up: Sn, Pb, Bi, Zn, Al, Cu, Fe"
    )
    sub.add_argument("--feed", metavar="Al2O3", help="oxide that is fed instead of the halide")
    sub.add_argument("--anode", default="carbon", help="with --feed: carbon (default) or inert")
    for name, example, text in (
        ("--bath-g", "500", "mass of the bath, g: gives drift and freezing"),
        ("--efficiency", "0.8", "current efficiency, 0 to 1"),
        ("--weighed-g", "3.1", "metal weighed after the run, g"),
        ("--weighed-sigma-g", "0.01", "standard deviation of that weighing, g"),
        ("--volts", "5", "cell voltage, V: gives energy and heat"),
        ("--supply-volts", "12", "what the supply can give, V; with the electrodes gives its current"),
        ("--supply-amps", "40", "most current of the supply, A"),
        ("--furnace-W", "1100", "furnace power, W: minutes to melt the bath"),
        ("--alloy-x", "0.1", "mole fraction of the metal in --cathode-metal (default 0.1)"),
        ("--cathode-cm2", "20", "cathode area; with --gap-cm gives cell voltage and current"),
        ("--anode-cm2", "20", "anode area (default: as the cathode)"),
        ("--gap-cm", "3", "distance between the electrodes"),
        ("--surface-cm2", "80", "open bath surface, for the heat balance"),
        ("--depth-cm", "5", "way of a drop to the surface or floor (default 5)"),
        ("--gas-at", "25", "temperature at which the halogen volume is wanted, deg C"),
        ("--gas-kPa", "101.325", "pressure of that volume, kPa"),
    ):
        sub.add_argument(name, type=float, metavar=example, help=text)


def run(options: argparse.Namespace) -> int:
    """Answer one `cell` command; returns the exit code."""
    from thermo.answers.cell import describe_cell
    from thermo.present.as_json.cell import cell_json

    melt, T_K = composition(options), temperature_K(options.at, "--at")
    return show(options, cell_json(describe_cell(melt, options.metal, T_K, _run_of(options))), cell_text)


def _run_of(options: argparse.Namespace):
    from thermo.answers.cell import DEPTH_CM, CellRun, hours_for
    from thermo.answers.power import Geometry
    from thermo.laws.faraday import ATM_PA, BALANCE_SIGMA_G, ROOM_K

    geometry = None
    if options.cathode_cm2 is not None or options.gap_cm is not None:
        if options.cathode_cm2 is None or options.gap_cm is None:
            raise InputError("--cathode-cm2 and --gap-cm: allowed are both or neither")
        geometry = Geometry(options.cathode_cm2, options.gap_cm, options.anode_cm2)
    if (options.hours is None) == (options.want_g is None):
        both = "both are given" if options.hours is not None else "one of them is required"
        raise InputError(f"cell: --hours and --want-g: {both}; allowed is one; see python -m thermo cell --help")
    hours = options.hours
    if hours is None:
        hours = hours_for(options.metal, options.want_g, options.amps, options.efficiency or 1.0)
    return CellRun(
        amps=options.amps,
        hours=hours,
        bath_g=options.bath_g,
        efficiency=options.efficiency,
        weighed_g=options.weighed_g,
        weighed_sigma_g=BALANCE_SIGMA_G if options.weighed_sigma_g is None else options.weighed_sigma_g,
        volts=options.volts,
        cathode=options.cathode,
        cathode_metal=options.cathode_metal,
        alloy_x=options.alloy_x,
        feed=options.feed,
        anode=options.anode,
        supply_V=options.supply_volts,
        supply_A=options.supply_amps,
        furnace_W=options.furnace_W,
        geometry=geometry,
        surface_cm2=options.surface_cm2,
        depth_cm=DEPTH_CM if options.depth_cm is None else options.depth_cm,
        gas_K=ROOM_K if options.gas_at is None else temperature_K(options.gas_at, "--gas-at"),
        gas_Pa=ATM_PA if options.gas_kPa is None else 1000 * options.gas_kPa,
    )


def cell_text(found: dict) -> str:
    """One run for a terminal, top line first."""
    from thermo.present.command_line.text import table

    lines = [
        f"charge            {found['charge_Ah']:.4g} A h in {found['hours']:.3g} h",
        f"{found['metal']:<17} at most {found['metal_g_max']:.4g} g, expected {found['metal_g_expected']:.4g} g; "
        + (f"{found['salt_consumed_g']:.4g} g of salt consumed" if found["feed"] is None else "oxide consumed below"),
    ]
    if found["current_efficiency"] is not None:
        lines.append(
            f"efficiency        {100 * found['current_efficiency']:.1f} +- "
            f"{100 * found['sigma_current_efficiency']:.1f} % weighed"
        )
    lines += [
        _gas_line(found),
        f"voltage           {found['decomposition_V']:.3f} +- {found['sigma_decomposition_V']:.3f} V to take the "
        f"{'salt' if found['feed'] is None else 'oxide'} "
        f"apart ({_beside_it(found)})",
    ]
    if found["energy_kWh_per_kg"] is not None:
        lines.append(f"energy            {found['energy_kWh_per_kg']:.3g} kWh/kg")
    rows = [["metal", "V", "gap V", "activity of its salt"]]
    rows += [
        [
            c["metal"],
            f"{c['E_V']:.3f} +- {c['sigma_V']:.3f}",
            f"{c['gap_V']:.3f} +- {c['sigma_gap_V']:.3f}" if k else "first",
            f"{c['activity']:.3g} +- {c['sigma_activity']:.2g}",
        ]
        for k, c in enumerate(found["order"])
    ]
    lines += ["", table(rows), "", *_loss_lines(found), *_drift_lines(found, table), *_power_lines(found)]
    capture = [found["capture"]] if found["capture"] else []
    lines += closing_lines(found | {"cautions": found["cautions"] + capture})
    return "\n".join(lines)


def _beside_it(found: dict) -> str:
    """What stands beside the voltage: the pure salt's, or the halide's where an oxide is fed."""
    if found["feed"] is None:
        return f"standard {found['standard_V']:.3f}, metal {found['metal_state']}"
    return f"the bath's own halide at {found['feed']['halide_V']:.2f} V"


def _gas_line(found: dict) -> str:
    gas, feed = found["halogen"], found["feed"]
    if feed is None:
        return (
            f"{gas['formula']:<17} {gas['g']:.4g} g, {gas['L_25C_1atm']:.3g} L (25 deg C, 1 atm), scrubbed by "
            f"{gas['NaOH_g']:.4g} g NaOH"
        )
    carbon = f", {feed['carbon_g'][0]:.3g} to {feed['carbon_g'][1]:.3g} g of carbon" if feed["carbon_g"][1] else ""
    gases = [found["gas"], *found["other_gases"]]
    litres = " or ".join(f"{g['L_25C_1atm']:.3g} L {g['formula']}" for g in gases)
    return f"feed              {feed['g']:.4g} g {feed['oxide']}{carbon}; gives {litres} (25 deg C, 1 atm)"


def _loss_lines(found: dict) -> list[str]:
    lines = [f"deposit           {found['deposit']}", f"dissolved metal   {found['metal_loss']['text']}"]
    drops = found["drops"]
    if drops is not None:
        times = ", ".join(f"{d['diameter_mm']:g} mm {_minutes(d)}" for d in drops["sizes"])
        moves = f"a {drops['what']} {drops['direction']}"
        lines.append(f"{moves:<17} {drops['depth_cm']:g} cm in {times}")
    return lines


def _minutes(drop: dict) -> str:
    def short(value: float) -> str:
        return f"{60 * value:.2g} s" if value < 1 else f"{value:.0f} min" if value < 180 else f"{value / 60:.1f} h"

    slow = "no bound" if drop["slow_minutes"] is None else short(drop["slow_minutes"])
    return f"{short(drop['minutes'])} ({short(drop['fast_minutes'])} to {slow})"


def _drift_lines(found: dict, table) -> list[str]:
    if found["drift"] is None:
        return []
    rows = [["A h", *found["drift"][0]["mole_percent"], "liquidus", "+-", "melt g/cm3", "metal", "V"]]
    for p in found["drift"]:
        shares = [f"{v:.1f}" for v in p["mole_percent"].values()]
        rows.append(
            [
                f"{p['Ah']:.3g}",
                *shares,
                f"{p['liquidus_C']:.0f}{' frozen' if p['frozen'] else ''}",
                f"{p['sigma_K']:.0f}",
                f"{p['melt_g_cm3']:.3f}",
                p["verdict"] or "vapour",
                f"{p['decomposition_V']:.3f}",
            ]
        )
    freezes = found["freezes_at_Ah"]
    when = (
        "not before its salt is gone" if freezes is None else f"{freezes:.3g} +- {found['sigma_freezes_at_Ah']:.2g} A h"
    )
    return [
        "",
        table(rows),
        f"starts to freeze  {when}; salt gone at {found['exhausted_at_Ah']:.3g} A h",
        f"feed              {found['feed_g_per_Ah']:.3g} g {found['feed_salt']} per A h holds it as it is",
    ]


def _power_lines(found: dict) -> list[str]:
    lines = []
    voltage, heat = found["voltage"], found["heat"]
    if voltage is not None:
        low, mid, high = voltage["total_V"]
        lines += [
            "",
            f"terminals         about {mid:.2f} V ({low:.2f} to {high:.2f}); ohmic {voltage['ohmic_V'][1]:.2f}, bath "
            f"{voltage['conductance_S_cm']:.2f} S/cm ({voltage['conductance_origin']})",
            f"supply must give  about {voltage['supply_V'][1]:.2f} V, {voltage['leads_V'][0]:g} to "
            f"{voltage['leads_V'][2]:g} V of it in the leads",
            *[f"                  {note}" for note in voltage["notes"]],
        ]
    if found["supply_A"] is not None:
        low, mid, high = found["supply_A"]
        lines.append(f"supply drives     about {mid:.3g} A ({low:.3g} to {high:.3g})")
    if heat is not None:
        lines.append(
            f"heat              {heat['made_W']:.3g} W made, {heat['feed_W']:.2g} W for the feed; {heat['verdict']}"
        )
    return lines
