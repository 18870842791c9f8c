"""data/TRUST.md says what the trials stored, and nothing else."""

import pytest

from tests.benchmarks import trust
from tests.benchmarks.asking import readers
from tests.benchmarks.measured import kept
from tests.benchmarks.nudges import hand_entered, of_laws


def test_the_page_is_the_one_that_the_figures_make():
    assert trust.TARGET.read_text(encoding="utf-8") == trust.page(), "run: python -m tests.benchmarks.trust"


def test_every_figure_has_its_date_commit_and_command():
    assert kept()
    assert all(row[column] for row in kept() for column in row)


def test_the_traced_readers_are_there():
    """Who reads which table, for the trial of mutations; `python -m tests.benchmarks.asking` traces it anew."""
    traced = readers()
    assert len(traced) > 60
    assert [name for name in traced if not (trust.TARGET.parents[1] / name).exists()] == []
    read = {table for asked in traced.values() for table in asked.read}
    assert {"invariants.csv", "salts.csv", "density/salts.csv", "formation.csv", "exposure.csv"} <= read


@pytest.mark.slow
def test_cells_and_signs_to_be_changed_are_there():
    """The trial of mutations must have something to change in every folder of tables and in every kind of law."""
    cells = hand_entered()
    assert len(cells) > 5000
    assert {"invariants.csv", "salts.csv", "density/salts.csv", "formation.csv"} <= {cell.table for cell in cells}
    changes = {change.where for change in of_laws()}
    assert any(where.startswith("faraday.py") and "3600.0 -> 3780.0" in where for where in changes)
    assert any(where.startswith("gibbs.py") and "sign of" in where for where in changes)


@pytest.mark.slow
def test_a_wrong_density_and_a_wrong_faraday_are_noticed(tmp_path):
    """The trial itself can notice and can pass: one change of each kind in a process of its own."""
    import subprocess
    import sys

    code = (
        "import shutil, sys; from pathlib import Path\n"
        "from tests.benchmarks import nudges\n"
        "from tests.benchmarks.asking import FAILED, PASSED, ask, with_data, with_source\n"
        "from thermo.records.data_folder import DATA\n"
        "folder = Path(sys.argv[1]) / 'data'; shutil.copytree(DATA, folder)\n"
        "dense, charge = 'tests/published/test_mixture_density.py', 'tests/published/test_charge_and_mass.py'\n"
        "assert ask(dense, with_data(folder), 60).code == PASSED\n"
        "cells = nudges.hand_entered()\n"
        "cell = next(c for c in cells if (c.table, c.row, c.column) == ('density/salts.csv', 0, 'a_g_cm3'))\n"
        "nudges.rewritten(folder, cell, cell.nudged(0.05))\n"
        "assert ask(dense, with_data(folder), 60).code in FAILED\n"
        "change = next(c for c in nudges.of_laws() if '3600.0 -> 3780.0' in c.where)\n"
        "assert ask(charge, with_source(change.module, change.path, change.tree), 60).code in FAILED\n"
    )
    done = subprocess.run([sys.executable, "-c", code, str(tmp_path)], cwd=trust.TARGET.parents[1], capture_output=True)
    assert done.returncode == 0, done.stderr.decode()[-500:]
