"""`python -m thermo COMMAND ...`: the command line (thermo/present/command_line/main.py)."""

import gc
import sys

from thermo.present.command_line.main import main

gc.set_threshold(100_000)  # one question and the process ends: looking for circles takes a tenth of the start
code = main(sys.argv[1:])
gc.freeze()  # nor is anything looked for at the end: that took another tenth
sys.exit(code)
