"""What a logger's readings say of a run: charge, mean values, and the arrests of a cooling curve.

    Q = sum (I_k + I_k+1)/2 (t_k+1 - t_k)         trapezia; a gap longer than 5 usual steps is not bridged but told
Arrests: temperatures on an even grid, smoothed and differentiated by a Savitzky-Golay filter (scipy.signal); an
arrest is a stretch in which cooling slows to less than half of what it is around it, found as a peak of dT/dt. Its
temperature is the median reading of the stretch, its spread their standard deviation or the reading's own 0.5 K,
whichever is larger. Limits: a curve that only cools; undercooling makes the stretch start late. Steps, smoothing and
the half: judgement. Worked value: 5 A for 2 h in readings each minute: 10 A h.
"""

from dataclasses import dataclass

import numpy as np
from scipy.signal import find_peaks, savgol_filter

from thermo.records.errors import InputError
from thermo.records.logger import Log
from thermo.records.units import ZERO_C

GAP_STEPS = 5.0
LEAST_READINGS = 20
SMOOTH = 0.02  # of the curve
SLOWED = 0.5
LEAST_SPREAD_K = 0.5
MOST_ARRESTS = 8


@dataclass(frozen=True)
class Charge:
    """Charge in A h and hours covered; gaps: stretches without reading in hours, which are not counted."""

    Ah: float
    hours: float
    mean_A: float
    gap_hours: float
    readings: int


@dataclass(frozen=True)
class Arrest:
    """One arrest: temperature and spread in K, start and end in seconds from the first reading."""

    T_K: float
    sigma_K: float
    from_s: float
    to_s: float


def charge_of(log: Log) -> Charge:
    """The charge of a run by its amps. InputError without two readings or with a negative charge."""
    points = np.array(log.pairs("amps"), dtype=float)
    if len(points) < 2:
        raise InputError(f"log {log.name}: {len(points)} readings of amps; allowed are two or more")
    steps = np.diff(points[:, 0])
    usual = float(np.median(steps[steps > 0])) if np.any(steps > 0) else 0.0
    if usual == 0:
        raise InputError(f"log {log.name}: all readings at one time; allowed is time that rises")
    bridged = steps <= GAP_STEPS * usual
    means = (points[1:, 1] + points[:-1, 1]) / 2
    coulomb = float(np.sum((means * steps)[bridged]))
    hours = float(np.sum(steps[bridged])) / 3600
    if coulomb <= 0:
        raise InputError(f"log {log.name}: charge {coulomb / 3600:.3g} A h; allowed is more than zero")
    return Charge(coulomb / 3600, hours, coulomb / 3600 / hours, float(np.sum(steps[~bridged])) / 3600, len(points))


def mean_of(log: Log, quantity: str) -> tuple[float, float] | None:
    """Mean and standard deviation of a column, weighted by nothing; None where it was not chosen or is empty."""
    if quantity not in log.values:
        return None
    values = [value for _, value in log.pairs(quantity)]
    return (float(np.mean(values)), float(np.std(values))) if values else None


@dataclass(frozen=True)
class RunRead:
    """What a log says of a whole run: charge, mean and scatter of deg C and of volts; None where no column says it."""

    charge: Charge | None
    T_C: tuple[float, float] | None
    volts: tuple[float, float] | None


def read_run(log: Log) -> RunRead:
    """The run of a log; InputError as `charge_of`."""
    charge = charge_of(log) if "amps" in log.values else None
    return RunRead(charge, mean_of(log, "T"), mean_of(log, "volts"))


def arrests_of(log: Log) -> tuple[Arrest, ...]:
    """Arrests of a cooling curve in deg C readings, the hottest first. InputError for too few readings."""
    points = np.array(log.pairs("T"), dtype=float)
    if len(points) < LEAST_READINGS:
        raise InputError(f"log {log.name}: {len(points)} readings of T; allowed are {LEAST_READINGS} or more")
    step = max(float(np.median(np.diff(points[:, 0]))), 1e-6)
    grid = np.arange(points[0, 0], points[-1, 0], step)
    temperature = np.interp(grid, points[:, 0], points[:, 1])
    window = max(7, int(SMOOTH * len(grid)) | 1)
    if len(grid) <= window:
        raise InputError(f"log {log.name}: {len(grid)} even steps of time; allowed are more than {window}")
    rate = savgol_filter(temperature, window, 2, deriv=1, delta=step)
    usual = float(np.median(rate[rate < 0])) if np.any(rate < 0) else 0.0
    if usual == 0:
        raise InputError(f"log {log.name}: the temperature does not fall; allowed is a cooling curve")
    _, found = find_peaks(rate, prominence=SLOWED * abs(usual), width=3, rel_height=SLOWED)
    arrests = [
        _arrest(grid, temperature, int(left), int(right) + 1)
        for left, right in zip(found["left_ips"], found["right_ips"], strict=True)
    ]
    long = sorted(arrests, key=lambda arrest: arrest.from_s - arrest.to_s)[:MOST_ARRESTS]
    return tuple(sorted(long, key=lambda arrest: -arrest.T_K))


def _arrest(grid: np.ndarray, temperature: np.ndarray, left: int, right: int) -> Arrest:
    part = temperature[left : right + 1]
    spread = max(float(np.std(part)), LEAST_SPREAD_K)
    return Arrest(float(np.median(part)) + ZERO_C, spread, float(grid[left]), float(grid[min(right, len(grid) - 1)]))
