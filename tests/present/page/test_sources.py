"""Sources, notes, cautions and the rows of the download."""

from dataclasses import replace

import pytest

from thermo.present.page.readouts import read_out
from thermo.present.page.sources import cautions_of, dangers_of, notes_of, sources_of, table_rows
from thermo.present.page.state import OPENING
from thermo.records.units import celsius


@pytest.fixture(scope="module")
def opening():
    return read_out(OPENING)


def test_the_opening_scenario_has_sources_and_cautions(opening):
    sources = sources_of(opening)
    assert any("JANAF" in source for source in sources)
    assert len(sources) == len(set(sources))
    assert cautions_of(opening)[-1].startswith("Work only where")


def test_a_melt_that_cannot_be_read_has_no_figures_but_the_temperature():
    out = read_out(replace(OPENING, amounts=(("ZnCl2", 50.0), ("LiF", 50.0))))
    assert [row["quantity"] for row in table_rows(out)] == ["working temperature"]
    assert cautions_of(out) == ()


def test_the_vessel_adds_its_own_cautions(opening):
    vessel = read_out(replace(OPENING, vessel="graphite", atmosphere="air"))
    assert len(cautions_of(vessel)) > len(cautions_of(opening))


def test_the_download_holds_the_figures_shown(opening):
    rows = {row["quantity"]: row for row in table_rows(opening) if row["unit"] != "mass%"}
    assert sum(float(rows[name]["value"]) for name in OPENING.salts) == pytest.approx(100)
    frozen = next(row for name, row in rows.items() if name.startswith("freezing starts"))
    assert float(frozen["value"]) == pytest.approx(celsius(opening.liquidus.T_K), abs=1e-3)
    assert float(frozen["sigma"]) > 0


def test_notes_are_said_once(opening):
    notes = notes_of(opening)
    assert len(notes) == len(set(notes))


def test_the_line_of_dangers_begins_with_the_pot_that_leaks_and_the_air_that_burns(opening):
    """Molten fluorides dissolve silica and its compounds (data/vessels.csv): mullite, a vessel of it, leaks."""
    fluorides = read_out(replace(opening.state, amounts=(("LiF", 50.0), ("NaF", 50.0)), vessel="mullite"))
    assert dangers_of(fluorides).startswith("this melt dissolves mullite")
    assert "dissolves" not in dangers_of(read_out(replace(opening.state, vessel="mullite")))
    air = read_out(replace(opening.state, atmosphere="air"))
    assert dangers_of(air).startswith("air over the bath")
    assert "air over" not in dangers_of(opening)
