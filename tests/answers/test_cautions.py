"""Which cautions go with which melt and metal."""

import pytest

from thermo.answers.cautions import CLOSING, WET, cautions, dangers
from thermo.laws.oxide_stability import exchange
from thermo.records.attack import fires
from thermo.records.composition import from_amounts
from thermo.records.provenance import DATA
from thermo.records.substances import metals
from thermo.records.units import kelvin


def lines(amounts, symbol=None):
    return cautions(from_amounts(amounts), symbol)


def test_every_answer_warns_of_wet_salt_and_ends_with_local_codes():
    for amounts in ({"NaCl": 1}, {"LiF": 1, "NdF3": 1}):
        found = lines(amounts)
        assert WET in found
        assert found[-1] == CLOSING
    assert "local codes and licensed practice decide" in CLOSING


def test_the_anode_gas_follows_the_anion():
    assert "chlorine" in lines({"KCl": 1})[0]
    assert "gluconate" not in " ".join(lines({"KCl": 1}))
    fluoride = " ".join(lines({"NaF": 1}))
    assert "hydrogen fluoride" in fluoride
    assert "alcium gluconate" in fluoride


def test_wet_chlorides_that_hydrolyse_are_named_and_absent_ones_are_not():
    assert any(line.startswith("MgCl2, CaCl2 heated wet") for line in lines({"MgCl2": 1, "CaCl2": 1}))
    assert not any("heated wet" in line for line in lines({"NaCl": 1, "KCl": 1, "MgCl2": 0}))


def test_barium_is_a_poison():
    assert any("barium" in line for line in lines({"BaCl2": 1, "NaCl": 1}))
    assert not any("barium" in line for line in lines({"CaCl2": 1, "NaCl": 1}))


@pytest.mark.parametrize("symbol", sorted(metals()))
def test_every_metal_has_its_fire(symbol):
    found = [line for line in lines({"NaCl": 1}, symbol) if symbol in line]
    assert found
    assert any("water" in line for line in found)


def named(amounts, symbol=None):
    return "; ".join(dangers(from_amounts(amounts), symbol))


def test_the_line_of_dangers_names_what_the_cautions_are_about():
    """Nothing that has a caution of its own is missing from the line that is read first, and nothing else is in it."""
    for word, salts in {
        "chlorine gas": {"KCl": 1},
        "hydrogen fluoride": {"LiF": 1},
        "barium": {"BaF2": 1},
        "zinc chloride fume": {"ZnCl2": 1},
        "hydrogen chloride": {"CaCl2": 1},
    }.items():
        assert word in named(salts)
        assert word not in named({"SrF2": 1} if "Cl" in next(iter(salts)) else {"SrCl2": 1})
    assert "wet salt" in named({"NaF": 1})
    assert "lead" in named({"NaCl": 1}, "Pb")
    assert "lead" not in named({"NaCl": 1}, "Zn")


@pytest.mark.parametrize("symbol", sorted(metals()))
def test_the_line_of_dangers_forbids_sand_where_the_fire_does(symbol):
    line = named({"NaCl": 1}, symbol)
    assert "no water" in line
    assert ("no sand" in line) == ("sand" in fires()[symbol].never)


SAND = ("Li", "Mg", "Ca", "Sr", "Ba", "La", "Ce", "Nd")


@pytest.mark.parametrize("symbol", SAND)
def test_no_sand_and_no_nitrogen_where_the_metal_takes_oxygen_and_nitrogen(symbol):
    fire = fires()[symbol]
    assert "sand" in fire.never
    assert "nitrogen" in fire.never
    assert "sand" not in fire.put_out_with
    found = " ".join(lines({"NaCl": 1}, symbol))
    assert "never with nitrogen" in found


@pytest.mark.parametrize("symbol", sorted(metals()))
def test_whoever_reduces_silica_gets_no_sand(symbol):
    """Silica is sand: the Gibbs energies of the oxides (NIST-JANAF) decide, not a list."""
    found = exchange(symbol, "SiO2", kelvin(900))
    if found is not None and found.verdict in ("reduces", "likely reduces"):
        assert "sand" in fires()[symbol].never
        assert not any("dry sand" in line for line in lines({"NaCl": 1}, symbol))


def test_the_table_of_fires_has_every_metal_and_the_readme_says_the_same():
    assert set(fires()) == set(metals())
    readme = (DATA.parent / "README.md").read_text(encoding="utf-8")
    assert "dry sand" not in readme
    assert "No water, sand, carbon dioxide, nitrogen, halon or foam" in readme
