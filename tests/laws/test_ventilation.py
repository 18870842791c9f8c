"""Dilution air, against the worked figures of general dilution ventilation."""

import pytest

from thermo.laws.faraday import halogen
from thermo.laws.ventilation import dilution_air, exposure_limits, limits_of
from thermo.records.provenance import InputError, sources


def test_limits_name_body_year_and_source():
    assert {entry.source for entry in exposure_limits()} <= set(sources())
    assert all(entry.body and entry.year.isdigit() and entry.ppm > 0 for entry in exposure_limits())
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
