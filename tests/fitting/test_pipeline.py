"""`python -m thermo refit` and `--check`: what is compared, what is written, what the exit code says."""

import json
from types import ModuleType

import pytest

from thermo.fitting import model_error, pair_files
from thermo.fitting import pipeline as generated
from thermo.fitting import volume_fit as excess_volume
from thermo.fitting.gibbs import salts as gibbs_fit
from thermo.present.command_line.main import main


@pytest.fixture
def quick(monkeypatch, tmp_path):
    """Stand-ins for the slow generators, and a data folder of its own; returns the texts they would write."""
    texts = {
        "fitted/gibbs/phases.csv": "a\n1\n",
        "fitted/density/excess_volume.csv": "b\n2\n",
        "fitted/model_error.csv": "c\n3\n",
    }
    for name, text in texts.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    monkeypatch.setattr(generated, "DATA", tmp_path)
    for module in vars(generated).values():
        if isinstance(module, ModuleType) and hasattr(module, "regenerate"):
            name = {gibbs_fit: "fitted/gibbs/phases.csv", excess_volume: "fitted/density/excess_volume.csv"}.get(module)
            name = "fitted/model_error.csv" if module is model_error else name
            monkeypatch.setattr(module, "regenerate", lambda *a, name=name: {name: texts[name]} if name else {})
    monkeypatch.setattr(pair_files, "fitted_models", dict)
    monkeypatch.setattr(pair_files, "file_texts", lambda models: {})
    monkeypatch.setattr(pair_files, "disagreements", lambda models: [])
    monkeypatch.setattr(pair_files, "fitted_strengths", list)
    monkeypatch.setattr(pair_files, "strengths_text", lambda strengths: {})
    return texts


def test_nothing_to_change(quick, capsys):
    assert generated.differences() == []
    assert generated.regenerate() == []
    assert main(["refit", "--check"]) == 0
    assert capsys.readouterr().out.strip() == "nothing to change"


def test_check_tells_and_writes_nothing(quick, tmp_path, capsys):
    quick["fitted/model_error.csv"] = "c\n4\n"
    (line,) = generated.differences()
    assert line.startswith("data/fitted/model_error.csv")
    assert (tmp_path / "fitted/model_error.csv").read_text(encoding="utf-8") == "c\n3\n"
    assert main(["refit", "--check"]) == 1
    assert main(["refit", "--check", "--json"]) == 1
    lines = capsys.readouterr().out.strip().splitlines()
    assert json.loads(lines[-1]) == {"changed": [line]}


def test_a_pair_that_moved_fails_the_check(quick, monkeypatch):
    monkeypatch.setattr(pair_files, "disagreements", lambda models: ["LiCl-KCl: a coefficient moved"])
    assert generated.differences() == ["LiCl-KCl: a coefficient moved"]
    assert main(["refit", "--check"]) == 1


def test_regenerating_writes_only_what_changed(quick, tmp_path):
    quick["fitted/gibbs/phases.csv"] = "a\n5\n"
    assert generated.regenerate() == ["data/fitted/gibbs/phases.csv"]
    assert (tmp_path / "fitted/gibbs/phases.csv").read_text(encoding="utf-8") == "a\n5\n"
    assert generated.differences() == []


def test_a_missing_file_is_a_difference(quick, tmp_path):
    (tmp_path / "fitted/density/excess_volume.csv").unlink()
    assert len(generated.differences()) == 1
    assert generated.regenerate() == ["data/fitted/density/excess_volume.csv"]


def test_writing_exits_with_zero_even_when_files_changed(quick, capsys):
    quick["fitted/model_error.csv"] = "c\n9\n"
    assert main(["refit"]) == 0
    assert capsys.readouterr().out.strip() == "data/fitted/model_error.csv"
