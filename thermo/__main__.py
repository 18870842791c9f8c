"""`python -m thermo COMMAND ...`: the command line (thermo/present/commands.py)."""

import sys

from thermo.present.commands import main

sys.exit(main(sys.argv[1:]))
