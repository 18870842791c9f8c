"""`python -m thermo COMMAND ...`: the command line (thermo/present/command_line/main.py)."""

import sys

from thermo.present.command_line.main import main

sys.exit(main(sys.argv[1:]))
