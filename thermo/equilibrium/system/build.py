"""The laws of a melt by the names of its salts: one anion or two, built once.

Limits: 1 to 6 cations of fluorides and chlorides. Worked value: salt_system(('LiF', 'KCl')) is a ReciprocalSystem.
"""

from collections.abc import Mapping, Sequence

from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.equilibrium.system.two_anions import ReciprocalSystem
from thermo.records.provenance import InputError
from thermo.records.remembered import remembered_last
from thermo.records.substances import salt

MOST_SALTS = 6


def build_system(salts: Sequence[str], models: Mapping | None = None) -> SaltSystem | ReciprocalSystem:
    """SaltSystem for salts of one anion, ReciprocalSystem for both; InputError beyond six cations."""
    cations = len({salt(f).cation for f in salts})
    if cations > MOST_SALTS:
        raise InputError(f"{cations} salts in one melt: allowed are up to {MOST_SALTS}; nothing was measured beyond")
    if len({salt(f).anion for f in salts}) == 1:
        return SaltSystem(salts, models)
    return ReciprocalSystem(salts, models)


@remembered_last(500)  # more than a page's visitors ask in turn; the atlas asks for 13,000
def salt_system(salts: tuple[str, ...]) -> SaltSystem | ReciprocalSystem:
    """The system of these salts from the fitted files, built once."""
    return build_system(salts)
