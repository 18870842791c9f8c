"""Whether a metal comes out of its salt at once or stops on the way as an ion of lower charge: what was seen in print.

data/lower_valences.csv, one row a report: the solvent it was seen in, the number of steps (1: at once, 2: by way of the
ion), and what came of it.
Limits: rare earths without europium, samarium and ytterbium, which are in no list here. Worked value: neodymium in
LiCl-KCl takes two steps, by way of Nd2+, in two reports.
"""

from dataclasses import dataclass

from thermo.records.provenance import number, read_table
from thermo.records.remembered import remembered


@dataclass(frozen=True)
class Steps:
    """One report: metal and anion of its salt, the solvent's salts, deg C where noted, the ion, 1 or 2 steps."""

    metal: str
    anion: str
    salts: tuple[str, ...]
    T_C: float | None
    ion: str
    steps: int
    words: str
    source: str

    @property
    def where(self) -> str:
        """The solvent and its temperature."""
        return "-".join(self.salts) + ("" if self.T_C is None else f" {self.T_C:.0f} deg C")


@remembered
def steps_in_print() -> tuple[Steps, ...]:
    """Every report, in the order of the table."""
    return tuple(
        Steps(
            row["metal"],
            row["anion"],
            tuple(row["salts"].split()),
            number(row["T_C"]),
            row["ion"],
            int(row["step_count"]),
            row["words"],
            row["source"],
        )
        for row in read_table("lower_valences.csv")
    )
