"""Drops of metal in a bath: the two slow-motion laws, faster drag, bands."""

import math

import pytest

from thermo.answers.droplet import circulation_factor, drop_times, stokes_mm_s, terminal_speed_mm_s
from thermo.records.composition import from_amounts
from thermo.records.provenance import InputError

LITHIUM = from_amounts({"LiCl": 58.5, "KCl": 41.5})


def test_stokes_by_hand():
    # (2/9) 9.80665 * 20 kg/m3 * (0.5e-3 m)^2 / 1.5e-3 Pa s = 7.264e-3 m/s.
    assert stokes_mm_s(0.5, 0.02, 1.5) == pytest.approx(7.264, rel=1e-3)


def test_circulation_limits():
    # Hadamard and Rybczynski: 1 for a solid, 3/2 for a gas bubble, 6/5 for equal viscosities.
    assert circulation_factor(1.0, 1e9) == pytest.approx(1.0, rel=1e-6)
    assert circulation_factor(1.0, 1e-9) == pytest.approx(1.5, rel=1e-6)
    assert circulation_factor(1.0, 1.0) == pytest.approx(1.2)


def test_small_drops_keep_the_slow_law():
    slow = stokes_mm_s(0.01, 0.02, 1.5)
    # Re is 5e-5 here, so 0.15 Re^0.687 is 2e-4.
    assert terminal_speed_mm_s(slow, 0.01, 1.6, 1.5) == pytest.approx(slow, rel=1e-3)


def test_fast_drop_obeys_its_drag_law():
    slow = stokes_mm_s(2.0, 0.5, 1.5)
    speed = terminal_speed_mm_s(slow, 2.0, 1.6, 1.5)
    reynolds = 2 * 2.0 * speed * 1.6 / 1.5
    assert speed * (1 + 0.15 * reynolds**0.687) == pytest.approx(slow, rel=1e-9)


def test_glass_bead_in_water():
    # Handbook value (Perry): a 1 mm sphere of density 2.65 settles in water at 20 deg C at about 0.15 to 0.16 m/s.
    slow = stokes_mm_s(0.5, 1.65, 1.0)
    assert terminal_speed_mm_s(slow, 0.5, 1.0, 1.0) == pytest.approx(155, rel=0.06)


def test_lithium_rises_and_larger_drops_are_faster():
    found = drop_times(LITHIUM, "Li", 723.15)
    assert found.direction == "rises"
    minutes = [d.minutes for d in found.drops]
    assert minutes == sorted(minutes, reverse=True)
    assert all(d.fast_min < d.minutes < d.rigid_minutes <= d.slow_min for d in found.drops)


def test_time_goes_with_depth():
    shallow, deep = (drop_times(LITHIUM, "Li", 723.15, depth) for depth in (5.0, 10.0))
    assert deep.drops[0].minutes == pytest.approx(2 * shallow.drops[0].minutes)


def test_no_bound_where_densities_meet():
    melt = from_amounts({"MgCl2": 20, "NaCl": 40, "KCl": 40}, "mass")
    found = drop_times(melt, "Mg", 963.15)
    assert abs(found.difference_g_cm3) < found.sigma_g_cm3
    assert all(d.slow_min is None for d in found.drops)
    assert any("no bound" in note for note in found.notes)


def test_solid_metal_is_rigid():
    found = drop_times(from_amounts({"LiCl": 58.5, "KCl": 41.5}), "Mg", 773.15)
    assert all(d.minutes == pytest.approx(d.rigid_minutes) for d in found.drops)
    assert any("solid metal" in note for note in found.notes)
    assert math.isfinite(found.drops[0].minutes)


def test_refusals():
    with pytest.raises(InputError, match="is a vapour"):
        drop_times(from_amounts({"KCl": 1}), "K", 1100.0)
    with pytest.raises(InputError, match="depth of the bath 0 cm"):
        drop_times(LITHIUM, "Li", 723.15, 0.0)
