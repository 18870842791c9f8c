"""The review of a run as the command line's dictionary: efficiency and likely causes."""

from thermo.answers.run.log import RunRead
from thermo.answers.run.planned import Beside
from thermo.answers.run.review import Review
from thermo.present.as_json.melt import composition_json, rounded
from thermo.records.provenance import cite
from thermo.records.units import celsius


def review_json(found: Review) -> dict:
    """The review as a dictionary; current_efficiency is a fraction; log and planned are null until one is read."""
    return {
        "log": None,
        "planned": None,
        "composition": composition_json(found.run.composition),
        "metal": found.run.symbol,
        "T_C": rounded(celsius(found.run.T_K), 2),
        "charge_Ah": rounded(found.run.charge_Ah, 4),
        "weighed_g": rounded(found.run.weighed_g, 4),
        "metal_g_max": rounded(found.most_g, 4),
        "current_efficiency": rounded(found.current_efficiency, 4),
        "sigma_current_efficiency": rounded(found.efficiency_sigma, 4),
        "likely_causes": [
            {
                "key": cause.key,
                "cause": cause.cause,
                "evidence": cause.evidence,
                "weight": rounded(cause.weight, 3),
                "remedy": cause.remedy,
            }
            for cause in found.causes
        ],
        "unexplained": list(found.unexplained),
        "notes": list(found.notes),
        "sources": cite(found.sources),
    }


def log_json(read: RunRead) -> dict[str, float | None]:
    """What a log says of a run; unknown is None."""
    charge, hot, volts = read.charge, read.T_C, read.volts
    return {
        "charge_Ah": None if charge is None else charge.Ah,
        "hours": None if charge is None else charge.hours,
        "mean_A": None if charge is None else charge.mean_A,
        "gap_hours": None if charge is None else charge.gap_hours,
        "T_C": None if hot is None else hot[0],
        "sigma_T_K": None if hot is None else hot[1],
        "mean_V": None if volts is None else volts[0],
    }


def beside_json(rows: tuple[Beside, ...]) -> list[dict]:
    """Planned beside read, one thing a row."""
    return [
        {
            "name": row.name,
            "planned": rounded(row.planned, 4),
            "read": rounded(row.read, 4),
            "says": row.says or None,
        }
        for row in rows
    ]
