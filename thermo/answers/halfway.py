"""Whether part of the current stops halfway, at an ion of lower charge, instead of making metal.

    M3+ + e = M2+,  M2+ + 2 e = M;   3 M2+ = M + 2 M3+ away from the cathode
M2+ that leaves the cathode burns back at the anode or falls apart into fine metal in the melt: less is weighed than the
charge can make, and no figure for how much was found in print. Reports in melts of the same salts decide; where there
are none, all reports of this metal with this anion do.
Limits: only what data/lower_valences.csv holds. Worked value: Nd in LiCl-KCl: two steps in both reports.
"""

from dataclasses import dataclass

from thermo.records.composition import Composition
from thermo.records.lower_valences import Steps, steps_in_print
from thermo.records.substances import salt


@dataclass(frozen=True)
class Halfway:
    """An ion the deposit may stop at: the reports that saw it and those that did not, and whether in these salts."""

    metal: str
    ion: str
    seen: tuple[Steps, ...]
    not_seen: tuple[Steps, ...]
    same_salts: bool

    @property
    def disputed(self) -> bool:
        """Whether reports disagree, or none is of a melt of these salts."""
        return bool(self.not_seen) or not self.same_salts

    @property
    def evidence(self) -> str:
        """What was seen, and where."""
        verb = "may stop" if self.disputed else "stops"
        against = f", not in {_places(self.not_seen)}" if self.not_seen else ""
        also = "".join(f"; {report.words}" for report in self.seen if report.words)
        reports = f"seen in {_places(self.seen)}{against}{also}"
        return f"part of the current {verb} at {self.ion} on the way to {self.metal} ({reports})"

    @property
    def text(self) -> str:
        """What was seen, and what it costs."""
        return (
            f"{self.evidence}: it burns back at the anode or falls apart into fine metal in the melt; expect less "
            "metal than the charge says, keep the anode apart and the current density up"
        )

    @property
    def sources(self) -> tuple[str, ...]:
        """Keys of all reports used."""
        return tuple(dict.fromkeys(report.source for report in (*self.seen, *self.not_seen)))


def _places(reports: tuple[Steps, ...]) -> str:
    return " and ".join(dict.fromkeys(report.where for report in reports))


def halfway(melt: Composition, formula: str) -> Halfway | None:
    """The ion that the metal of a salt of the melt may stop at; None where no report that counts saw one."""
    record = salt(formula)
    reports = [r for r in steps_in_print() if (r.metal, r.anion) == (record.cation, record.anion)]
    own = [r for r in reports if set(r.salts) <= set(melt.present.salts)]
    used = own or reports
    seen = tuple(r for r in used if r.steps > 1)
    if not seen:
        return None
    return Halfway(record.cation, seen[0].ion, seen, tuple(r for r in used if r.steps == 1), bool(own))
