"""Physical constants, temperature scales, and the width of a 90 % band.

Conventions: every temperature inside the package is in kelvin (suffix _K); degrees Celsius (suffix _C) appear only
at the edges (command line, page, run sheet). Energies J/mol, pressures Pa, densities g/cm3, charges A*h at the edge.
Source: CODATA; every literal equals that of scipy.constants, which is slow to import
(tests/records/test_units.py). Worked value: celsius(1073.15) = 800.0.
"""

import math

from thermo.records.provenance import InputError

R = 8.31446261815324  # gas constant, J/(mol K)
F = 96485.33212331001  # Faraday constant, C/mol
ZERO_C = 273.15  # K
GRAVITY = 9.80665  # standard acceleration, m/s2
STEFAN_BOLTZMANN = 5.6703744191844314e-08  # W/(m2 K4)
NINETY = 1.645  # standard deviations of a normal distribution that hold 90 %


def kelvin(t_C):
    """Degrees Celsius (float or array) to kelvin."""
    return t_C + ZERO_C


def celsius(T_K):
    """Kelvin (float or array) to degrees Celsius."""
    return T_K - ZERO_C


def temperature_K(t_C: float, what: str = "temperature") -> float:
    """A temperature typed by a user, in degrees Celsius, as kelvin; InputError at or below absolute zero."""
    if not math.isfinite(t_C) or t_C <= -ZERO_C:
        raise InputError(f"{what} {t_C:g} deg C: allowed is any temperature above {-ZERO_C:g} deg C (absolute zero)")
    return t_C + ZERO_C
