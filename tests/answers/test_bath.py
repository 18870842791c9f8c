"""The whole answer about a bath: its density with alumina, superheat, aluminium; and the command's keys."""

import json

import pytest

from thermo.answers.bath import bath_density, bath_start, describe_bath
from thermo.answers.evidence.start_of_freezing import start_of_freezing
from thermo.answers.flotation import float_or_sink
from thermo.equilibrium.freezing.cryolite import bath_liquidus
from thermo.laws.density import melt_density
from thermo.present.as_json.cryolite import bath_json
from thermo.present.command_line.cryolite import add_arguments, bath_text, run
from thermo.present.command_line.main import _Parser
from thermo.records.baths import bath_composition
from thermo.records.composition import formula_mass, from_amounts
from thermo.records.provenance import InputError, RangeError
from thermo.records.units import celsius


def test_working_temperature_is_freezing_point_and_superheat():
    answer = describe_bath(bath_composition(10, {"CaF2": 5.0}, 3.0), 3.0, 12.0)
    assert pytest.approx(answer.liquidus.T_K + 12.0, rel=1e-12) == answer.T_K
    assert answer.saturation_pct > answer.liquidus.saturation_pct  # a hotter bath dissolves more


def test_without_alumina_the_density_is_the_salts():
    mix = bath_composition(8, {}, 0)
    assert bath_density(mix, 0, 1250.0) == melt_density(mix, 1250.0)
    answer = describe_bath(mix)
    against = float_or_sink(mix, "Al", answer.T_K)
    assert (answer.difference_g_cm3, answer.verdict) == (against.difference_g_cm3, against.verdict)


def test_density_with_alumina_by_hand():
    mix = bath_composition(0, {}, 10)
    alone = melt_density(mix, 1300.0).value_g_cm3
    # 100 g: 90 g of cryolite and 10 g of alumina at 1.395 + 0.217 g/cm3
    assert bath_density(mix, 10, 1300.0).value_g_cm3 == pytest.approx(100 / (90 / alone + 10 / 1.612), rel=1e-12)
    assert bath_density(mix, 10, 1300.0).sigma_g_cm3 > 0.9 * melt_density(mix, 1300.0).sigma_g_cm3 * 0.9


def test_too_much_aluminium_fluoride_has_no_density():
    with pytest.raises(RangeError, match="50 mol% AlF3"):
        bath_density(from_amounts({"NaF": 40, "AlF3": 60}), 2.0, 1200.0)


def test_what_was_measured_of_the_salts_leads_and_alumina_lowers_it():
    """NaF-AlF3-CaF2 53.7-45.8-0.5: 675 deg C in print (2020), computed 699 +- 4 though every pair is fitted."""
    mix = from_amounts({"NaF": 53.7, "AlF3": 45.8, "CaF2": 0.5})
    found = describe_bath(mix)
    assert found.rests_on == "measured"
    assert (found.liquidus.T_K, found.liquidus.sigma_K) == (start_of_freezing(mix).T_K, start_of_freezing(mix).sigma_K)
    assert celsius(found.liquidus.T_K) == pytest.approx(675, abs=1)
    assert found.computed == bath_liquidus(mix)
    assert any("what was measured leads" in note for note in found.liquidus.notes)
    held = bath_composition(12, {"KF": 3.0}, 0)  # no published bath near, alumina dissolves
    lowered = bath_liquidus(held).T_K - bath_liquidus(held, 2.0).T_K
    assert pytest.approx(start_of_freezing(held).T_K - lowered, abs=1e-6) == bath_start(held, 2.0)[0].T_K
    assert bath_start(held, 2.0)[1] == start_of_freezing(held).rests_on


def test_far_from_anything_published_the_laws_stand_alone():
    mix = bath_composition(8, {"CaF2": 5.0}, 3.0)
    found = describe_bath(mix, 3.0)
    assert found.rests_on == "computed"
    assert found.liquidus == found.computed


def test_the_keys_say_what_a_bath_rests_on():
    found = bath_json(describe_bath(from_amounts({"NaF": 53.7, "AlF3": 45.8, "CaF2": 0.5})))["liquidus"]
    assert found["rests_on"] == "measured"
    assert found["computed_C"] - found["T_C"] == pytest.approx(24, abs=3)
    assert found["computed_sigma_K"] > 0


def options(words):
    parser = _Parser(prog="cryolite")
    parser.add_argument("--json", action="store_true")
    add_arguments(parser)
    return parser.parse_args(words)


def test_the_command_prints_one_object(capsys):
    assert run(options(["--excess-alf3", "8", "--caf2", "5", "--al2o3", "3", "--json"])) == 0
    found = json.loads(capsys.readouterr().out)
    assert set(found) == {
        "bath", "composition", "liquidus", "working", "alumina_saturation", "density", "aluminium", "notes", "cautions",
        "sources"
    }  # fmt: skip
    assert found["bath"]["excess_AlF3_mass_percent"] == 8
    assert found["liquidus"]["first_solid"] == "Na3AlF6"
    assert found["working"]["superheat_K"] == 10


def test_the_text_names_the_bath_first():
    found = bath_json(describe_bath(bath_composition(8, {}, 3), 3))
    first = bath_text(found).splitlines()[0]
    assert first.startswith("cryolite ratio 2.4")
    assert "8.0 mass% excess AlF3" in first
    short = bath_json(describe_bath(bath_composition(-3, {}, 0)))
    assert "3.0 mass% AlF3 short of cryolite" in bath_text(short).splitlines()[0]


@pytest.mark.parametrize("words", [["--superheat", "-5"], ["--caf2", "-1"], ["--al2o3", "30"], ["--excess-alf3", "70"]])
def test_bad_words_are_refused(words):
    with pytest.raises(InputError):
        run(options(words))


def test_a_bath_may_be_named_by_its_ratio(capsys):
    # CR of 8 mass% excess in a bath with 5 CaF2 and 3 alumina: 84 g cryolite, 8 g AlF3
    moles = 84 / (3 * formula_mass("NaF") + formula_mass("AlF3"))
    ratio = 3 * moles / (moles + 8 / formula_mass("AlF3"))
    assert run(options(["--ratio", f"{ratio:.6f}", "--caf2", "5", "--al2o3", "3"])) == 0
    assert "8.0 mass% excess AlF3" in capsys.readouterr().out.splitlines()[0]


def test_a_hair_below_cryolite_is_not_minus_zero():
    found = bath_json(describe_bath(bath_composition(-0.01, {}, 0)))
    assert ", 0.0 mass% excess AlF3" in bath_text(found).splitlines()[0]
