"""Drying as a schedule: water and ammonium chloride add up, each salt family by its own way."""

import pytest

from thermo.answers.drying_schedule import MOLAR_L, drying_schedule
from thermo.answers.weighing import weigh_out
from thermo.present.as_json.weigh import weigh_json
from thermo.present.command_line.weigh import weigh_text
from thermo.records.composition import formula_mass, from_amounts
from thermo.records.hydrates import hydrates
from thermo.records.practice_steps import drying_rows, harvests
from thermo.records.provenance import sources
from thermo.records.substances import metals, salts


def scheduled(amounts, total_g, bottles=None, assays=None, basis="mass"):
    weighing = weigh_out(from_amounts(amounts, basis), total_g, bottles, assays)
    return weighing, drying_schedule(weighing, bottles)


def test_magnesium_chloride_gets_both_doses_of_ammonium_chloride():
    """Front. Chem. China 1 (2006) 384: 1 mol NH4Cl, 160 deg C 4 h; then 1 to 4 by mass with NH4Cl, 410 deg C."""
    bottles = {"MgCl2": "MgCl2.6H2O"}
    _, found = scheduled({"MgCl2": 20, "NaCl": 40, "KCl": 40}, 200, bottles)
    first, second = [step for step in found.steps if step.salt == "MgCl2"]
    moles = 40 / formula_mass("MgCl2")
    assert first.nh4cl_g == pytest.approx(22.47, abs=0.01)  # the published worked figure: 22.47 g for 40 g MgCl2
    assert second.nh4cl_g == pytest.approx(4 * moles * (formula_mass("MgCl2") + formula_mass("NH4Cl")), rel=1e-9)
    assert (round(first.T_K - 273.15), first.hours) == (160, 4.0)
    assert round(second.T_K - 273.15) == 410
    assert first.grams == pytest.approx(85.41, abs=0.01)
    assert found.total("nh4cl_g") == pytest.approx(first.nh4cl_g + second.nh4cl_g)
    assert found.total("HCl_L") == pytest.approx(found.total("nh4cl_g") / formula_mass("NH4Cl") * MOLAR_L, rel=1e-9)


@pytest.mark.parametrize(
    ("amounts", "bottles", "assays"),
    [
        ({"MgCl2": 20, "NaCl": 40, "KCl": 40}, {"MgCl2": "MgCl2.6H2O"}, {}),
        ({"MgCl2": 25, "KCl": 25, "NaCl": 50}, {"MgCl2": "KMgCl3.6H2O"}, {}),
        ({"NaCl": 42, "CaCl2": 58}, {"CaCl2": "CaCl2.6H2O"}, {}),
        ({"NaCl": 42, "CaCl2": 58}, {}, {"CaCl2": 0.77}),
        ({"SrCl2": 80, "KCl": 20}, {"SrCl2": "SrCl2.6H2O"}, {}),
        ({"LiCl": 45, "KCl": 55}, {"LiCl": "LiCl.H2O"}, {}),
        ({"NdCl3": 20, "NaCl": 40, "KCl": 40}, {"NdCl3": "NdCl3.6H2O"}, {}),
        ({"BaCl2": 50, "NaCl": 50}, {"BaCl2": "BaCl2.2H2O"}, {}),
        ({"KF": 50, "LiF": 50}, {"KF": "KF.2H2O"}, {}),
    ],
)
def test_all_the_water_of_the_bottles_leaves_and_is_counted_once(amounts, bottles, assays):
    weighing, found = scheduled(amounts, 300, bottles, assays)
    assert weighing.water_g > 0
    assert found.total("water_g") == pytest.approx(weighing.water_g, rel=1e-9)
    assert found.total("steam_L") == pytest.approx(weighing.water_g / formula_mass("H2O") * MOLAR_L, rel=1e-9)
    assert found.unknown == ()


def test_litres_are_those_of_the_gas_law():
    """24.465 L a mole at 25 deg C and 1 atm."""
    assert pytest.approx(24.465, abs=0.001) == MOLAR_L


@pytest.mark.parametrize("formula", sorted(set(salts()) - {"ZnCl2", "AlF3"}))
def test_every_salt_has_a_way_of_drying(formula):
    _, found = scheduled({formula: 1}, 100)
    assert found.unknown == ()
    assert all(step.until and step.do and step.hours > 0 for step in found.steps)


@pytest.mark.parametrize("label", [h.label for h in hydrates().values() if h.common and h.salt in salts()])
def test_every_common_bottle_has_steps_that_end_dry_and_rise(label):
    rows = drying_rows()[label]
    assert rows[-1].water_left_mol == 0.0
    assert [row.T_K for row in rows] == sorted(row.T_K for row in rows)
    assert [row.step for row in rows] == list(range(1, len(rows) + 1))
    assert {row.source for row in rows} <= set(sources())


def test_families_dry_by_their_own_chemistry():
    assert "vacuum" in drying_rows()["LiCl"][0].cover
    assert drying_rows()["NdCl3.6H2O"][0].nh4cl_mol_per_mol == 6
    assert drying_rows()["SrCl2.6H2O"][0].nh4cl_mol_per_mol == 0
    assert "hydrogen fluoride" in drying_rows()["AlF3"][0].do
    assert drying_rows()["NdF3"][0].hours == 24  # Metals 10 (2020) 576: 24 h at 523 K


def test_every_metal_has_its_harvest_and_what_water_kills_is_not_washed():
    assert set(harvests()) == set(metals())
    for way in harvests().values():
        assert way.store
        assert way.never
        assert way.source in sources()
        if way.water == "no":
            assert "rinse in water" not in way.wash
            assert "water" in way.never
    assert "floats on oil" in harvests()["Li"].store
    assert harvests()["Mg"].water == "cold and brief"


def test_the_weigh_out_lists_both_doses():
    bottles = {"MgCl2": "MgCl2.6H2O"}
    weighing, found = scheduled({"MgCl2": 20, "NaCl": 40, "KCl": 40}, 200, bottles)
    answer = weigh_json(weighing, None, found)
    doses = [step["nh4cl_g"] for step in answer["drying"] if step["bottle"] == "MgCl2.6H2O"]
    assert doses == pytest.approx([22.473, 249.893], abs=0.001)
    text = weigh_text(answer)
    assert "22.47" in text
    assert "249.89" in text
