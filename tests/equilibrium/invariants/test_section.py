"""Sections of two anions: stable pairs against textbooks' direction of exchange, fields, the lowest point, refusals."""

import json

import pytest

from thermo.equilibrium.freezing.liquidus import liquidus
from thermo.equilibrium.invariants.section import is_section, section
from thermo.present.command_line.main import main
from thermo.records.composition import from_amounts
from thermo.records.provenance import InputError
from thermo.records.units import celsius


@pytest.mark.parametrize(
    ("a", "b", "stable"),
    [
        # Gabcova et al. 1976 (checked): LiF with KCl and with NaCl are the stable diagonals
        ("LiF", "KCl", True),
        ("LiF", "NaCl", True),
        ("LiCl", "KF", False),
        # formation energies of NIST-JANAF, 298 K, kJ: MgF2 + CaCl2 -1071 - 748, CaF2 + MgCl2 -1175 - 592
        ("CaCl2", "MgF2", True),
        # and MgF2 + 2 NaCl -1071 - 768, MgCl2 + 2 NaF -592 - 1092
        ("NaCl", "MgF2", True),
        ("MgCl2", "NaF", False),
        # Bukhalova & Bergman 1949 (checked): LiCl-CaF2 is the stable diagonal
        ("LiCl", "CaF2", True),
        # Platonov 1946 (checked): NaF with KCl
        ("NaF", "KCl", True),
    ],
)
def test_which_pair_is_stable(a, b, stable):
    found = section(a, b)
    assert found.stable is stable
    assert set(found.stable_pair) & {a, b} in ({a, b}, set())
    assert ("turn into" in found.note) is not stable


def test_fields_cover_the_section_and_name_what_freezes_first():
    found = section("LiF", "KCl")
    assert [field.solid for field in found.fields] == ["LiF", "KCl"]
    assert (found.fields[0].low, found.fields[-1].high) == (0.0, 1.0)
    edge = 0.5 * (found.fields[0].high + found.fields[1].low)
    assert edge == pytest.approx(found.lowest.fractions[1], abs=0.002)
    for percent in (20, 90):
        first = liquidus(from_amounts({"LiF": 100 - percent, "KCl": percent})).first_solid
        assert first == next(f.solid for f in found.fields if f.low <= percent / 100 <= f.high)


def test_the_published_melts_of_the_section_are_compared():
    """Nine liquidus points and two eutectics (ORNL-3293, Gabcova 1976, Peschl 1978): 25 K is what they are met to."""
    found = section("LiF", "KCl")
    assert found.points == 11
    assert found.rms_K < 25
    assert celsius(found.lowest.T_K) == pytest.approx(716, abs=15)


def test_a_section_of_the_unstable_pair_freezes_to_what_its_salts_become():
    solids = {field.solid for field in section("MgCl2", "NaF").fields}
    assert "MgF2" in solids


def test_what_is_no_section():
    assert not is_section("LiF", "LiCl")
    assert not is_section("LiF", "KF")
    with pytest.raises(InputError, match="different cations"):
        section("LiF", "LiCl")


def test_the_command(capsys):
    assert main(["pair", "LiF", "KCl", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["pair"] == ["LiF", "KCl"]
    assert found["invariants"][0]["solids"] == ["LiF", "KCl"]
    assert found["stable_pair"] == ["LiF", "KCl"]
    assert [field["solid"] for field in found["fields"]] == ["LiF", "KCl"]
    assert main(["pair", "KCl", "LiF"]) == 0
    text = capsys.readouterr().out
    assert "first solid" in text
    assert "stable pair" in text


def test_where_a_section_parts_in_two_liquids():
    """Li,Cs//F,Cl is reported to (Flor 1978, title); LiF-KCl was looked at by three papers without a word of it."""
    parting = section("LiF", "CsCl")
    low, high = parting.two_liquids
    assert 0.02 < low < 0.5 < high < 0.98
    assert "Flor" in parting.note
    assert section("LiF", "KCl").two_liquids is None
    assert "two liquids" not in section("LiF", "KCl").note
