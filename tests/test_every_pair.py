"""Every pair has an answer, measured or not."""

import numpy as np
import pytest

from thermo.answers.melt import describe_melt
from thermo.equilibrium.assessment_files import all_pairs
from thermo.equilibrium.invariants import pair_curve
from thermo.records.composition import Composition


@pytest.mark.parametrize("pair", all_pairs(), ids="-".join)
def test_every_pair_answers_with_its_status(pair):
    """The diagram and a melt of every pair of two chlorides or two fluorides, measured or not."""
    curve = pair_curve(*pair, points=11)
    assert np.isfinite(curve.T_K).all()
    assert (curve.sigma_K >= 0).all()
    melt = describe_melt(Composition(pair, (0.5, 0.5)))
    assert melt.liquidus.status in ("assessed", "estimated")
    assert {point.status for point in curve.invariants} <= {melt.liquidus.status}
    said = any("estimated by the size rule" in note for note in melt.liquidus.notes)
    assert said == (melt.liquidus.status == "estimated")
