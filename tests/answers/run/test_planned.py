"""Planned beside read: what a gap points to."""

import pytest

from thermo.answers.plan.make import make_plan
from thermo.answers.plan.wish import PlanWish
from thermo.answers.run.planned import Planned, beside, planned_of
from thermo.present.as_json.plan import plan_json
from thermo.records.composition import from_amounts
from thermo.records.errors import InputError

PLAN = Planned("Mg", 720.0, 15.0, 4.0, 60.0, 25.0, 27.8, 3.7)


def says(**read):
    words = {"T_C": 720.0, "amps": 15.0, "hours": 4.0, "weighed_g": 25.0, "volts": 3.7} | read
    return {row.name.split(",")[0]: row.says for row in beside(PLAN, **words)}


def test_a_run_as_planned_has_nothing_to_say():
    assert set(says().values()) == {""}


@pytest.mark.parametrize(
    ("read", "name", "words"),
    [
        ({"T_C": 640.0}, "temperature", "80 K colder"),
        ({"T_C": 790.0}, "temperature", "hotter"),
        ({"hours": 2.0}, "charge", "ended early: 50 %"),
        ({"amps": 30.0, "hours": 2.0}, "current", "another metal joins"),
        ({"volts": 6.0}, "volts at the terminals", "salt ran short"),
        ({"volts": 2.0}, "volts at the terminals", "a short"),
        ({"weighed_g": 10.0}, "metal", "15 g are missing"),
    ],
)
def test_every_gap_names_what_it_points_to(read, name, words):
    assert words in says(**read)[name]


def test_metal_is_asked_of_the_charge_that_passed():
    """Half the charge, half the metal: nothing is missing."""
    assert "missing" not in says(hours=2.0, weighed_g=12.6)["metal"]
    assert "12.5 to 13.9" in says(hours=2.0, weighed_g=12.6)["metal"]


def test_the_figures_of_a_plan_come_back_from_its_json():
    plan = make_plan(PlanWish(from_amounts({"MgCl2": 40, "NaCl": 60}), "Mg", 5.0))
    found = planned_of(plan_json(plan))
    assert found.charge_Ah == pytest.approx(plan.setting.charge_Ah, abs=1e-4)
    assert found.metal_low_g == pytest.approx(5.0, abs=1e-4)


@pytest.mark.parametrize("found", [{}, {"steps": []}, {"steps": [{"title": "Run"}]}, {"steps": None, "metal": "Mg"}])
def test_what_is_no_plan_is_refused(found):
    with pytest.raises(InputError, match="not a plan"):
        planned_of(found)
