"""Every pair has an answer, measured or not."""

import numpy as np

from tests.each import each
from thermo.answers.melt import describe_melt
from thermo.equilibrium.invariants.pair import pair_curve
from thermo.fitting.pair_files import all_pairs
from thermo.fitting.pair_fit import LIKENED
from thermo.records.composition import Composition
from thermo.records.fitted import pair_models


@each(all_pairs())
def test_every_pair_answers_with_its_status(pair):
    """The diagram and a melt of every pair of two chlorides or two fluorides, measured or not."""
    curve = pair_curve(*pair, points=11)
    assert np.isfinite(curve.T_K).all()
    assert (curve.sigma_K >= 0).all()
    melt = describe_melt(Composition(pair, (0.5, 0.5)))
    assert melt.liquidus.status in ("fitted", "estimated")
    model = pair_models()[frozenset(pair)]
    for status, solids in ((melt.liquidus.status, [melt.liquidus.first_solid]),
                           *((point.status, point.solids) for point in curve.invariants)):  # fmt: skip
        guessed = model.status == "estimated" or set(solids) & set(model.estimated)
        assert status == ("estimated" if guessed else "fitted")
    notes = " ".join(melt.liquidus.notes)
    assert ("estimated by the size rule" in notes or LIKENED in notes) == (model.status == "estimated")
    assert ("estimated by the rule of size" in notes) == (model.status == "fitted" and bool(model.estimated))
