"""Cells that were run and printed, against the program's answers for them (data/published_cells.csv)."""

import pytest

from thermo.answers.bath_vapour import temperature_of_vapour
from thermo.answers.cell import CellRun, describe_cell
from thermo.answers.deposition import deposition_order
from thermo.answers.power import Geometry, cell_voltage
from thermo.answers.window import operating_window
from thermo.laws.density import melt_density
from thermo.laws.limiting_current import limiting_current
from thermo.records.cell_practice import published_cells
from thermo.records.composition import from_amounts, parse_amounts
from thermo.records.provenance import read_table
from thermo.records.units import celsius, kelvin

FLAT = [cell for cell in published_cells() if cell.cell_V and cell.gap_cm]
EFFICIENT = [cell for cell in published_cells() if cell.efficiency and cell.bath]


def bath(cell):
    return from_amounts(parse_amounts(cell.bath.split()), cell.basis)


@pytest.mark.parametrize("cell", FLAT, ids=lambda cell: cell.name)
def test_terminal_volts_of_flat_plate_cells(cell):
    """Inside the printed range, its middle within 0.3 V: overvoltage and bubbles were read from these very cells."""
    melt, (current, _) = bath(cell), cell.current_A_cm2
    E_V = deposition_order(melt, cell.T_K, cell.metal).couple(cell.metal).E_V
    found = cell_voltage(melt, cell.T_K, cell.metal, E_V, 20 * current, Geometry(20.0, cell.gap_cm)).total_V
    low, high = cell.cell_V
    assert len(FLAT) == 4
    assert found.low <= high
    assert low <= found.high
    assert found.mid == pytest.approx((low + high) / 2, abs=0.3)


@pytest.mark.parametrize("diameter_cm", [1.6, 2.4, 3.2])
def test_contact_cathode_of_calcium(diameter_cm):
    """Zaikov 2014: 25 to 30 V at 30 to 60 A/cm2; within a factor of 1.5 for rods of these diameters (not printed)."""
    melt, area = from_amounts({"CaCl2": 1}), 3.14159 * diameter_cm**2 / 4
    E_V = deposition_order(melt, kelvin(800), "Ca").couple("Ca").E_V
    shape = Geometry(area, 5.0, 20 * area, "contact")
    found = cell_voltage(melt, kelvin(800), "Ca", E_V, 45 * area, shape).total_V.mid
    assert 25 / 1.5 < found < 30 * 1.5


@pytest.mark.parametrize("cell", EFFICIENT, ids=lambda cell: cell.name)
def test_efficiency_of_such_a_cell_is_the_printed_one(cell):
    run = CellRun(5.0, 1.0, cathode=cell.cathode, cathode_metal=cell.cathode_metal or None,
                  feed=cell.feed if cell.feed not in ("", "LiOH") else None)  # fmt: skip
    kind = describe_cell(bath(cell), cell.metal, cell.T_K, run).kind
    assert kind.printed is not None
    low, high = kind.printed.efficiency
    like = [c.efficiency for c in EFFICIENT
            if (c.metal, c.cathode, c.cathode_metal) == (cell.metal, cell.cathode, cell.cathode_metal)]  # fmt: skip
    assert (low, high) in like
    assert 0.3 < low <= high <= 1.0
    assert (kind.printed.cathode, kind.printed.cathode_metal) == (cell.cathode, cell.cathode_metal)


def test_neodymium_from_oxide_gives_carbon_oxides_and_not_fluorine():
    """LiF-NdF3-BaF2 with Nd2O3 at 1045 deg C on carbon, 73.6 %: CO and CO2, oxide volts far below the fluoride's."""
    melt = from_amounts({"LiF": 7.5, "NdF3": 67.4, "BaF2": 25.1}, "mass")
    found = describe_cell(melt, "Nd", kelvin(1045), CellRun(36.0, 1.0, feed="Nd2O3"))
    assert found.halogen.L == 0.0
    assert [r.gas for r in found.kind.feed.reactions] == ["CO2", "CO"]
    assert found.kind.E_V < 1.6
    assert found.kind.feed.halide_V > 4.0
    assert found.kind.printed.efficiency == pytest.approx((0.736, 0.736))


def test_alumina_cell_gives_carbon_dioxide():
    melt = from_amounts({"NaF": 75, "AlF3": 25})
    found = describe_cell(melt, "Al", kelvin(960), CellRun(10.0, 1.0, feed="Al2O3", cathode="pool"))
    assert found.kind.feed.main.gas == "CO2"
    assert pytest.approx(1.19, abs=0.03) == found.kind.E_V


def test_magnesium_oxide_into_tin_runs_below_the_volts_applied():
    """Lee et al. 2021 applied 2.5 V to MgO in MgF2-LiF at 1053 K; the oxide takes less, the fluoride more."""
    melt = from_amounts({"MgF2": 33, "LiF": 67})
    found = describe_cell(melt, "Mg", 1053.0, CellRun(1.0, 1.0, feed="MgO", cathode="pool", cathode_metal="Sn"))
    assert found.kind.E_V < 2.5 < found.kind.feed.halide_V
    assert found.kind.printed.efficiency == pytest.approx((0.866, 0.866))


def test_calcium_on_tin_is_over_ninety_percent_and_its_volts_are_not_guessed():
    """Bureau of Mines RI 9315: over 90 % at 650 deg C."""
    found = describe_cell(from_amounts({"CaCl2": 1, "KCl": 1}), "Ca", kelvin(750),
                          CellRun(5.0, 1.0, cathode="pool", cathode_metal="Sn"))  # fmt: skip
    assert found.kind.printed.efficiency == pytest.approx((0.9, 1.0))
    assert found.kind.shift.value_V is None
    assert found.kind.E_V == found.order.couple("Ca").E_V


@pytest.mark.parametrize("row", read_table("joining_currents.csv"), ids=lambda row: row["bath"])
def test_strontium_joins_magnesium_within_a_factor_of_two(row):
    """Sun, Lu & Fan 2014: 0.71, 1.57, 2.83 A/cm2. The stirred rate was read from these three; D is another's."""
    melt = from_amounts(parse_amounts(row["bath"].split()), row["basis"])
    share = melt.mole_percent["MgCl2"] / 100
    concentration = share * melt_density(melt, kelvin(700)).value_g_cm3 / melt.mean_formula_mass
    found = limiting_current("Mg", kelvin(700), concentration)
    assert 0.5 < found.high_A_cm2 / float(row["current_A_cm2"]) < 2.0
    assert found.low_A_cm2 < float(row["current_A_cm2"])


def test_zinc_in_potassium_lithium_chloride_has_its_window_at_500():
    """RI 8133 ran KCl-LiCl-ZnCl2 at 500 deg C because other salts stop the fuming."""
    melt = from_amounts({"ZnCl2": 20, "LiCl": 40, "KCl": 40})
    window = operating_window(melt, kelvin(400), 10.0, "Zn", "liquid")
    assert window.exists
    assert window.low_K < kelvin(500) < window.high_K
    assert celsius(temperature_of_vapour(melt, 1000.0)) > 600
