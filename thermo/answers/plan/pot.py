"""The pot and what stands in it: how full it gets, how wide it is, where the electrodes hang.

A pot of unknown shape is taken as a cylinder 1.2 times as high as wide. The melt must not stand higher than 0.7 of the
pot (froth, splashes, electrodes that go in); where no pot is named, one that the melt fills to 0.6 is asked for.
Ratios and the clearance under the electrodes: common practice, no source.
Worked value: 370 mL of melt in a 600 mL pot: 0.62 full, 8.6 cm wide, 6.4 cm deep.
"""

import math
from dataclasses import dataclass

HIGH_OVER_WIDE = 1.2
MOST_FILL = 0.7
USUAL_FILL = 0.6
CLEAR_CM = 1.0  # under the electrodes


@dataclass(frozen=True)
class Pot:
    """A pot with its melt: volumes in mL, lengths in cm, share filled; named: whether the person gave the volume."""

    volume_mL: float
    melt_mL: float
    diameter_cm: float
    depth_cm: float
    fill: float
    named: bool

    @property
    def height_cm(self) -> float:
        """Inside height."""
        return self.depth_cm / self.fill

    @property
    def surface_cm2(self) -> float:
        """Open surface of the melt."""
        return math.pi * self.diameter_cm**2 / 4

    @property
    def immersed_cm(self) -> float:
        """How deep an electrode can hang into the melt."""
        return max(self.depth_cm - CLEAR_CM, 0.5)

    @property
    def too_full(self) -> bool:
        """Whether the melt stands higher than is safe."""
        return self.fill > MOST_FILL


def pot_for(melt_mL: float, volume_mL: float | None) -> Pot:
    """The pot that was named, or the one that is needed, with this much melt in it."""
    volume = melt_mL / USUAL_FILL if volume_mL is None else volume_mL
    diameter = (4 * volume / (math.pi * HIGH_OVER_WIDE)) ** (1 / 3)
    depth = melt_mL / (math.pi * diameter**2 / 4)
    return Pot(volume, melt_mL, diameter, depth, melt_mL / volume, volume_mL is not None)
