"""Cell voltage, supply and heat: the parts add up, and the worked figures come back."""

import pytest

from thermo.answers import power
from thermo.answers.power import Geometry, cell_voltage, current_from_supply, density_guidance, resistance_ohm
from thermo.laws.transport import Transport
from thermo.records.composition import from_amounts
from thermo.records.provenance import InputError

BATH = from_amounts({"MgCl2": 32, "KCl": 68})
PLATES = Geometry(20.0, 3.0)


def test_ohmic_drop_of_a_worked_cell(monkeypatch):
    # i d / kappa: 0.5 A/cm2 over 4 cm of a 2.0 S/cm melt, no bubbles: 1.0 V.
    monkeypatch.setattr(power, "BUBBLES", (1.0, 1.0, 1.0))
    resistance = resistance_ohm(Geometry(10.0, 4.0), Transport(2.0, 0.05, "measured", (), ()))
    assert 5.0 * resistance.mid == pytest.approx(1.0)
    assert resistance.low < resistance.mid < resistance.high


def test_parts_add_up():
    found = cell_voltage(BATH, 1000.0, "Mg", 2.8, 10.0, PLATES)
    for side in ("low", "mid", "high"):
        parts = (found.overvoltage_V, found.ohmic_V)
        assert getattr(found.total_V, side) == pytest.approx(2.8 + sum(getattr(p, side) for p in parts))
        with_leads = getattr(found.total_V, side) + getattr(found.leads_V, side)
        assert getattr(found.supply_V, side) == pytest.approx(with_leads)
    assert found.cathode_A_cm2 == pytest.approx(0.5)


def test_anode_defaults_to_the_cathode_and_area_is_the_mean():
    kappa = Transport(2.0, 0.05, "measured", (), ())
    assert Geometry(20.0, 3.0).check().anode_cm2 == 20.0  # both electrodes alike
    equal, wide = resistance_ohm(Geometry(20.0, 3.0), kappa), resistance_ohm(Geometry(20.0, 3.0, 60.0), kappa)
    assert wide.mid == pytest.approx(equal.mid / 2)


def test_supply_and_voltage_are_inverse():
    found = cell_voltage(BATH, 1000.0, "Mg", 2.8, 10.0, PLATES)
    assert current_from_supply(BATH, 1000.0, 2.8, found.supply_V.mid, PLATES).mid == pytest.approx(10.0)


def test_supply_too_weak():
    with pytest.raises(InputError, match=r"allowed is above 2\.90 V"):
        current_from_supply(BATH, 1000.0, 2.8, 2.9, PLATES)


def test_a_supply_gives_no_more_amps_than_it_can():
    free = current_from_supply(BATH, 1000.0, 2.8, 30.0, PLATES)
    held = current_from_supply(BATH, 1000.0, 2.8, 30.0, PLATES, 40.0)
    assert free.mid > 40.0
    assert (held.low, held.mid, held.high) == (40.0, 40.0, 40.0)


def test_a_contact_cathode_spreads_its_current_from_a_disc():
    """1 / (4 kappa a): a disc of 1 cm radius on 2 S/cm has 0.125 ohm (constriction of a half-space)."""
    kappa = Transport(2.0, 0.0, "measured", (), ())
    area = 3.14159265 * 1.0**2
    found = resistance_ohm(Geometry(area, 5.0, 50.0, "contact"), kappa)
    assert found.mid / power.BUBBLES[1] == pytest.approx(0.125, rel=1e-6)


def test_carbon_that_burns_costs_more_overvoltage():
    plain, fed = power.overvoltage_V(), power.overvoltage_V(True)
    assert 0.4 <= fed.mid - plain.mid <= 0.6


def test_guidance_is_that_of_the_cathode():
    """Contact cathodes of calcium ran at 30 to 60 A/cm2 (Zaikov 2014), pools of tin at 0.2 to 0.5."""
    assert "30 to 60" in density_guidance("Ca", "Cl", 45.0, 3.0, "contact")[0]
    assert "0.2 to 0.5" in density_guidance("Ca", "Cl", 0.3, 0.5, "pool")[0]
    assert "30 to 60" not in density_guidance("Ca", "Cl", 0.3, 0.5, "rod")[0]
    with pytest.raises(InputError, match="cathode 'mesh'"):
        Geometry(1.0, 1.0, None, "mesh").check()


def test_guidance_is_marked_common_practice():
    notes = density_guidance("Mg", "Cl", 0.5, 3.0)
    assert notes[0].startswith("cathode 0.5 A/cm2: within")
    assert "above" in notes[1]
    assert "anode effect" in notes[2]
    assert all("common practice" in note for note in notes)
    assert density_guidance("Sr", "Cl", 0.5, 0.1) == [
        "no usual current density known for Sr from chlorides on a rod cathode"
    ]


@pytest.mark.parametrize("geometry", [Geometry(0.0, 3.0), Geometry(20.0, -1.0), Geometry(20.0, 3.0, 0.0)])
def test_geometry_refused(geometry):
    with pytest.raises(InputError, match="allowed is any number above zero"):
        cell_voltage(BATH, 1000.0, "Mg", 2.8, 10.0, geometry)
