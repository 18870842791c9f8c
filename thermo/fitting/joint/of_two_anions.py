"""Equations of the published melts of fluoride with chloride that rest on pairs nobody measured.

A section like NdCl3-MgF2 is all that was published of magnesium beside a rare earth: its melt holds MgCl2 with NdCl3
and MgF2 with NdF3, whose interactions are otherwise an estimate from sizes, good to 30 to 60 kJ/mol. So its solids are
equations of the joint update as those of melts of one anion are (`equations`). What the law of pairs of a cation with
an anion leaves open, energies of exchange and the number of neighbours, counts as an error of the equations and is not
moved. Melts whose pairs were all measured take no part: their pairs are better known by themselves.
Limits: as `equations`. Worked value: three sections, of LaCl3, CeCl3 and NdCl3 with MgF2, six equations.
"""

from thermo.equilibrium.system.two_anions import ReciprocalSystem
from thermo.fitting.joint.equations import MeltEquations, melt_equations
from thermo.fitting.two_anion_error import NamedMelt, named_melts
from thermo.records.fitted import pair_fits
from thermo.records.provenance import Origin
from thermo.records.published import MeltPoint


def two_anion_equations() -> list[MeltEquations]:
    """Equations of these melts from the pairs as they are before the update."""
    found = []
    for melt in named_melts():
        system = ReciprocalSystem(melt.salts, pair_fits())
        if any(pair.status == Origin.ESTIMATED for pair in system.pairs):
            own = melt_equations(system, _point(melt))
            found += [] if own is None else [own]
    return found


def _point(melt: NamedMelt) -> MeltPoint:
    return MeltPoint(melt.reference, melt.salts, melt.fractions, melt.kind, melt.T_K, melt.T_sigma_K, melt.solids)
