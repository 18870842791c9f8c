"""What the kind of a cell changes: cathode, host, feed, limits, hours for grams, volts of a supply."""

import pytest

from thermo.answers.cell import CellRun, describe_cell, hours_for
from thermo.answers.power import Geometry
from thermo.laws.faraday import metal_g
from thermo.present.as_json.cell import cell_json
from thermo.records.composition import from_amounts
from thermo.records.provenance import InputError
from thermo.records.units import kelvin

MAGNESIUM = from_amounts({"MgCl2": 20, "NaCl": 40, "KCl": 40}, "mass")
PLATES = Geometry(20.0, 3.0)


def run(**words):
    return describe_cell(MAGNESIUM, "Mg", kelvin(700), CellRun(10.0, 2.0, **words))


def test_hours_for_grams_is_faraday_backwards():
    assert metal_g("Mg", 10.0 * hours_for("Mg", 25.0, 10.0, 0.9), 0.9) == pytest.approx(25.0, rel=1e-12)
    with pytest.raises(InputError, match="metal wanted"):
        hours_for("Mg", 0.0, 10.0)


def test_a_supply_is_not_a_cell():
    """30 V typed as the cell's own is the setting of a supply: heat is counted at the electrodes' volts."""
    typed, plain = run(volts=30.0, geometry=PLATES, surface_cm2=80.0), run(geometry=PLATES, surface_cm2=80.0)
    assert any("setting of a supply" in note for note in typed.notes)
    assert typed.heat.made_W == pytest.approx(plain.heat.made_W)
    supplied = run(geometry=PLATES, supply_V=12.0, supply_A=40.0)
    assert supplied.supply_A.high <= 40.0


def test_contract_keys():
    found = cell_json(run(geometry=PLATES, bath_g=400.0, furnace_W=1100.0, cathode="pool", cathode_metal="Pb"))
    assert {"low", "middle", "high"} == set(found["terminal_V"])
    assert {"low", "high", "source"} <= set(found["efficiency_printed"] or {"low", "high", "source"})
    assert {"low", "high"} == set(found["limiting_A_cm2"])
    assert found["melting"]["heat_kJ"] > 300
    assert found["joins"] == "Na"
    fed = cell_json(describe_cell(from_amounts({"NaF": 75, "AlF3": 25}), "Al", kelvin(1030),
                                  CellRun(5.0, 1.0, feed="Al2O3", anode="inert")))  # fmt: skip
    assert fed["reaction"] == "Al2O3 -> 2 Al + 1.5 O2"
    assert fed["gas"]["formula"] == "O2"
    assert fed["gas"]["L_25C_1atm"] == pytest.approx(0.2282 * 5, rel=1e-3)
    assert fed["drift"] is None
    assert fed["halogen"]["g"] == 0.0


def test_a_host_takes_the_metal_and_lowers_the_volts_where_published():
    melt = from_amounts({"CaCl2": 80, "KCl": 20})
    plain = describe_cell(melt, "Ca", kelvin(700), CellRun(5.0, 1.0)).kind
    onto = describe_cell(melt, "Ca", kelvin(700), CellRun(5.0, 1.0, cathode="pool", cathode_metal="Bi", alloy_x=0.4))
    assert pytest.approx(0.77, abs=1e-9) == plain.E_V - onto.kind.E_V
    assert onto.drops is None
    assert "taken up by the bismuth" in onto.deposit
    assert any("lies under the bath" in note for note in onto.notes)


def test_solid_copper_drips_off_as_alloy():
    melt = from_amounts({"MgF2": 50, "LiF": 40, "KF": 10})
    notes = describe_cell(melt, "Mg", kelvin(770), CellRun(1.0, 1.0, cathode="pool", cathode_metal="Cu")).notes
    assert any("drips off as alloy" in note for note in notes)


def test_fluorides_have_no_limiting_current_and_a_pure_salt_none():
    assert (
        describe_cell(from_amounts({"NaF": 75, "AlF3": 25}), "Al", kelvin(1030), CellRun(5.0, 1.0)).kind.limiting
        is None
    )
    assert describe_cell(from_amounts({"NaCl": 1}), "Na", kelvin(820), CellRun(5.0, 1.0)).kind.limiting is None


@pytest.mark.parametrize(
    "words",
    [{"cathode": "mesh"}, {"cathode_metal": "Hg"}, {"feed": "Al2O3"}, {"feed": "MgO", "anode": "steel"},
     {"cathode_metal": "Sn", "alloy_x": 1.5}],
)  # fmt: skip
def test_refusals(words):
    with pytest.raises(InputError, match=r"allowed|did you mean"):
        run(**words)
