"""`python -m thermo COMMAND ...`: the command line (thermo/present/command_line/main.py)."""

import gc
import sys

from thermo.present.command_line.main import main

gc.set_threshold(100_000)  # one question and the process ends: looking for circles takes a tenth of the start
sys.exit(main(sys.argv[1:]))
