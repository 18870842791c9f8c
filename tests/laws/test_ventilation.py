"""Dilution air, against the worked figures of general dilution ventilation."""

import re

import pytest

from thermo.laws.faraday import halogen
from thermo.laws.ventilation import capture_note, dilution_air, dilution_table, exposure_limits, limit_words, limits_of
from thermo.records.provenance import InputError, sources


def test_limits_name_body_year_and_source():
    assert {entry.source for entry in exposure_limits()} <= set(sources())
    assert all(entry.body and entry.year.isdigit() for entry in exposure_limits())
    for entry in exposure_limits():
        (value,) = [v for v in (entry.ppm, entry.mg_m3) if v is not None]
        assert value > 0
    assert limits_of("Cl2")[1].name == "NIOSH REL 0.5 ppm (15 min ceiling, 2005)"


def test_air_for_ten_amperes():
    # 76.1 mL/min of chlorine to 0.5 ppm, K = 1: 152.1 m3/min.
    release = halogen("Cl", 10.0).L / 60
    assert dilution_air(release, 0.5) / 1000 == pytest.approx(152.1, rel=0.01)


def test_poor_mixing_multiplies():
    assert dilution_air(1.0, 1.0, 10.0) == pytest.approx(10 * dilution_air(1.0, 1.0))


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: limits_of("Br2"), "allowed: Cl2, HCl"),
        (lambda: dilution_air(1.0, 1.0, 0.5), "1 .perfect mixing. or more"),
        (lambda: dilution_air(0.0, 1.0), "gas release"),
    ],
)
def test_refusals(call, words):
    with pytest.raises(InputError, match=words):
        call()


@pytest.mark.parametrize("substance", ["HF", "HCl", "NH3", "CO", "ZnCl2", "F", "Ba", "NH4Cl"])
def test_every_gas_dust_and_fume_has_body_and_year(substance):
    """OSHA 29 CFR 1910.1000 and NIOSH; the lowest leads."""
    words = limit_words(substance)
    assert re.search(r"(OSHA|NIOSH|ACGIH) .*(ppm|mg/m3) \(.*(19|20)\d\d\)", words)


def test_the_lowest_limit_leads_and_dust_has_no_dilution():
    assert limit_words("Ba").startswith("soluble barium as Ba: OSHA PEL 0.5 mg/m3")
    assert limit_words("HCl").startswith("hydrogen chloride: ACGIH TLV-C 2 ppm")
    with pytest.raises(InputError, match="no exposure limit"):
        limits_of("Ba")
    with pytest.raises(InputError, match="no exposure limit"):
        limit_words("Xe")


@pytest.mark.parametrize(("flow", "printed"), [(99.4, "99"), (100.4, "100"), (152.1, "152"), (1234.0, "1234")])
def test_air_is_written_without_an_exponent(flow, printed):
    """Two figures, or whole numbers from a hundred on: 100.4 to two figures would be 1e+02."""
    limit = limits_of("Cl2")[1]
    assert f"would take {printed} m3/min of perfectly mixed air" in capture_note(((limit, flow),))


def test_the_table_of_dilution_air_is_in_cubic_metres():
    """One litre a minute to 1 ppm is a million litres of air, a thousand cubic metres."""
    table = {limit.ppm: flow for limit, flow in dilution_table("Cl2", 1.0)}
    assert table
    for ppm, flow in table.items():
        assert flow * ppm == pytest.approx(1000.0, rel=1e-9)


def test_a_hood_takes_what_its_face_lets_through():
    """1.5 m2 open at 0.5 m/s is 45 m3/min; poor mixing is 3 to 10 times (common practice, no source)."""
    note = capture_note(((limits_of("Cl2")[1], 500.0),))
    assert f"about {1.5 * 0.5 * 60:g} m3/min of a fume hood" in note
    assert "3 to 10 times" in note
