"""A compound that is published to melt congruently is the first solid of its own composition.

Which do: the column `melting` of data/double_salts.csv and data/triple_salts.csv, each row with its source. A liquidus
that passes over the compound there would be another diagram than the published one, whatever its temperature.
"""

from tests.each import each
from thermo.equilibrium.freezing.liquidus import liquidus
from thermo.records.composition import Composition
from thermo.records.substances import double_salts, salts
from thermo.records.triple_salts import triple_salts

CONGRUENT = [
    compound
    for compound in (*double_salts().values(), *triple_salts().values())
    if compound.melting == "congruent" and set(compound.stoichiometry) <= set(salts())
]


@each(CONGRUENT, compared=30)
def test_it_freezes_first_at_its_own_composition(compound):
    counts = compound.stoichiometry
    melt = Composition(tuple(counts), tuple(n / sum(counts.values()) for n in counts.values()))
    assert liquidus(melt).first_solid == compound.formula, compound.formula
