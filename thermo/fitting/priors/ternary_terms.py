"""What the ternary terms of a melt of AlF3 are expected to be before any melt of the three was measured.

Each AlF3 takes three alkali fluorides A for its complex anion, and those are lost to a third salt M:
    x_A L x_M  becomes about  (x_A - 3 x_Al) L x_M,   L the interaction of A with M at 900 K
so the plain coefficient of laws/mixing, whose term has one more factor x_A (0.4 to 0.75 in these baths), is expected
near -3 L or somewhat above; its spread covers that. Between two alkali fluorides nothing is lost, and nothing is known
of excess AlF3:
    s_1 ~ N(-3 L, 60 kJ), between alkali fluorides N(0, 60 kJ);   s_2 ~ N(0, 200 kJ)
Melts with points of their own start from there (`ternary_fit`); the others stay there and are called estimated.
Source: the stoichiometry of the cryolites; the spreads are judgement. 29 melts of K3AlF6 and LiF with CaF2 or SrF2
that no fit saw (ORNL-3594) are met to 27 K in the median, without this to 64 K.
Limits: as good as a complex that does not fall apart. Units: J/mol. Worked value: KF-CaF2 has L = -27 kJ: s_1 = 82 kJ.
"""

from collections.abc import Collection, Mapping

from thermo.equilibrium.system.one_anion import regular_interaction
from thermo.records.substances import salt, salts

ALKALIS_A_COMPLEX = 3  # M3AlF6
SPREAD_T = {"plain": 60000.0, "balance": 200000.0}  # from NaF to AlF3 both may change the melt alike


def expected_terms(names: frozenset, models: Mapping) -> dict[tuple[frozenset, str], tuple[float, float]]:
    """Ternary terms of AlF3 with two other fluorides: (names, term) -> (value, standard deviation), J/mol.

    models: frozenset of two salts -> PairModel.
    """
    alkali, other = sorted(names - {"AlF3"}, key=lambda f: salt(f).charge)
    lost = 0.0
    if salt(other).charge > 1:
        lost = ALKALIS_A_COMPLEX * regular_interaction(models[frozenset((alkali, other))])
    centre = {"plain": -lost, "balance": 0.0}
    return {(names, kind): (centre[kind], spread) for kind, spread in SPREAD_T.items()}


def unmeasured_melts(known: Collection[frozenset]) -> list[frozenset]:
    """AlF3 with an alkali fluoride and a third salt of higher charge, where nothing is known of the three."""
    fluorides = [f for f, component in salts().items() if component.anion == "F" and f != "AlF3"]
    alkalis = [f for f in fluorides if salt(f).charge == 1]
    triples = [frozenset((a, m, "AlF3")) for a in alkalis for m in fluorides if m not in alkalis]
    return [names for names in triples if names not in known]
