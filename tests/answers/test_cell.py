"""One run put together, its JSON keys, text, charts and refusals."""

import argparse
import json

import pytest

from thermo.answers.cell import CellRun, describe_cell
from thermo.answers.metal_loss import metal_loss
from thermo.answers.power import Geometry
from thermo.laws.faraday import metal_g
from thermo.laws.ventilation import capture_note
from thermo.present.as_json.cell import cell_json
from thermo.present.charts.cell import drift_figure, voltage_figure
from thermo.present.command_line import cell as cell_command
from thermo.records.composition import from_amounts
from thermo.records.provenance import InputError, sources

MAGNESIUM = from_amounts({"MgCl2": 20, "NaCl": 40, "KCl": 40}, "mass")
RUN = CellRun(10.0, 2.0, 500.0, 0.8, volts=5.0, geometry=Geometry(20.0, 3.0), surface_cm2=80.0,
              supply_V=12.0)  # fmt: skip


@pytest.fixture(scope="module")
def answer():
    return describe_cell(MAGNESIUM, "Mg", 963.15, RUN)


def parsed(*words):
    parser = argparse.ArgumentParser()
    parser.add_argument("--json", action="store_true")
    cell_command.add_arguments(parser)
    return parser.parse_args(list(words))


def test_numbers_are_those_of_the_laws(answer):
    assert answer.charge_Ah == pytest.approx(20.0)
    assert answer.metal_g_max == pytest.approx(metal_g("Mg", 20.0))
    assert answer.metal_g_expected == pytest.approx(0.8 * answer.metal_g_max)
    assert answer.salt_g == pytest.approx(500.0 - answer.drift.points[-1].bath_g)
    assert set(answer.sources) <= set(sources())


def test_contract_keys(answer):
    found = json.loads(json.dumps(cell_json(answer)))
    expected = "charge_Ah metal_g_max metal_g_expected current_efficiency halogen decomposition_V order"
    assert set(f"{expected} energy_kWh_per_kg drift freezes_at_Ah".split()) <= set(found)
    assert {"formula", "g", "L_25C_1atm", "NaOH_g"} <= set(found["halogen"])
    assert all({"metal", "E_V", "gap_V", "activity"} <= set(entry) for entry in found["order"])
    assert all({"Ah", "mole_percent", "liquidus_C", "melt_g_cm3", "verdict"} <= set(p) for p in found["drift"])
    assert found["order"][0]["gap_V"] == 0.0


def test_unasked_parts_are_null():
    found = cell_json(describe_cell(MAGNESIUM, "Mg", 963.15, CellRun(5.0, 2.0)))
    for key in ("current_efficiency", "drift", "freezes_at_Ah", "energy_kWh_per_kg", "voltage", "supply_A", "heat"):
        assert found[key] is None
    assert any("100 % taken" in note for note in found["notes"])


def test_weighed_efficiency_is_used_when_none_is_typed():
    answer = describe_cell(MAGNESIUM, "Mg", 963.15, CellRun(5.0, 2.0, 500.0, weighed_g=3.0, volts=4.0))
    assert answer.efficiency_used == pytest.approx(3.0 / metal_g("Mg", 10.0))
    assert answer.metal_g_expected == answer.metal_g_max
    assert any("weighed efficiency" in note for note in answer.notes)


def test_boiling_metal_has_no_drops():
    answer = describe_cell(from_amounts({"KCl": 50, "BaCl2": 50}), "K", 1100.0, CellRun(5.0, 1.0, 300.0))
    assert answer.drops is None
    assert answer.deposit.startswith("vapour")
    assert cell_json(answer)["drift"][0]["verdict"] is None


def test_metal_that_is_not_first_is_said():
    answer = describe_cell(from_amounts({"NaCl": 50, "SrCl2": 50}), "Sr", 1073.15, CellRun(5.0, 1.0))
    assert any(note.startswith("Sr is not first") for note in answer.notes)


def test_frozen_bath_is_said():
    answer = describe_cell(from_amounts({"NaCl": 90, "MgCl2": 10}), "Mg", 950.0, CellRun(5.0, 1.0))
    assert any("partly frozen" in note for note in answer.notes)


def test_a_published_melt_that_freezes_hotter_is_said():
    # LiCl-KCl-NdCl3 55.7-33.2-11.1 at 460 deg C (Zhang 1989), computed near 425
    answer = describe_cell(from_amounts({"LiCl": 55.7, "KCl": 33.2, "NdCl3": 11.1}), "Li", 720.0, CellRun(1.0, 1.0))
    assert any("published melt" in note and "460 deg C" in note for note in answer.notes)


def test_too_few_volts_is_said():
    answer = describe_cell(MAGNESIUM, "Mg", 963.15, CellRun(5.0, 1.0, volts=2.0))
    assert any("does not take the salt apart" in note for note in answer.notes)


def test_loss_lowers_the_best_efficiency():
    slow, fast = (metal_loss(from_amounts({"NaCl": 1}), "NaCl", 1073.15, i).best_efficiency for i in (0.2, 2.0))
    assert 0 <= slow < fast < 1
    assert metal_loss(from_amounts({"KCl": 1}), "KCl", 1100.0).text == "metal and salt mix freely: no metal collects"


def test_capture_not_dilution(answer):
    note = capture_note(answer.air_m3_min)
    assert "ACGIH TLV-TWA 0.1 ppm (8 h, 2018)" in note
    assert note.endswith("capture at the anode and scrub")


def test_command_prints_json_and_text(capsys):
    words = ["LiCl=30", "KCl=30", "--basis", "mass", "--metal", "Li", "--at", "450", "--amps", "5", "--hours", "2"]
    assert cell_command.run(parsed(*words, "--bath-g", "60", "--json")) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["metal"] == "Li"
    assert cell_command.run(parsed(*words, "--bath-g", "60", "--weighed-g", "2.1")) == 0
    text = capsys.readouterr().out
    assert "starts to freeze" in text
    assert "% weighed" in text


def test_text_of_a_full_run(answer):
    text = cell_command.cell_text(cell_json(answer))
    for words in ("terminals ", "supply must give", "supply drives", "heat ", "deposit ", "kWh/kg", "a drop rises"):
        assert words in text


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["--amps", "-5"], "current -5 A"),
        (["--amps", "5", "--weighed-g", "99"], "at most"),
        (["--amps", "5", "--bath-g", "10"], "the bath holds"),
        (["--amps", "5", "--efficiency", "1.5"], "current efficiency 1.5"),
        (["--amps", "5", "--cathode-cm2", "4"], "both or neither"),
        (["--amps", "5", "--gas-at", "-300"], "--gas-at -300"),
        (["--amps", "5", "--basis", "weight"], "--basis 'weight'"),
    ],
)
def test_refusals_are_one_line(words, message):
    base = ["LiCl=30", "KCl=30", "--metal", "Li", "--at", "450", "--hours", "2"]
    with pytest.raises(InputError, match=message) as caught:
        cell_command.run(parsed(*base, *words))
    assert "\n" not in str(caught.value)


def test_charts(answer):
    panels = drift_figure(answer.drift).axes
    assert [axes.get_ylabel() for axes in panels] == ["temperature, °C", "density, g/cm³"]
    assert len(panels[0].lines[0].get_xdata()) == len(answer.drift.points)
    assert len(voltage_figure(("NaCl", "KCl", "MgCl2")).axes[0].lines) == 3
