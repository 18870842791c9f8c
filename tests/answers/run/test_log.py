"""Charge and arrests from readings: against integrals and curves that are known in closed form."""

import math

import numpy as np
import pytest

from thermo.answers.run.log import arrests_of, charge_of, mean_of
from thermo.records.errors import InputError
from thermo.records.logger import Log
from thermo.records.units import celsius


def log_of(seconds, **columns):
    return Log("run.csv", tuple(map(float, seconds)), {name: tuple(column) for name, column in columns.items()})


def cooling(plateaus, start=800.0, room=25.0, tau=1500.0, noise=0.3, step=5.0):
    """Newton's cooling with rests of 300 s at the temperatures given, read each `step` seconds."""
    seconds, values, t, T = [], [], 0.0, start
    waits = dict.fromkeys(plateaus, 300.0)
    random = np.random.default_rng(7)
    while T > 300:
        seconds.append(t)
        values.append(T + noise * random.standard_normal())
        at = next((p for p in waits if p >= T and waits[p] > 0), None)
        if at is None:
            T -= (T - room) / tau * step
        else:
            waits[at] -= step
        t += step
    return log_of(seconds, T=values)


def test_charge_of_a_steady_and_of_a_falling_current():
    """5 A for 2 h: 10 A h; 10 A falling to 0 in 1 h: 5 A h (trapezia are exact on straight lines)."""
    minutes = np.arange(121) * 60.0
    assert charge_of(log_of(minutes, amps=[5.0] * 121)).Ah == pytest.approx(10.0, rel=1e-12)
    ramp = charge_of(log_of(minutes[:61], amps=np.linspace(10, 0, 61)))
    assert (ramp.Ah, ramp.hours, ramp.mean_A) == pytest.approx((5.0, 1.0, 5.0))


def test_charge_of_a_sine_is_its_integral():
    seconds = np.linspace(0, 3600, 721)
    amps = 5 + 3 * np.sin(2 * math.pi * seconds / 1800)
    assert charge_of(log_of(seconds, amps=amps)).Ah == pytest.approx(5.0, rel=1e-4)


def test_a_single_missing_reading_is_bridged_and_a_long_gap_is_not_counted_but_told():
    minutes = [60.0 * k for k in range(61)]
    amps = [5.0] * 61
    one = list(amps)
    one[30] = None
    assert charge_of(log_of(minutes, amps=one)).Ah == pytest.approx(5.0)
    long = [None if 20 <= k < 40 else 5.0 for k in range(61)]
    found = charge_of(log_of(minutes, amps=long))
    assert found.Ah == pytest.approx(5.0 * (60 - 21) / 60)
    assert found.gap_hours == pytest.approx(21 / 60)


@pytest.mark.parametrize("plateaus", [(545.0, 498.0), (610.0,), (700.0, 640.0, 520.0)])
def test_arrests_are_found_where_the_curve_rests(plateaus):
    found = arrests_of(cooling(plateaus))
    assert len(found) == len(plateaus)
    for arrest, at in zip(found, sorted(plateaus, reverse=True), strict=True):
        assert celsius(arrest.T_K) == pytest.approx(at, abs=3.0)
        assert arrest.sigma_K < 6.0
        assert arrest.to_s - arrest.from_s == pytest.approx(300.0, rel=0.5)


def test_a_curve_without_rests_has_no_arrest():
    assert arrests_of(cooling(())) == ()


def test_mean_and_what_was_not_chosen():
    log = log_of([0, 1, 2], T=[700.0, None, 702.0])
    assert mean_of(log, "T") == pytest.approx((701.0, 1.0))
    assert mean_of(log, "volts") is None
    with pytest.raises(InputError, match="no column was chosen for amps"):
        charge_of(log)


@pytest.mark.parametrize(
    ("log", "message"),
    [
        (log_of([0, 1], amps=[1.0, None]), "1 readings of amps"),
        (log_of([0, 60], amps=[-1.0, -1.0]), "more than zero"),
        (log_of([0, 0], amps=[1.0, 1.0]), "all readings at one time"),
    ],
)
def test_no_charge(log, message):
    with pytest.raises(InputError, match=message):
        charge_of(log)


def test_no_cooling_curve():
    with pytest.raises(InputError, match="20 or more"):
        arrests_of(log_of([0, 1], T=[1.0, 2.0]))
    with pytest.raises(InputError, match="does not fall"):
        arrests_of(log_of(range(50), T=[float(k) for k in range(50)]))
