"""`review --log`, `cooling --log` and `review --plan` with files of people."""

import json

import pytest

from thermo.present.command_line.main import main

BATH = ["MgCl2=20", "NaCl=40", "KCl=40", "--basis", "mass"]
REVIEW = ["review", *BATH, "--metal", "Mg", "--weighed-g", "3"]


@pytest.fixture
def run_csv(tmp_path):
    path = tmp_path / "run.csv"
    rows = [f"{k};{700 + (k % 3)};5,0;4,{k % 10}" for k in range(121)]
    path.write_text("min;Temp;Strom;Spannung\n" + "\n".join(rows) + "\n", encoding="cp1252")
    return str(path)


def chosen(path, *more):
    return ["--log", path, "--time-unit", "min", "--column", "time=min", *more]


def test_a_log_gives_charge_temperature_and_volts(run_csv, capsys):
    columns = ["--column", "T=Temp", "--column", "amps=Strom", "--column", "volts=4"]
    assert main([*REVIEW, *chosen(run_csv, *columns), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["charge_Ah"] == pytest.approx(10.0)
    assert found["T_C"] == pytest.approx(701.0, abs=0.1)
    assert found["log"]["mean_V"] == pytest.approx(4.45, abs=0.01)
    assert found["current_efficiency"] == pytest.approx(3 / 4.534, abs=1e-3)
    assert found["planned"] is None


def test_a_plan_stands_beside_what_was_read(run_csv, tmp_path, capsys):
    assert main(["plan", *BATH, "--metal", "Mg", "--want-g", "8", "--json"]) == 0
    plan = tmp_path / "plan.json"
    plan.write_text(capsys.readouterr().out, encoding="utf-8")
    columns = ["--column", "T=Temp", "--column", "amps=Strom"]
    assert main([*REVIEW, *chosen(run_csv, *columns), "--plan", str(plan)]) == 0
    text = capsys.readouterr().out
    assert "planned" in text
    assert "the run ended early" in text


def test_a_cooling_log_hands_its_arrests_on(tmp_path, capsys):
    path = tmp_path / "cool.csv"
    rows, T = [], 640.0
    for k in range(900):
        rest = 300 <= k < 380 or 600 <= k < 680
        T -= 0.0 if rest else 0.2
        rows.append(f"{k},{T:.2f}")
    path.write_text("s,C\n" + "\n".join(rows) + "\n", encoding="utf-8")
    words = ["cooling", "NaCl=48", "CaCl2=52", "--log", str(path), "--column", "time=s", "--column", "T=C"]
    assert main([*words, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert [round(row["T_C"]) for row in found["read_from_log"]] == [580, 536]
    assert len(found["arrests"]) == 2


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["--log", "nowhere.csv", "--column", "time=1"], "allowed is a file that can be read"),
        (["--column", "time=1"], "allowed only with --log"),
        (["--at", "700", "--amps", "5"], "--hours is required"),
        (["--at", "700", "--amps", "5", "--hours", "2", "--plan", "nowhere.json"], "allowed is a file"),
    ],
)
def test_refusals_in_one_line(words, message, capsys):
    assert main([*REVIEW, *words]) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert message in captured.err
    assert captured.err.count("\n") == 1


def test_a_bad_cell_is_named_by_line_and_column(tmp_path, capsys):
    path = tmp_path / "bad.csv"
    path.write_text("t,I\n0,5\n60,five\n", encoding="utf-8")
    words = ["--log", str(path), "--column", "time=t", "--column", "amps=I", "--at", "700"]
    assert main([*REVIEW, *words]) == 2
    assert "line 3, column 2 (amps): 'five'" in capsys.readouterr().err
