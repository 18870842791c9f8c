"""Smallest additions turn what they say, less does not, and none is listed that does nothing."""

import numpy as np
import pytest

from thermo.answers.finder.improve import COLDER_K, LIQUIDUS, MOST, STEP, VERDICT, WINDOW, changes, improve
from thermo.answers.finder.wish import Wish
from thermo.answers.flotation import float_or_sink
from thermo.equilibrium.freezing.liquidus import liquidus
from thermo.records.composition import Composition, from_amounts
from thermo.records.provenance import InputError
from thermo.records.units import kelvin

CARNALLITE = from_amounts({"KCl": 68, "MgCl2": 32})
WISH = Wish("Mg", ("NaCl", "CaCl2", "BaCl2", "LiCl"), T_K=kelvin(720), want="floats")


@pytest.fixture(scope="module")
def improved():
    return improve(WISH, CARNALLITE)


def mixed(melt: Composition, formula: str, added: float) -> Composition:
    shares = {f: (1 - added) * x for f, x in zip(melt.salts, melt.fractions, strict=True)}
    shares[formula] = shares.get(formula, 0.0) + added
    return from_amounts(shares)


def test_a_heavy_chloride_makes_magnesium_float(improved):
    """Barium and calcium chloride are what the trade adds to a bath that is too light (common practice)."""
    turning = [entry.salt for entry in improved.additions if entry.turns == VERDICT]
    assert turning == ["BaCl2", "CaCl2"]


def test_the_addition_turns_it_and_a_step_less_does_not(improved):
    for entry in improved.additions:
        before = mixed(CARNALLITE, entry.salt, entry.fraction - STEP)
        assert mixed(CARNALLITE, entry.salt, entry.fraction).mole_percent == pytest.approx(
            entry.melt.composition.mole_percent
        )
        if entry.turns == VERDICT:
            assert entry.melt.flotation.p_float > 0.8
            assert float_or_sink(before, "Mg", kelvin(720)).p_float <= 0.8
        if entry.turns == LIQUIDUS:
            assert entry.melt.liquidus.T_K <= improved.melt.liquidus.T_K - COLDER_K
        assert 0 < entry.sigma <= 1


def test_what_else_changes_is_said(improved):
    words = changes(improved.melt, improved.additions[0].melt)
    assert "freezes at" in words
    assert "g/cm3" in words
    assert "window" in words


def test_none_does_where_none_does():
    """Potassium chloride is lighter than the bath: it makes no magnesium float."""
    found = improve(Wish("Mg", ("KCl",), T_K=kelvin(720), want="floats"), CARNALLITE)
    assert not [entry for entry in found.additions if entry.turns == VERDICT]
    assert any(note.startswith("turn the verdict: none of KCl does") for note in found.notes)


def test_a_window_is_opened():
    """Solid magnesium is won below 630 deg C: a bath that freezes above has no window until a salt melts it colder."""
    found = improve(Wish("Mg", ("NaCl", "BaCl2"), deposit="solid"), from_amounts({"MgCl2": 60, "CaCl2": 40}))
    assert found.melt.window.span_K is None
    opened = [entry for entry in found.additions if entry.turns == WINDOW]
    assert "NaCl" in [entry.salt for entry in opened]
    assert all(entry.melt.window.span_K is not None for entry in opened)


def test_the_colder_melt_is_colder_by_the_liquidus_itself(improved):
    entry = next(entry for entry in improved.additions if entry.turns == LIQUIDUS)
    assert pytest.approx(entry.melt.liquidus.computed.T_K) == liquidus(entry.melt.composition).T_K
    assert entry.fraction <= MOST
    assert np.isfinite(entry.sigma)


def test_a_melt_without_the_metal_is_refused():
    with pytest.raises(InputError, match="add MgCl2"):
        improve(Wish("Mg", ("NaCl",)), from_amounts({"KCl": 1}))
