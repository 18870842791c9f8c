"""Metals that stop halfway: which reports count for a melt, and what is said of them."""

import pytest

from thermo.answers.cell import CellRun, describe_cell
from thermo.answers.halfway import halfway
from thermo.answers.run.facts import Run
from thermo.answers.run.review import review
from thermo.records.composition import from_amounts
from thermo.records.lower_valences import steps_in_print
from thermo.records.provenance import sources
from thermo.records.substances import metals, salts
from thermo.records.units import kelvin


def test_reports_name_what_the_rest_of_the_data_knows():
    for report in steps_in_print():
        assert report.metal in metals()
        assert set(report.salts) <= set(salts())
        assert report.source in sources()
        assert report.steps in (1, 2)
        assert report.ion.startswith(report.metal)


@pytest.mark.parametrize(
    ("amounts", "formula", "verb"),
    [
        ({"LiCl": 57, "KCl": 41, "NdCl3": 2}, "NdCl3", "stops"),  # two reports in LiCl-KCl, both two steps
        ({"NaCl": 49, "KCl": 49, "NdCl3": 2}, "NdCl3", "may stop"),  # two reports in NaCl-KCl that disagree
        ({"CaCl2": 90, "NdCl3": 10}, "NdCl3", "may stop"),  # no report in CaCl2: all of them count
        ({"NaCl": 33, "CsCl": 65, "CeCl3": 2}, "CeCl3", "stops"),
        ({"LiCl": 57, "KCl": 41, "CeCl3": 2}, "CeCl3", None),  # one step in the one report of these salts
        ({"LiCl": 57, "KCl": 41, "LaCl3": 2}, "LaCl3", None),
        ({"LiF": 75, "CaF2": 20, "NdF3": 5}, "NdF3", None),  # fluoride: one step
        ({"LiCl": 55, "KCl": 45}, "LiCl", None),
    ],
)
def test_reports_of_the_same_salts_decide(amounts, formula, verb):
    found = halfway(from_amounts(amounts), formula)
    if verb is None:
        assert found is None
    else:
        assert found.text.startswith(f"part of the current {verb} at {found.ion}")
        assert set(found.sources) == {r.source for r in (*found.seen, *found.not_seen)}


def test_the_cell_says_it_and_a_host_metal_takes_it_away():
    # The reports on active cathodes (liquid aluminium: rscadv2014_nd) see one step: nothing is said there.
    melt = from_amounts({"LiCl": 57, "KCl": 41, "NdCl3": 2})
    plain = describe_cell(melt, "Nd", kelvin(500), CellRun(1.0, 1.0))
    assert any("Nd2+" in note for note in plain.notes)
    assert "jalcom2006_nd2" in plain.sources
    alloyed = describe_cell(melt, "Nd", kelvin(500), CellRun(1.0, 1.0, cathode_metal="Zn"))
    assert not any("Nd2+" in note for note in alloyed.notes)


def test_the_review_weighs_it_against_a_poor_yield_only():
    melt = from_amounts({"LiCl": 57, "KCl": 41, "NdCl3": 2})

    def weight(weighed_g):
        causes = review(Run(melt, "Nd", kelvin(500), 10.0, weighed_g)).causes
        return sum(cause.weight for cause in causes if cause.key == "stopped halfway")

    assert weight(3.0) > 0
    assert weight(17.0) == 0  # of 17.9 g
