"""Baths fed an oxide: what they hold counts in the start of freezing, and only where a law is published."""

import pytest

from thermo.answers.cell import CellRun, describe_cell
from thermo.answers.evidence.start_of_freezing import start_of_freezing
from thermo.answers.fed_bath import HELD, fed_start
from thermo.answers.melt import describe_melt
from thermo.answers.plan.make import make_plan
from thermo.answers.plan.wish import PlanWish
from thermo.answers.window import operating_window
from thermo.equilibrium.freezing.cryolite import bath_liquidus
from thermo.records.composition import from_amounts
from thermo.records.units import celsius, kelvin

CRYOLITE = from_amounts({"NaF": 75, "AlF3": 25})
BATH = from_amounts({"NaF": 66, "AlF3": 28, "CaF2": 6})


@pytest.mark.parametrize("melt", [CRYOLITE, BATH], ids=["cryolite", "with AlF3 and CaF2"])
def test_the_lowering_is_that_of_the_cryolite_law_at_half_of_saturation(melt):
    start, fed = start_of_freezing(melt), fed_start(melt, "Al2O3")
    share = HELD * bath_liquidus(melt).saturation_pct
    lowering = bath_liquidus(melt).T_K - bath_liquidus(melt, share).T_K
    assert fed.dissolved.mass_percent == pytest.approx(share)
    assert pytest.approx(lowering, abs=1e-9) == start.T_K - fed.T_K
    assert fed.sigma_K > start.sigma_K
    assert "skybakmoen1997" in fed.sources


def test_cryolite_with_its_alumina_freezes_between_its_eutectic_and_its_melting_point():
    """Cryolite melts near 1010 deg C, its eutectic with 10 to 11 mass% alumina lies near 960: half of it in between."""
    fed = fed_start(CRYOLITE, "Al2O3")
    assert 960 < celsius(fed.T_K) < 1010
    assert 4.0 < fed.dissolved.mass_percent < 6.5


def test_no_feed_no_difference():
    assert fed_start(BATH, None) == start_of_freezing(BATH)


@pytest.mark.parametrize(
    ("amounts", "feed"), [({"LiF": 50, "NdF3": 50}, "Nd2O3"), ({"CaCl2": 1}, "CaO"), ({"LiF": 70, "AlF3": 30}, "Al2O3")]
)
def test_where_no_law_is_published_nothing_is_counted_and_it_says_so(amounts, feed):
    melt = from_amounts(amounts)
    fed = fed_start(melt, feed)
    assert start_of_freezing(melt).T_K == fed.T_K
    assert fed.dissolved.mass_percent is None
    assert "not counted" in fed.notes[0]


def test_window_plan_and_cell_name_one_start_of_freezing():
    fed = fed_start(BATH, "Al2O3")
    window = operating_window(BATH, fed.T_K, fed.sigma_K, "Al", "liquid", 10.0, dissolved=fed.dissolved)
    cell = describe_cell(BATH, "Al", kelvin(970), CellRun(20.0, 1.0, feed="Al2O3"))
    plan = make_plan(PlanWish(BATH, "Al", 20.0, feed="Al2O3"))
    assert "mass% Al2O3 dissolved + 10 K superheat" in window.explanation
    assert cell.liquidus.T_K == fed.T_K == plan.setting.freezing.T_K
    assert plan.setting.window.low_K == window.low_K == fed.T_K + 10
    assert any("this is counted" in note for note in cell.notes)
    low, high = cell.kind.feed.solubility.mass_pct
    assert low < 2 * fed.dissolved.mass_percent < high + 1  # the same published equation, a little hotter or colder


def test_aluminium_is_planned_where_the_trade_makes_it():
    """Aluminium cells run at 950 to 980 deg C (common practice): a bath with excess AlF3 is planned there."""
    plan = make_plan(PlanWish(BATH, "Al", 50.0, feed="Al2O3"))
    assert 950 <= celsius(plan.setting.T_K) <= 985


def test_the_melt_says_where_it_freezes_with_its_alumina():
    """The first page has no feed: its window is that of the salts, and it says where the fed bath starts to freeze."""
    notes = describe_melt(BATH, "Al", kelvin(1020)).notes
    start = celsius(fed_start(BATH, "Al2O3").T_K)
    assert any(note.startswith("without alumina: fed with it") and f"at {start:.0f} +-" in note for note in notes)
    assert not any("alumina" in note for note in describe_melt(BATH, "Na", kelvin(1020)).notes)
