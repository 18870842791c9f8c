"""Physical constants and temperature scales.

Conventions: every temperature inside the package is in kelvin (suffix _K); degrees Celsius (suffix _C) appear only
at the edges (command line, page, run sheet). Energies J/mol, pressures Pa, densities g/cm3, charges A*h at the edge.
Source: scipy.constants (CODATA). Worked value: celsius(1073.15) = 800.0.
"""

import math

from scipy import constants

from thermo.records.provenance import InputError

R = constants.R  # J/(mol K)
F = constants.value("Faraday constant")  # C/mol
ZERO_C = constants.zero_Celsius  # K


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
