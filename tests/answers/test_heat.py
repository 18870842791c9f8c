"""Heat of a cell: made, lost, and what it takes to melt the charge."""

import pytest

from thermo.answers.cell import CellRun, describe_cell
from thermo.answers.heat import (
    heat_balance,
    heat_made_W,
    heating_J_g,
    melting_heat,
    oxide_heat_balance,
    radiation_W_cm2,
)
from thermo.answers.power import Geometry
from thermo.laws.oxide_cell import oxide_reaction
from thermo.records.composition import from_amounts
from thermo.records.provenance import InputError


def test_heat_of_a_worked_cell():
    # 20 A at 6.0 V, E_tn of MgCl2 at 1000 K 3.092 V from dHf = -596.73 kJ/mol (NIST-JANAF): 58.2 W, 1 %.
    assert heat_made_W("MgCl2", 1000.0, 20.0, 6.0) == pytest.approx(58.2, rel=0.01)


def test_lost_current_is_heat():
    # With efficiency 0 every joule stays in the cell.
    assert heat_made_W("MgCl2", 1000.0, 20.0, 6.0, 1e-9) == pytest.approx(120.0, rel=1e-6)


def test_heat_to_melt_salt():
    # NIST-JANAF: NaCl from 298.15 K to the liquid at 1073.8 K takes 72.9 kJ/mol, 1.247 kJ/g; printed to 0.1 kJ/mol.
    assert heating_J_g("NaCl", 1073.8) == pytest.approx(1247, rel=0.002)


def test_radiation_of_an_open_bath():
    # epsilon 0.8 at 1023 K: 4.97 W/cm2 less the room's 0.04.
    assert radiation_W_cm2(1023.0) == pytest.approx(4.97 - 0.036, abs=0.01)


def test_small_cell_needs_a_furnace():
    assert "heated from outside" in heat_balance("MgCl2", 973.15, 10.0, 5.0, 0.8, 100.0).verdict
    assert "climb" in heat_balance("MgCl2", 973.15, 500.0, 8.0, 0.8, 50.0).verdict
    assert heat_balance("MgCl2", 973.15, 10.0, 5.0).open_W is None


def test_melting_a_charge_takes_what_its_salts_take():
    # 400 g of 20/40/40 mass% MgCl2-NaCl-KCl: salts alone from NIST-JANAF enthalpies; a tried case gave 395 kJ.
    found = melting_heat(from_amounts({"MgCl2": 20, "NaCl": 40, "KCl": 40}, "mass"), 400.0, 973.15, 1100.0)
    salts = 400 * sum(share * heating_J_g(f, 973.15) for f, share in (("MgCl2", 0.2), ("NaCl", 0.4), ("KCl", 0.4)))
    assert pytest.approx(salts, rel=1e-9) == found.J
    assert pytest.approx(395e3, rel=0.1) == found.J
    quick, slow = found.minutes
    assert found.J / 1100 / 60 < quick < slow


def test_melting_refuses_nonsense():
    with pytest.raises(InputError, match="mass of the charge"):
        melting_heat(from_amounts({"NaCl": 1}), 0.0, 1100.0)
    with pytest.raises(InputError, match="furnace power"):
        melting_heat(from_amounts({"NaCl": 1}), 10.0, 1100.0, -1.0)
    assert melting_heat(from_amounts({"NaCl": 1}), 10.0, 1100.0).minutes is None


def test_an_oxide_fed_cell_keeps_its_energy():
    """Power in = chemical energy out + heat made, by hand: I U = I eta E_tn + made; the verdict as for a halide."""
    reaction = oxide_reaction("Al2O3", "CO2", 1240.0)
    found = oxide_heat_balance(reaction, 26.0, 2.6, 0.9, 56.0)
    assert pytest.approx(26.0 * 0.9 * reaction.thermoneutral_V + found.made_W, rel=1e-12) == 26.0 * 2.6
    assert found.lid_W == pytest.approx((0.1 * found.open_W, 0.2 * found.open_W))
    assert "heated from outside" in found.verdict
    assert "climb" in oxide_heat_balance(reaction, 500.0, 4.5, 0.9, 50.0).verdict


@pytest.mark.parametrize(
    ("amounts", "symbol", "feed"),
    [({"NaF": 75, "AlF3": 25}, "Al", "Al2O3"), ({"LiF": 50, "NdF3": 50}, "Nd", "Nd2O3"),
     ({"MgF2": 33, "LiF": 67}, "Mg", "MgO"), ({"CaCl2": 1}, "Ca", "CaO")],
)  # fmt: skip
@pytest.mark.parametrize("anode", ["carbon", "inert"])
def test_every_oxide_fed_cell_has_its_heat(amounts, symbol, feed, anode):
    run = CellRun(10.0, 1.0, geometry=Geometry(20.0, 3.0), surface_cm2=50.0, feed=feed, anode=anode)
    found = describe_cell(from_amounts(amounts), symbol, 1320.0, run)
    volts = found.voltage.total_V.mid
    assert found.heat.thermoneutral_V > found.kind.E_V > 0
    assert found.heat.made_W == pytest.approx(10.0 * (volts - found.heat.thermoneutral_V), rel=1e-9)
    assert found.heat.feed_W > 0
