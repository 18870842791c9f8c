"""A phase of fixed kind and composition while a balance of phases is being worked out."""

from dataclasses import dataclass

import numpy as np


@dataclass
class Part:
    """A phase while it is being worked out: `kind` counts mixtures first, then solids of fixed composition.

    x: its composition as the mixture counts it, or for a fixed solid what a mole of it counts of the components.
    """

    kind: int
    x: np.ndarray
    amount: float
