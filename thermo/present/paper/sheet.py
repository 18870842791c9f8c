"""The run sheet: everything about one run on paper (PDF), and the same figures as CSV and JSON.

All three forms are written from one dictionary, made of the dictionaries behind the screen (`melt_json`, `weigh_json`,
`cell_json`), so their figures cannot differ. Units stand in the key names.
Limits: what was not asked for (weigh-out, run, bath mass) is left out and said so, never filled in.
Worked value: to_csv of a sheet has the line melt,liquidus.T_C,... with the number of the screen.
"""

import csv
import io
import json
from collections.abc import Iterator
from dataclasses import dataclass

from thermo.answers.cell import CellAnswer
from thermo.answers.materials import MaterialVerdict
from thermo.answers.melt import MeltAnswer
from thermo.answers.plan.step import Plan
from thermo.answers.weighing import WeighedAsDry, Weighing
from thermo.present.as_json.cell import cell_json
from thermo.present.as_json.melt import melt_json, rounded
from thermo.present.as_json.plan import plan_json
from thermo.present.as_json.weigh import weigh_json
from thermo.records.provenance import InputError
from thermo.records.units import celsius

SECTIONS = ("melt", "weigh", "cell", "materials")
READING_COLUMNS = ("time", "deg C", "A", "V", "A h", "seen")


@dataclass(frozen=True)
class RunSheet:
    """The answers of one run; melt is always there, the others None or empty where they were not asked for."""

    melt: MeltAnswer
    weighing: Weighing | None = None
    slip: WeighedAsDry | None = None
    cell: CellAnswer | None = None
    materials: tuple[MaterialVerdict, ...] = ()
    title: str = ""
    plan: Plan | None = None
    link: str = ""  # the page's address of this melt; '' where the sheet was not made there


def run_sheet(
    melt: MeltAnswer,
    weighing: Weighing | None = None,
    slip: WeighedAsDry | None = None,
    cell: CellAnswer | None = None,
    materials: tuple[MaterialVerdict, ...] = (),
    title: str = "",
    plan: Plan | None = None,
    link: str = "",
) -> RunSheet:
    """Put a sheet together; InputError where its parts are not of the same melt."""
    planned = None if plan is None else plan.wish.composition.present
    for mix in (weighing and weighing.composition, cell and cell.composition, planned):
        if mix is not None and not _same(mix, melt.composition):
            raise InputError("run sheet: its parts are of different melts; allowed is one melt")
    if cell is not None and abs(cell.T_K - melt.T_K) > 1e-6:
        both = f"melt at {celsius(melt.T_K):.1f}, run at {celsius(cell.T_K):.1f} deg C"
        raise InputError(f"run sheet: {both}; allowed is one temperature")
    return RunSheet(melt, weighing, slip, cell, materials, title, plan, link)


def _same(a, b) -> bool:
    shares = dict(zip(b.salts, b.fractions, strict=True))
    return set(a.salts) == set(shares) and all(
        abs(x - shares[f]) < 1e-9 for f, x in zip(a.salts, a.fractions, strict=True)
    )


def sheet_json(sheet: RunSheet) -> dict:
    """The sheet as a dictionary; cautions, notes and sources of all parts, each once, in the order met."""
    melt = melt_json(sheet.melt)
    parts = {
        "melt": melt,
        "weigh": None if sheet.weighing is None else weigh_json(sheet.weighing, sheet.slip),
        "cell": None if sheet.cell is None else cell_json(sheet.cell),
    } | ({} if sheet.plan is None else {"plan": plan_json(sheet.plan)})
    found: dict = {"title": sheet.title or _title(sheet), "T_C": rounded(celsius(sheet.melt.T_K), 2)} | parts
    found["materials"] = [_material(verdict) for verdict in sheet.materials]
    for name in ("notes", "cautions", "sources"):
        lines = [line for part in parts.values() if part for line in part[name]]
        found[name] = list(dict.fromkeys(lines))
    if sheet.link:
        found["link"] = sheet.link
    closing = melt["cautions"][-1:]  # local codes decide: last, whatever else is said
    found["cautions"] = [line for line in found["cautions"] if line not in closing] + closing
    return found


def _title(sheet: RunSheet) -> str:
    percent = sheet.melt.composition.mole_percent
    mix = ", ".join(f"{value:.1f} {formula}" for formula, value in percent.items())
    metal = "" if sheet.melt.symbol is None else f"{sheet.melt.symbol} from "
    return f"{metal}{mix} (mol%) at {celsius(sheet.melt.T_K):.0f} deg C"


def _material(verdict: MaterialVerdict) -> dict:
    return {
        "material": verdict.name,
        "roles": list(verdict.roles),
        "verdict": verdict.verdict,
        "limit_C": rounded(celsius(verdict.limit_K), 0),
        "reasons": list(verdict.reasons),
        "oxides": [
            {
                "oxide": e.oxide,
                "difference_kJ_per_mol_O": rounded(e.difference_J_mol / 1000, 2),
                "sigma_kJ_per_mol_O": rounded(e.sigma_J_mol / 1000, 2),
                "verdict": e.verdict,
            }
            for e in verdict.exchanges
        ],
    }


def to_json(sheet: RunSheet) -> str:
    """One JSON object."""
    return json.dumps(sheet_json(sheet), ensure_ascii=False, indent=1)


def to_csv(sheet: RunSheet) -> str:
    """Lines section,item,value: every number and text of the dictionary, items by their path."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(("section", "item", "value"))
    found = sheet_json(sheet)
    for section, value in found.items():
        for path, leaf in leaves(value):
            writer.writerow((section, path, "" if leaf is None else leaf))
    return text.getvalue()


def leaves(value, path: str = "") -> Iterator[tuple[str, object]]:
    """(path, value) of every text and number inside dictionaries and lists; lists count from 1."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from leaves(inner, f"{path}.{key}" if path else str(key))
    elif isinstance(value, list):
        for number, inner in enumerate(value, 1):
            yield from leaves(inner, f"{path}.{number}" if path else str(number))
    else:
        yield path, value
