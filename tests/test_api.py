"""The public names: each is there, tested, has an example that runs, and says what the command of its name says."""

import doctest
import json
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

import thermo
from thermo import api
from thermo.answers import many_melts
from thermo.present.as_json import answer as answers
from thermo.present.command_line.main import main

ROOT = Path(__file__).resolve().parents[1]
SODIUM = {"NaCl": 48, "CaCl2": 52}
CARRIER = {"MgCl2": 20, "NaCl": 40, "KCl": 40}
RUN = "MgCl2=20 NaCl=40 KCl=40 --metal Mg --at 700 --amps 5 --hours 2"


def same_as_command(answer, words, capsys):
    assert main([*words.split(), "--json"]) == 0
    said = json.loads(capsys.readouterr().out)
    return answer.as_dict() == said


def test_every_public_name_is_there_and_listed():
    assert set(thermo.__all__) == {*api.__all__, "__version__"}
    assert dir(thermo) == sorted(thermo.__all__)
    for name in api.__all__:
        assert getattr(thermo, name) is getattr(api, name)
    with pytest.raises(AttributeError, match="Melt"):
        _ = thermo.Smelt


@pytest.mark.parametrize("module", [api, many_melts, answers], ids=lambda module: module.__name__)
def test_the_examples_run(module):
    ran = doctest.testmod(module)
    assert ran.attempted > 0
    assert ran.failed == 0


def test_every_public_name_has_an_example():
    finder = doctest.DocTestFinder(recurse=False)
    own = [name for name in api.__all__ if not name.endswith("Error")]
    assert [name for name in own if not any(t.examples for t in finder.find(getattr(thermo, name), name))] == []


def test_the_first_import_costs_nothing():
    lines = "import sys, thermo; print('numpy' in sys.modules); thermo.Melt; print('numpy' in sys.modules)"
    ran = subprocess.run([sys.executable, "-c", lines], cwd=ROOT, capture_output=True, text=True, check=True)
    assert ran.stdout.split() == ["False", "True"]


def test_a_melt_says_what_the_command_says(capsys):
    melt = thermo.Melt(SODIUM)
    assert same_as_command(melt, "melt NaCl=48 CaCl2=52", capsys)
    assert same_as_command(melt.at(600, metal="Na"), "melt NaCl=48 CaCl2=52 --metal Na --at 600", capsys)
    wishes = {"deposit": "liquid", "superheat_K": 50, "vessel": "graphite", "atmosphere": "air"}
    words = "--metal Na --at 600 --deposit liquid --superheat 50 --vessel graphite --atmosphere air"
    assert same_as_command(melt.at(600, "Na", **wishes), f"melt NaCl=48 CaCl2=52 {words}", capsys)
    assert melt.window("Na").low_C == melt.at(600, "Na").window.low_C


def test_a_log_and_a_plan_say_what_the_command_says_of_them(capsys, tmp_path):
    text = "min;C;A;V\n" + "".join(f"{k};{700 + k % 2};{5.0};{4.0}\n".replace(".", ",") for k in range(121))
    plan = thermo.Melt(CARRIER).plan("Mg", 4.0)
    (tmp_path / "run.csv").write_text(text, encoding="utf-8")
    (tmp_path / "plan.json").write_text(json.dumps(plan.as_dict()), encoding="utf-8")
    columns = {"time": "min", "T": "C", "amps": "A", "volts": "V"}
    log = thermo.read_log(text, columns, "min", "run.csv")
    found = thermo.review(CARRIER, "Mg", weighed_g=3.0, log=log, plan=plan)
    words = " ".join(f"--column {quantity}={column}" for quantity, column in columns.items())
    files = f"--log {tmp_path}/run.csv --plan {tmp_path}/plan.json"
    asked = f"review MgCl2=20 NaCl=40 KCl=40 --metal Mg --weighed-g 3 {files} {words} --time-unit min"
    assert same_as_command(found, asked, capsys)
    assert found.log.charge_Ah == pytest.approx(10.0)
    assert "charge, A h" in [row.name for row in found.planned]
    with pytest.raises(thermo.InputError, match="review: t_C is needed, or a log"):
        thermo.review(CARRIER, "Mg", amps=5, hours=2, weighed_g=1)


def test_the_other_names_say_what_their_commands_say(capsys):
    carrier = thermo.Melt(CARRIER)
    pairs = [
        (thermo.Pair("KCl", "MgCl2"), "pair KCl MgCl2"),
        (thermo.lowest("NaCl", "KCl", "MgCl2"), "lowest NaCl KCl MgCl2"),
        (
            thermo.find("Na", ["NaCl", "CaCl2"], max_salts=2, t_C=600, want="floats", below_C=550),
            "find --metal Na --salts NaCl,CaCl2 --max-salts 2 --at 600 --want floats --below 550",
        ),
        (
            thermo.review(CARRIER, "Mg", 700, 5, 2, 0.5, ["black-sponge"], bath_g=500),
            f"review {RUN} --weighed-g 0.5 --saw black-sponge --bath-g 500",
        ),
        (carrier.cell("Mg", 700, 5, 2), f"cell {RUN}"),
        (
            carrier.cell("Mg", 700, 5, 2, bath_g=500, volts=6, cathode_cm2=20, gap_cm=3, gas_C=40, gas_kPa=95),
            f"cell {RUN} --bath-g 500 --volts 6 --cathode-cm2 20 --gap-cm 3 --gas-at 40 --gas-kPa 95",
        ),
        (
            carrier.weigh(300, {"MgCl2": "MgCl2.6H2O"}, {"KCl": 0.98}),
            "weigh MgCl2=20 NaCl=40 KCl=40 --total-g 300 --from MgCl2=MgCl2.6H2O --assay KCl=0.98",
        ),
        (
            thermo.Melt(SODIUM).plan("Na", 10, t_C=600, total_g=500, supply_V=12, vessel="graphite"),
            "plan NaCl=48 CaCl2=52 --metal Na --want-g 10 --at 600 --total-g 500 --supply-volts 12 --vessel graphite",
        ),
        (thermo.Melt(SODIUM).cooling([545, 498]), "cooling NaCl=48 CaCl2=52 --arrest 545 --arrest 498"),
    ]
    assert [words for answer, words in pairs if not same_as_command(answer, words, capsys)] == []
    assert main(["salts", "--json"]) == 0
    listed = json.loads(capsys.readouterr().out)
    assert (thermo.salts().as_dict(), thermo.metals().as_dict()) == (listed["salts"], listed["metals"])


def test_published_values_come_out():
    # CRC Handbook: NaCl melts at 800.7 deg C, KCl at 771; LiF-NaF eutectic 649 to 652 deg C (Holm & Kleppa 1968)
    assert pytest.approx(800.7, abs=1.0) == thermo.Melt("NaCl=1").liquidus.T_C
    (eutectic,) = thermo.Pair("LiF", "NaF").invariants
    assert pytest.approx(650.5, abs=4) == eutectic.T_C
    # Faraday: 5 A for 2 h make 4.534 g of magnesium
    assert thermo.Melt(CARRIER).cell("Mg", 700, 5, 2).metal_g_max == pytest.approx(4.534, abs=0.001)


def test_one_melt_by_mapping_recipe_and_mass():
    one = thermo.Melt(SODIUM)
    assert one.mole_percent == thermo.Melt("NaCl=48 CaCl2=52").mole_percent
    two = thermo.Melt(one.mass_percent, basis="mass")
    assert pytest.approx(one.liquidus.T_C, abs=0.02) == two.liquidus.T_C
    assert thermo.Melt("75.5 g CaCl2.2H2O 20 g NaCl").read_as


def test_a_field_agrees_with_its_melts():
    salts, rows = ("NaCl", "KCl", "MgCl2"), [[50, 30, 20], [0, 50, 50], [1, 0, 0]]
    found = thermo.field(salts, rows, metal="Mg", t_C=700)
    for k, row in enumerate(rows):
        melt = thermo.Melt(dict(zip(salts, row, strict=True)))
        at = melt.at(700, "Mg").float_or_sink
        assert found.T_C[k] == pytest.approx(melt.liquidus.T_C, abs=0.02)
        assert found.difference_g_cm3[k] == pytest.approx(at.difference_g_cm3, abs=1e-4)
        assert found.sigma_g_cm3[k] == pytest.approx(at.sigma_g_cm3, abs=1e-4)


def test_a_curve_ends_at_the_salts_and_passes_through_the_eutectic():
    pair = thermo.Pair("LiF", "NaF")
    curve = pair.curve(2001)
    ends = [entry.melting_point_C for entry in thermo.salts() if entry.formula in pair.salts]
    assert sorted(curve.T_C[[0, -1]]) == pytest.approx(sorted(ends), abs=0.1)
    assert curve.T_C.min() == pytest.approx(pair.invariants[0].T_C, abs=0.3)
    assert set(curve.first_solid) >= set(pair.invariants[0].solids)
    assert np.all(curve.sigma_K >= 0)


@pytest.mark.parametrize(
    ("ask", "words"),
    [
        (lambda: thermo.Melt("NaC=1"), "NaC"),
        (lambda: thermo.Melt({"NaCl": -1}), "zero or more"),
        (lambda: thermo.Melt(SODIUM).at(-300), "absolute zero"),
        (lambda: thermo.Melt(SODIUM).at(600, "Xx"), "Xx"),
        (lambda: thermo.Melt(CARRIER).cell("Mg", 700, 5, 2, bath=5), "bath_g"),
        (lambda: thermo.Melt(CARRIER).cell("Mg", 700, 5, 2, gap_cm=3), "both or neither"),
        (lambda: thermo.Pair("NaCl", "NaCl"), "two different"),
        (lambda: thermo.Pair("LiF", "NaF").curve(1), "2 or more"),
        (lambda: thermo.lowest("NaCl"), "2 to 6"),
        (lambda: thermo.field(["NaCl", "KCl"], [[1, 2, 3]]), "rows of 2"),
        (lambda: thermo.field(["NaCl", "KCl"], [[0, 0]]), "not all zero"),
        (lambda: thermo.field(["NaCl"], [[1]], metal="Na"), "both or neither"),
    ],
)
def test_wrong_input_is_one_line(ask, words):
    with pytest.raises(thermo.InputError, match=words) as refused:
        ask()
    assert "\n" not in str(refused.value)


def test_answers_show_themselves_short_and_as_a_table():
    melt, pair = thermo.Melt(SODIUM), thermo.Pair("LiF", "NaF")
    for shown in (melt, pair, melt.liquidus, melt.at(600, "Na"), thermo.salts()[0]):
        assert len(repr(shown)) <= 160
        assert "\n" not in repr(shown)
        html = shown._repr_html_()
        assert html.startswith("<table")
        assert html.count("<tr") == html.count("</tr>")
    assert "first_solid" in dir(melt.liquidus)
    with pytest.raises(AttributeError, match="it has T_C"):
        _ = melt.liquidus.T_K
    markup = thermo.Answer({"a": "<script>", "b": None, "c": [{"d": 1}]})._repr_html_()
    assert "<script>" not in markup
    assert "unknown" in markup


def test_frames():
    pd = pytest.importorskip("pandas")
    assert "eutectic" in set(thermo.Pair("KCl", "MgCl2").to_frame()["kind"])
    assert len(thermo.salts().to_frame()) == len(thermo.salts())
    frame = thermo.Melt(SODIUM).to_frame()
    assert frame["liquidus.T_C"].item() == thermo.Melt(SODIUM).liquidus.T_C
    assert isinstance(thermo.find("Na", ["NaCl", "CaCl2"], max_salts=2).to_frame(), pd.DataFrame)


def test_a_notebook_runs_from_top_to_bottom():
    ran = subprocess.run(
        [sys.executable, str(ROOT / "tests" / "notebook_example.py")], cwd=ROOT, capture_output=True, text=True
    )
    assert ran.returncode == 0, ran.stderr
    assert len(ran.stdout.splitlines()) > 8


def test_the_readme_shows_lines_that_run():
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    block = text.split("In a notebook")[1].split("\n\n")[1]
    lines = [line.removeprefix("    ") for line in block.splitlines()]
    assert len(lines) >= 8
    assert lines[0] == "import thermo"
    exec("\n".join(lines), {})
