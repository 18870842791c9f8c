"""What dissolves of a fluoride: at its own saturation it freezes there, published eutectics, bands, melts without."""

import json

import pytest

from thermo.answers.dissolves import dissolves
from thermo.equilibrium.freezing.liquidus import liquidus
from thermo.present.command_line.main import main
from thermo.present.words.dissolved import dissolved_words
from thermo.records.composition import from_amounts
from thermo.records.units import kelvin


@pytest.mark.parametrize(
    ("amounts", "t_C"),
    [
        ({"MgCl2": 20, "NaCl": 40, "KCl": 38, "CaF2": 2}, 700),
        ({"MgCl2": 20, "NaCl": 40, "KCl": 38, "MgF2": 2}, 700),
        ({"NaCl": 70, "KCl": 28, "CaF2": 2}, 750),
    ],
)
def test_a_bath_with_as_much_as_dissolves_starts_to_freeze_there(amounts, t_C):
    """0.3 K is what the interpolation between two of 400 points may leave."""
    (found,) = dissolves(from_amounts(amounts, basis="mass"), kelvin(t_C))
    rest = {f: amount for f, amount in amounts.items() if f != found.salt}
    part = found.mass_percent
    scale = (100 - part) / sum(rest.values())
    full = from_amounts({f: scale * amount for f, amount in rest.items()} | {found.salt: part}, basis="mass")
    start = liquidus(full)
    assert pytest.approx(kelvin(t_C), abs=0.3) == start.T_K
    assert start.first_solid == found.solid
    assert found.low_mass_percent < part < found.high_mass_percent
    assert found.in_the_bath_mass_percent == pytest.approx(amounts[found.salt])


def test_at_a_published_eutectic_what_is_printed_lies_in_the_band():
    """CaF2 in NaCl, 4.5 mol% (5.9 mass%) at 779.5: Malinovsky & Gregorcokova 1974 (checked)."""
    (found,) = dissolves(from_amounts({"NaCl": 95.5, "CaF2": 4.5}), kelvin(779.5))
    assert found.low_mass_percent < 5.92 < found.high_mass_percent
    assert found.sigma_mass_percent == pytest.approx((found.high_mass_percent - found.low_mass_percent) / 2)


def test_above_its_melting_point_any_amount_dissolves():
    """NaF melts at 996 deg C."""
    (found,) = dissolves(from_amounts({"NaF": 1, "NaCl": 1}), kelvin(1050.0))
    assert found.mass_percent is None
    assert found.solid is None
    assert found.sigma_mass_percent is None


def test_a_bath_saturated_with_one_fluoride_takes_none_of_the_other():
    """NaCl with 20 mol% MgF2 at 800 deg C holds solid MgF2 whatever else is added of it."""
    found = {one.salt: one for one in dissolves(from_amounts({"NaCl": 80, "MgF2": 20, "NaF": 1}), kelvin(800.0))}
    assert found["NaF"].mass_percent == 0.0
    assert found["MgF2"].mass_percent > 0


def test_one_anion_has_nothing_to_say():
    assert dissolves(from_amounts({"NaCl": 1, "CaCl2": 1}), 1000.0) == ()
    assert dissolves(from_amounts({"LiF": 1, "NaF": 1}), 1000.0) == ()


def test_the_command_tells_it(capsys):
    words = ["melt", "MgCl2=20", "NaCl=40", "KCl=38", "CaF2=2", "--basis", "mass", "--at", "700"]
    assert main([*words, "--json"]) == 0
    (row,) = json.loads(capsys.readouterr().out)["dissolves"]
    assert (row["salt"], row["solid"], row["T_C"]) == ("CaF2", "MgF2", 700.0)
    assert row["mass_percent"] > 2.0 > 0 < row["sigma_mass_percent"]
    assert main(words) == 0
    assert dissolved_words(row) in capsys.readouterr().out
    assert main(["melt", "NaCl=48", "CaCl2=52", "--json"]) == 0
    assert "dissolves" not in json.loads(capsys.readouterr().out)


def test_words_for_every_case():
    row = {"salt": "NaF", "solid": "NaF", "T_C": 800.0, "mass_percent": 3.0, "low_mass_percent": 2.0,
           "high_mass_percent": None, "in_the_bath_mass_percent": 1.0}  # fmt: skip
    assert dissolved_words(row).startswith("3.0 mass% of NaF (2.0 to no end) at 800 deg C")
    assert dissolved_words(row | {"mass_percent": None}).startswith("any amount of NaF")
    assert dissolved_words(row | {"mass_percent": 0.0}).startswith("no NaF at 800 deg C: NaF comes out without it")
