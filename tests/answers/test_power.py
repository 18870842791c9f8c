"""Cell voltage, supply and heat: the parts add up, and the worked figures come back."""

import pytest

from thermo.answers import power
from thermo.answers.power import (
    Geometry,
    cell_voltage,
    current_from_supply,
    density_guidance,
    heat_balance,
    heat_made_W,
    heating_J_g,
    radiation_W_cm2,
    resistance_ohm,
)
from thermo.laws.transport import Transport
from thermo.records.composition import from_amounts
from thermo.records.provenance import InputError

BATH = from_amounts({"MgCl2": 32, "KCl": 68})
PLATES = Geometry(20.0, 3.0)


def test_ohmic_drop_of_a_worked_cell(monkeypatch):
    # i d / kappa: 0.5 A/cm2 over 4 cm of a 2.0 S/cm melt, no bubbles: 1.0 V.
    monkeypatch.setattr(power, "BUBBLES", (1.0, 1.0))
    resistance = resistance_ohm(Geometry(10.0, 4.0), Transport(2.0, 0.05, "measured", (), ()))
    assert 5.0 * resistance.mid == pytest.approx(1.0)
    assert resistance.low < resistance.mid < resistance.high


def test_parts_add_up():
    found = cell_voltage(BATH, 1000.0, "Mg", 2.8, 10.0, PLATES)
    for side in ("low", "mid", "high"):
        parts = (found.overvoltage_V, found.ohmic_V, found.leads_V)
        assert getattr(found.total_V, side) == pytest.approx(2.8 + sum(getattr(p, side) for p in parts))
    assert found.cathode_A_cm2 == pytest.approx(0.5)


def test_anode_defaults_to_the_cathode_and_area_is_the_mean():
    kappa = Transport(2.0, 0.05, "measured", (), ())
    assert Geometry(20.0, 3.0).check() == (20.0, 20.0, 3.0)  # both electrodes alike
    equal, wide = resistance_ohm(Geometry(20.0, 3.0), kappa), resistance_ohm(Geometry(20.0, 3.0, 60.0), kappa)
    assert wide.mid == pytest.approx(equal.mid / 2)


def test_supply_and_voltage_are_inverse():
    found = cell_voltage(BATH, 1000.0, "Mg", 2.8, 10.0, PLATES)
    assert current_from_supply(BATH, 1000.0, 2.8, found.total_V.mid, PLATES).mid == pytest.approx(10.0)


def test_supply_too_weak():
    with pytest.raises(InputError, match=r"allowed is above 3\.00 V"):
        current_from_supply(BATH, 1000.0, 2.8, 2.9, PLATES)


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


def test_guidance_is_marked_common_practice():
    notes = density_guidance("Mg", "Cl", 0.5, 3.0)
    assert notes[0].startswith("cathode 0.5 A/cm2: within")
    assert "above" in notes[1]
    assert "anode effect" in notes[2]
    assert all("common practice" in note for note in notes)
    assert density_guidance("Sr", "Cl", 0.5, 0.1) == ["no usual current density known for Sr from chlorides"]


@pytest.mark.parametrize("geometry", [Geometry(0.0, 3.0), Geometry(20.0, -1.0), Geometry(20.0, 3.0, 0.0)])
def test_geometry_refused(geometry):
    with pytest.raises(InputError, match="allowed is any number above zero"):
        cell_voltage(BATH, 1000.0, "Mg", 2.8, 10.0, geometry)
