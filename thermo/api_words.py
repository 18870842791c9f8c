"""What a notebook types of a run, brought into the units of the answers: a cell's words, a log beside typed figures.

Limits: words only. Worked value: gas_C=30 becomes gas_K=303.15.
"""

from dataclasses import fields
from typing import Any

from thermo.answers.cell import CellRun
from thermo.answers.power import Geometry
from thermo.answers.run.log import read_run
from thermo.present.as_json.review import log_json
from thermo.records.logger import Log
from thermo.records.provenance import InputError
from thermo.records.units import temperature_K

OWN_UNITS = ("cathode_cm2", "gap_cm", "anode_cm2", "gas_C", "gas_kPa")  # of a cell, beside the fields of CellRun


def cell_run(amps: float, hours: float, typed: dict[str, Any]) -> CellRun:
    """What was typed of a run, in the units of CellRun; InputError for a name it does not have."""
    own = dict(typed)
    areas = {name: own.pop(name) for name in OWN_UNITS[:3] if name in own}
    if areas:
        if not {"cathode_cm2", "gap_cm"} <= set(areas):
            raise InputError("cathode_cm2 and gap_cm: allowed are both or neither")
        own["geometry"] = Geometry(**areas, cathode=own.get("cathode", "rod"))
    if "gas_C" in own:
        own["gas_K"] = temperature_K(own.pop("gas_C"), "gas_C")
    if "gas_kPa" in own:
        own["gas_Pa"] = 1000 * own.pop("gas_kPa")
    known = [field.name for field in fields(CellRun)]
    for name in own:
        if name not in known:
            raise InputError(
                f"cell: {name!r} is not known; allowed are {', '.join([*known, *areas, 'gas_C', 'gas_kPa'])}"
            )
    return CellRun(amps, hours, **own)


def run_words(
    log: Log | None, t_C: float | None, amps: float | None, hours: float | None, typed: dict[str, Any]
) -> tuple[float, float, float, dict[str, float | None] | None]:
    """Temperature, current and time as typed, else as the log has them, and what the log says; volts go into typed.

    InputError names what neither says.
    """
    read = None if log is None else log_json(read_run(log))
    found = []
    for name, value, key in (("t_C", t_C, "T_C"), ("amps", amps, "mean_A"), ("hours", hours, "hours")):
        own = value if value is not None or read is None else read[key]
        if own is None:
            raise InputError(f"review: {name} is needed, or a log with its column")
        found.append(own)
    if read is not None and typed.get("volts") is None and read["mean_V"] is not None:
        typed["volts"] = read["mean_V"]
    return found[0], found[1], found[2], read
