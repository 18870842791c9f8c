"""Which pairs a refit moved: by hand, and told by `refit` in words and JSON."""

import json

import pytest

from thermo.fitting import pipeline
from thermo.fitting.moves import FILE, moved_pairs
from thermo.present.command_line.main import main
from thermo.records.parameters import Parameter

HEADER = "salt_a,salt_b,phase,term,value,unit,sigma,fusion_a,fusion_b,origin\n"


def rows(salts: str, a0: float, sigma: float, a1: float = 0.0) -> str:
    return f"{salts},liquid,a0,{a0},J/mol,{sigma},0,0,fitted\n{salts},liquid,a1,{a1},J/mol,100,0,0,fitted\n"


STORED = HEADER + rows("LiCl,KCl", -1000.0, 100.0) + rows("NaCl,KCl", -500.0, 50.0) + rows("KCl,RbCl", 0.0, 10.0)
FRESH = (
    HEADER + rows("LiCl,KCl", -1050.0, 103.0) + rows("NaCl,KCl", -500.0, 50.0, 200.0) + rows("KCl,RbCl", 0.009, 10.0)
)


def test_farthest_first_in_sigmas():
    first, second = moved_pairs({FILE: STORED}, {FILE: FRESH})
    assert (first.salts, first.parameter, first.sigmas) == (("NaCl", "KCl"), Parameter("liquid", "a1"), 2.0)
    assert second.salts == ("LiCl", "KCl")
    assert second.sigmas == pytest.approx(0.5)
    assert second.spread_pct == pytest.approx(3.0)
    assert second.line == "LiCl-KCl: liquid:a0 moved by 0.5 sigma, a spread by +3 %"


def test_new_gone_and_other_parameters():
    other = HEADER + rows("LiCl,KCl", 0.0, 1.0).replace(",a1,", ",a2,") + rows("NaCl,CsCl", 0.0, 1.0)
    found = {move.salts: move.what for move in moved_pairs({FILE: STORED}, {FILE: other})}
    assert found == {
        ("LiCl", "KCl"): "other parameters",
        ("NaCl", "CsCl"): "new",
        ("NaCl", "KCl"): "gone",
        ("KCl", "RbCl"): "gone",
    }
    assert {move.what for move in moved_pairs({FILE: None}, {FILE: STORED})} == {"new"}
    assert moved_pairs({"other.csv": ""}, {"other.csv": "a\n1\n"}) == []


def test_refit_tells(monkeypatch, tmp_path, capsys):
    (tmp_path / FILE).parent.mkdir()
    (tmp_path / FILE).write_text(STORED, encoding="utf-8")
    monkeypatch.setattr(pipeline, "STEPS", [("pairs", lambda: {FILE: FRESH})])
    monkeypatch.setattr(pipeline, "sign", list)
    monkeypatch.setattr(pipeline, "unsigned", list)
    monkeypatch.setattr(pipeline, "folder", lambda: tmp_path)
    assert main(["refit", "--check"]) == 1
    assert "NaCl-KCl: liquid:a1 moved by 2 sigma, a spread by +0 %" in capsys.readouterr().out.splitlines()
    assert main(["refit", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["changed"] == [f"data/{FILE}"]
    assert [(move["salts"], move["parameter"], move["sigmas"]) for move in told["moved"]] == [
        (["NaCl", "KCl"], "liquid:a1", 2.0),
        (["LiCl", "KCl"], "liquid:a0", pytest.approx(0.5)),
    ]
