"""`python -m thermo refit` and `--check`: what is compared, what is written, what the exit code says."""

import json

import pytest

from thermo.fitting import pipeline
from thermo.present.command_line.main import main
from thermo.records.provenance import DATA


@pytest.fixture
def quick(monkeypatch, tmp_path):
    """Stand-ins for the slow steps, and a data folder of its own; returns the texts they would write."""
    texts = {
        "fitted/gibbs/phases.csv": "a\n1\n",
        "fitted/density/excess_volume.csv": "b\n2\n",
        "fitted/model_error.csv": "c,sigma\n3,1\n",
    }
    for name, text in texts.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    monkeypatch.setattr(pipeline, "sign", list)
    monkeypatch.setattr(pipeline, "unsigned", list)
    monkeypatch.setattr(pipeline, "folder", lambda: tmp_path)
    steps = [(name, lambda name=name: {name: texts[name]}) for name in texts]
    monkeypatch.setattr(pipeline, "STEPS", steps)
    return texts


def test_nothing_to_change(quick, capsys):
    assert pipeline.differences() == pipeline.Refit([], [])
    assert pipeline.regenerate() == pipeline.Refit([], [])
    assert main(["refit", "--check"]) == 0
    assert capsys.readouterr().out.strip() == "nothing to change"


def test_check_tells_and_writes_nothing(quick, tmp_path, capsys):
    quick["fitted/model_error.csv"] = "c,sigma\n4,1\n"
    (line,) = pipeline.differences().changed
    assert line == "data/fitted/model_error.csv, line 2: c 3 is now 4"
    assert (tmp_path / "fitted/model_error.csv").read_text(encoding="utf-8") == "c,sigma\n3,1\n"
    assert main(["refit", "--check"]) == 1
    assert main(["refit", "--check", "--json"]) == 1
    lines = capsys.readouterr().out.strip().splitlines()
    assert json.loads(lines[-1]) == {"changed": [line], "moved": []}


def test_regenerating_writes_only_what_changed(quick, tmp_path):
    quick["fitted/gibbs/phases.csv"] = "a\n5\n"
    assert pipeline.regenerate().changed == ["data/fitted/gibbs/phases.csv"]
    assert (tmp_path / "fitted/gibbs/phases.csv").read_text(encoding="utf-8") == "a\n5\n"
    assert pipeline.differences().changed == []


def test_the_last_digits_of_another_machine_are_left_alone(quick, tmp_path):
    quick["fitted/gibbs/phases.csv"] = "a\n1.000001\n"
    assert pipeline.differences().changed == []
    assert pipeline.regenerate().changed == []
    assert (tmp_path / "fitted/gibbs/phases.csv").read_text(encoding="utf-8") == "a\n1\n"


def test_files_of_one_step_are_written_together(quick, tmp_path, monkeypatch):
    texts = {"fitted/model_error.csv": "c,sigma\n9,1\n", "fitted/gibbs/phases.csv": "a\n1.000001\n"}
    monkeypatch.setattr(pipeline, "STEPS", [("both", lambda: texts)])
    assert pipeline.regenerate().changed == ["data/fitted/model_error.csv", "data/fitted/gibbs/phases.csv"]
    assert (tmp_path / "fitted/gibbs/phases.csv").read_text(encoding="utf-8") == "a\n1.000001\n"


def test_a_missing_file_is_a_difference(quick, tmp_path):
    (tmp_path / "fitted/density/excess_volume.csv").unlink()
    assert len(pipeline.differences().changed) == 1
    assert pipeline.regenerate().changed == ["data/fitted/density/excess_volume.csv"]


def test_writing_exits_with_zero_even_when_files_changed(quick, capsys):
    quick["fitted/model_error.csv"] = "c,sigma\n9,1\n"
    assert main(["refit"]) == 0
    assert capsys.readouterr().out.strip() == "data/fitted/model_error.csv"


@pytest.mark.slow
def test_every_generated_file_has_a_step():
    """A fresh fit of everything (some seconds) names the very files that data/fitted holds, and they agree."""
    names = [name for _, fresh in pipeline.STEPS for name in fresh()]
    stored = [path.relative_to(DATA).as_posix() for path in (DATA / "fitted").rglob("*.csv")]
    stored.remove("fitted/atlas.csv")  # a search, not a fit: written by a command of its own
    assert sorted(names) == sorted(stored)
