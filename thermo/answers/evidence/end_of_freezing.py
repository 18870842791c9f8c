"""Where a melt ends freezing, in accord with where it is known to start.

No melt ends freezing above the temperature at which it starts. The computed solidus obeys that against the computed
liquidus; where a measured start of freezing leads and lies lower, both ends meet there:
    T_end = min(T_solidus computed, T_start leading)
with the spread of the one that is taken, so nothing jumps while a measurement's weight grows.
Limits: only a bound. A measured start says nothing of how far below it the last liquid lasts.
Worked value: LiCl 55, KCl 40, MgCl2 5 (published eutectic, 323 deg C; computed solidus 336): 323.
"""

from dataclasses import replace

from thermo.answers.evidence.start_of_freezing import FreezingStart
from thermo.equilibrium.freezing.solidus import Solidus, solidus
from thermo.records.remembered import remembered_last
from thermo.records.units import celsius

_computed = remembered_last(256)(solidus)  # while only the temperature moves, a melt's own solidus stays


def end_of_freezing(start: FreezingStart) -> Solidus:
    """The solidus of the melt that starts to freeze so; a note says where a measured start bounds it. As `solidus`."""
    computed = _computed(start.composition)
    if computed.T_K is None or not start.known or start.T_K >= computed.T_K:
        return computed
    note = (
        f"the computed solidus, {celsius(computed.T_K):.0f} +- {computed.sigma_K:.0f} deg C, lies above the measured "
        "start of freezing, which outranks it: both ends are put there"
    )
    return replace(computed, T_K=start.T_K, sigma_K=start.sigma_K, notes=(note, *computed.notes))
