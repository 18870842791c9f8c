"""A search of five salts, and a found melt held against the same melt typed by hand."""

from thermo.answers.deposition import deposition_order
from thermo.answers.finder import Wish
from thermo.answers.melt import describe_melt
from thermo.records.units import kelvin

FIVE = ("NaCl", "KCl", "MgCl2", "CaCl2", "LiCl")
ASKED = Wish("Mg", FIVE, 3, kelvin(720), "floats", kelvin(600))


def typed_by_hand(wish, found):
    """Every part of a found melt is what is answered for that melt alone."""
    again = describe_melt(
        found.composition, wish.symbol, found.T_K, wish.deposit, wish.superheat_K, wish.vessel, wish.atmosphere
    )
    assert again.liquidus == found.liquidus
    assert again.float_or_sink == found.flotation
    assert again.window == found.window
    assert deposition_order(found.composition, found.T_K, wish.symbol).couples == found.order.couples
