"""Weighing out: the balance closes whatever is in the bottles, carnallite, assay, cures, refusals, the command."""

import argparse
import itertools
import json

import pytest

from thermo.answers.weighing import (
    WATER_AH_G,
    melt_from_bottles,
    sludge,
    water_per_formula,
    weigh_out,
    weighed_as_dry,
)
from thermo.present.as_json.weigh import weigh_json
from thermo.present.command_line.weigh import add_arguments, parse_assays, parse_bottles, run, weigh_text
from thermo.records.composition import formula_mass, from_amounts
from thermo.records.hydrates import hydrates
from thermo.records.provenance import InputError
from thermo.records.substances import salts

BATH = from_amounts({"MgCl2": 20, "NaCl": 40, "KCl": 40}, "mass")


def partner(formula: str) -> str:
    return "KCl" if formula.endswith(("Cl", "Cl2", "Cl3")) else "LiF"


@pytest.mark.parametrize("label", [h.label for h in hydrates().values() if h.salt in salts()])
@pytest.mark.parametrize("assay", [None, 0.77, 0.013])
@pytest.mark.parametrize("total", [1e-3, 500.0, 1e6])
def test_mass_balance_closes(label, assay, total):
    formula = hydrates()[label].salt
    melt = from_amounts({formula: 20, partner(formula): 80})
    weighing = weigh_out(melt, total, {formula: label}, {} if assay is None else {formula: assay})
    assert sum(weighing.anhydrous_g.values()) == pytest.approx(total, rel=1e-12)
    inside = total + weighing.water_g + sum(weighing.driven_g.values()) + weighing.other_g
    assert sum(weighing.weigh_g.values()) == pytest.approx(inside, rel=1e-9)
    assert min(weighing.weigh_g.values()) > 0


@pytest.mark.parametrize("assays", [{}, {"KCl": 0.99}, {"CaCl2": 0.77}, {"KCl": 0.985, "CaCl2": 0.9}])
def test_bottles_give_back_the_melt(assays):
    melt = from_amounts({"KCl": 30, "CaCl2": 30, "NaCl": 40})
    for bottles in ({}, {"CaCl2": "CaCl2.2H2O"}, {"CaCl2": "CaCl2.6H2O"}):
        weighing = weigh_out(melt, 250, bottles, assays)
        labels = {"CaCl2": bottles.get("CaCl2", "CaCl2"), "KCl": "KCl"}
        back = melt_from_bottles(weighing.weigh_g, {labels[f]: a for f, a in assays.items()})
        assert back.mole_percent == pytest.approx(melt.mole_percent, rel=1e-12)


def test_rest_of_a_wet_flake_is_water_and_of_an_impure_salt_is_not():
    wet = weigh_out(from_amounts({"CaCl2": 1}), 77, {}, {"CaCl2": 0.77})
    assert wet.weigh_g["CaCl2"] == pytest.approx(100)
    assert wet.water_g == pytest.approx(23)
    assert wet.other_g == pytest.approx(0, abs=1e-9)
    impure = weigh_out(from_amounts({"NaCl": 1}), 99, {}, {"NaCl": 0.99})
    assert impure.water_g == 0
    assert impure.other_g == pytest.approx(1)
    hydrate = weigh_out(from_amounts({"CaCl2": 1}), 100, {"CaCl2": "CaCl2.2H2O"}, {"CaCl2.2H2O": 0.98})
    assert hydrate.other_g == pytest.approx(0.02 * hydrate.weigh_g["CaCl2.2H2O"])


def test_carnallite_brings_its_potassium_chloride():
    weighing = weigh_out(BATH, 200, {"MgCl2": "KMgCl3.6H2O"})
    moles = 40 / formula_mass("MgCl2")
    assert weighing.weigh_g["KMgCl3.6H2O"] == pytest.approx(moles * formula_mass("KMgCl3.6H2O"))
    assert weighing.weigh_g["KCl"] == pytest.approx(80 - moles * formula_mass("KCl"))
    assert weighing.anhydrous_g["KCl"] == pytest.approx(80)


def test_carnallite_alone_makes_an_equimolar_melt():
    weighing = weigh_out(from_amounts({"MgCl2": 50, "KCl": 50}), 100, {"MgCl2": "KMgCl3.6H2O"})
    assert weighing.weigh_g["KCl"] == pytest.approx(0, abs=1e-9)


def test_carnallite_that_brings_too_much_is_refused():
    with pytest.raises(InputError, match="at least as many moles of KCl"):
        weigh_out(from_amounts({"MgCl2": 60, "KCl": 40}), 100, {"MgCl2": "KMgCl3.6H2O"})
    with pytest.raises(InputError, match=r"has 0\.00"):
        weigh_out(from_amounts({"MgCl2": 60, "NaCl": 40}), 100, {"MgCl2": "KMgCl3.6H2O"})


def test_order_of_salts_changes_nothing():
    amounts = {"MgCl2": 20, "NaCl": 40, "KCl": 40}
    results = [
        weigh_out(from_amounts(dict(order)), 200, {"MgCl2": "KMgCl3.6H2O"}).weigh_g
        for order in itertools.permutations(amounts.items())
    ]
    assert all(dict(result) == pytest.approx(dict(results[0])) for result in results)


def test_cure_is_named_where_it_hydrolyses_and_only_there():
    magnesium = weigh_out(BATH, 200, {"MgCl2": "MgCl2.6H2O"})
    assert "hydrolyses instead of drying" in magnesium.cautions[0]
    assert "NH4Cl" in magnesium.reagents_g
    barium = weigh_out(from_amounts({"BaCl2": 1, "KCl": 1}), 100, {"BaCl2": "BaCl2.2H2O"})
    assert "dries by heat" in barium.cautions[0]
    assert not barium.reagents_g
    ammonium = weigh_out(BATH, 200, {"MgCl2": "NH4MgCl3.6H2O"})
    assert ammonium.driven_g["NH4Cl"] == pytest.approx(40 / formula_mass("MgCl2") * formula_mass("NH4Cl"))
    assert not ammonium.reagents_g


def test_charge_lost_to_water():
    weighing = weigh_out(BATH, 200, {"MgCl2": "MgCl2.6H2O"})
    assert weighing.water_charge_Ah == pytest.approx(weighing.water_g * WATER_AH_G)
    assert any("A h" in note for note in weighing.notes)


def test_sludge_keeps_the_metal_atoms():
    product, grams, left = sludge("NdCl3", 100.0, 0.1)
    assert product == "NdOCl"
    assert grams / formula_mass("NdOCl") + left / formula_mass("NdCl3") == pytest.approx(100 / formula_mass("NdCl3"))


def test_hydrate_weighed_as_dry_freezes_hotter():
    melt = from_amounts({"NaCl": 40, "CaCl2": 60}, "mass")
    slip = weighed_as_dry(weigh_out(melt, 100, {"CaCl2": "CaCl2.2H2O"}), {"CaCl2": "CaCl2.2H2O"})
    assert slip.composition.mole_percent["NaCl"] > melt.mole_percent["NaCl"]
    assert slip.liquidus_T_K > slip.intended_liquidus_T_K
    assert weighed_as_dry(weigh_out(melt, 100), {}) is None


@pytest.mark.parametrize(
    ("total", "bottles", "assays", "message"),
    [
        (0, {}, {}, "total 0 g"),
        (-5, {}, {}, "allowed is more than 0"),
        (float("nan"), {}, {}, "total nan"),
        (200, {"LiCl": "LiCl.H2O"}, {}, "LiCl is not in the mix"),
        (200, {"MgCl2": "CaCl2.2H2O"}, {}, "not of MgCl2"),
        (200, {"MgCl2": "MgCl2.7H2O"}, {}, "MgCl2.6H2O"),
        (200, {}, {"MgCl2": 1.01}, "assay of MgCl2 1.01"),
        (200, {}, {"MgCl2": 0}, "above 0"),
        (200, {}, {"MgCl2": -0.5}, "above 0"),
        (200, {}, {"CaCl2": 0.77}, "no bottle of that name"),
        (200, {"MgCl2": "MgCl2.6H2O"}, {"MgCl2": 0.9, "MgCl2.6H2O": 0.9}, "given twice"),
    ],
)
def test_refusals_are_one_clear_line(total, bottles, assays, message):
    with pytest.raises(InputError, match=message) as error:
        weigh_out(BATH, total, bottles, assays)
    assert "\n" not in str(error.value)


def test_other_refusals():
    with pytest.raises(InputError, match="loss on drying"):
        water_per_formula("CaCl2", 1.0)
    with pytest.raises(InputError, match="fraction hydrolysed"):
        sludge("MgCl2", 10, 1.2)
    with pytest.raises(InputError, match="RbCl"):
        sludge("RbCl", 10, 0.1)
    with pytest.raises(InputError, match="assay of KCl"):
        melt_from_bottles({"NaCl": 1}, {"KCl": 0.9})


@pytest.mark.parametrize("words", [["MgCl2"], ["MgCl2="], ["=MgCl2.6H2O"], ["MgCl2=a", "MgCl2=b"]])
def test_bottle_words(words):
    with pytest.raises(InputError, match="--from"):
        parse_bottles(words)


@pytest.mark.parametrize("words", [["CaCl2"], ["CaCl2=wet"], ["=0.7"], ["CaCl2=0.7", "CaCl2=0.8"]])
def test_assay_words(words):
    with pytest.raises(InputError, match="--assay"):
        parse_assays(words)


def test_dictionary_has_the_agreed_keys_and_survives_json():
    weighing = weigh_out(BATH, 200, {"MgCl2": "MgCl2.6H2O"})
    found = json.loads(json.dumps(weigh_json(weighing)))
    assert {"weigh_g", "anhydrous_g", "water_g", "cautions"} <= set(found)
    assert found["weigh_g"]["MgCl2.6H2O"] == pytest.approx(85.41, abs=0.01)
    inside = sum(found["anhydrous_g"].values()) + found["water_g"] + found["other_g"]
    assert abs(sum(found["weigh_g"].values()) - inside) < 1e-9
    assert "MgCl2.6H2O" in weigh_text(found)


def test_command_prints_one_object(capsys):
    parser = argparse.ArgumentParser()
    parser.add_argument("--json", action="store_true")
    add_arguments(parser)
    words = ["NaCl=42", "CaCl2=58", "--basis", "mass", "--total-g", "300", "--assay", "CaCl2=0.77", "--json"]
    assert run(parser.parse_args(words)) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["weigh_g"]["CaCl2"] == pytest.approx(174 / 0.77)
    with pytest.raises(InputError, match="--basis"):
        run(parser.parse_args([*words[:3], "volume", *words[4:]]))
