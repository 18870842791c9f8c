"""How much of a melt is made of three salts at once, and what pairs alone miss of such a melt.

    crowding = sum over three salts of 27 x_i x_j x_k,   sigma_D = s crowding      s of data/fitted/model_error.csv
Limits: one anion. Worked value: an equimolar melt of three salts: 1.
"""

from collections.abc import Collection
from itertools import combinations

import numpy as np

from thermo.records.fitted import model_constant

LEFT_BY_TERMS = 0.3  # of the error of pairs alone: cryolite baths no fit saw stray by 5 K (test_cryolite_baths)


def crowding(x: np.ndarray, fitted: Collection[frozenset] = (), left_out: Collection[frozenset] = ()) -> float:
    """How much of a melt is made of three salts at once: sum of 27 x_i x_j x_k, 1 for an equimolar ternary.

    fitted: sets of three positions with ternary terms of their own, which count for LEFT_BY_TERMS only; left_out: sets
    that do not count.
    """
    return float(
        sum(
            27 * x[i] * x[j] * x[k] * (LEFT_BY_TERMS if {i, j, k} in fitted else 1.0)
            for i, j, k in combinations(range(len(x)), 3)
            if {i, j, k} not in left_out
        )
    )


def model_error_J_mol(x: np.ndarray, fitted: Collection[frozenset] = (), left_out: Collection[frozenset] = ()) -> float:
    """Standard deviation of D that three or more salts add because pair terms alone predict them, J/mol."""
    return model_constant("several_salts_J_mol") * crowding(x, fitted, left_out)
