"""Constants and temperature scales against their definitions."""

from statistics import NormalDist

import numpy as np
import pytest
from scipy import constants

from thermo.records.provenance import InputError
from thermo.records.units import GRAVITY, NINETY, STEFAN_BOLTZMANN, ZERO_C, F, R, celsius, kelvin, temperature_K


def test_constants_of_the_2019_definition_of_the_units():
    """SI Brochure, 9th edition: k, N_A and e are exact, so R = N_A k and F = N_A e are."""
    N_A, k, e = 6.02214076e23, 1.380649e-23, 1.602176634e-19
    # scipy holds R and F rounded to ten digits
    assert pytest.approx(N_A * k, rel=1e-9) == R
    assert pytest.approx(N_A * e, rel=1e-9) == F


def test_fixed_definitions():
    assert ZERO_C == 273.15


def test_ninety_in_a_hundred_lie_within_so_many_standard_deviations():
    assert pytest.approx(NormalDist().inv_cdf(0.95), abs=5e-4) == NINETY  # written to four figures


def test_celsius_and_kelvin_are_inverse():
    assert celsius(1073.15) == pytest.approx(800.0, rel=1e-12)
    t = np.array([-273.15, 0.0, 353.9])
    assert celsius(kelvin(t)) == pytest.approx(t, abs=1e-9)


def test_a_typed_temperature_is_read_in_celsius():
    assert temperature_K(700.0) == pytest.approx(973.15, rel=1e-12)


@pytest.mark.parametrize("bad", [-273.15, -300.0, float("nan"), float("inf")])
def test_a_temperature_that_cannot_be_is_refused_by_name(bad):
    with pytest.raises(InputError, match=r"--at .*absolute zero"):
        temperature_K(bad, "--at")


def test_the_literals_are_those_of_the_reference_library():
    assert constants.R == R
    assert constants.value("Faraday constant") == F
    assert constants.zero_Celsius == ZERO_C
    assert constants.g == GRAVITY
    assert constants.sigma == STEFAN_BOLTZMANN
