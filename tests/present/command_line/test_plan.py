"""The command `plan`: contract keys, text with boxes, refusals in words."""

import json

import pytest

from thermo.answers.plan.make import make_plan
from thermo.answers.plan.picture import pot_drawing
from thermo.answers.plan.wish import PlanWish
from thermo.present.as_json.plan import plan_json
from thermo.present.charts.pot import pot_svg
from thermo.present.command_line.main import main
from thermo.present.command_line.plan import plan_text
from thermo.records.composition import from_amounts

WORDS = ["plan", "MgCl2=20", "NaCl=40", "KCl=40", "--basis", "mass", "--metal", "Mg", "--want-g", "10", "--total-g",
         "400", "--supply-volts", "30", "--supply-amps", "10", "--furnace-W", "1100", "--vessel", "graphite",
         "--pot-mL", "400", "--from", "MgCl2=MgCl2.6H2O"]  # fmt: skip
KEYS = {"n", "title", "do", "T_C", "hours", "figures", "until", "if_not", "rests_on", "cautions"}


@pytest.fixture(scope="module")
def found():
    melt = from_amounts({"MgCl2": 20, "NaCl": 40, "KCl": 40}, "mass")
    return make_plan(PlanWish(melt, "Mg", 10.0, 400.0, {"MgCl2": "MgCl2.6H2O"}, pot_mL=400.0))


def test_contract_keys(capsys):
    assert main([*WORDS, "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["possible"] is True
    assert answer["why_not"] is None
    assert len(answer["steps"]) == 12
    assert all(set(step) == KEYS for step in answer["steps"])
    assert answer["hours_total"] == pytest.approx(sum(step["hours"] for step in answer["steps"]), abs=1e-3)
    assert answer["weigh_g"]["MgCl2.6H2O"] == pytest.approx(170.83, abs=0.01)  # 80 g of MgCl2 at 2.1353 g/g


def test_text_has_a_box_for_each_thing_to_do(found):
    answer = plan_json(found)
    text = plan_text(answer)
    assert text.count("[ ]") == sum(len(step["do"]) for step in answer["steps"])
    assert all(step["title"] in text for step in answer["steps"])
    assert text.count("until   ") == text.count("if not  ") == 12
    assert max(map(len, text.splitlines())) <= 120


def test_an_impossible_wish_says_why_and_is_no_error(capsys):
    assert main(["plan", "KCl=1", "--metal", "K", "--want-g", "5"]) == 0
    assert "What would open one" in " ".join(capsys.readouterr().out.split())
    assert main(["plan", "KCl=1", "--metal", "K", "--want-g", "5", "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["possible"] is False
    assert answer["steps"] == []


def test_bad_words_end_with_two(capsys):
    assert main(["plan", "KCl=1", "--metal", "K", "--want-g", "0"]) == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_the_drawing_names_its_parts(found):
    text = pot_svg(pot_drawing(found.setting))
    assert text.startswith("<svg")
    for words in ("anode", "cathode", "melt", "<title>", "magnesium"):
        assert words in text
    assert text.count("<rect") == len(pot_drawing(found.setting).shapes)
