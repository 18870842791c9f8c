"""A notebook as a script: sodium from a chloride bath, from the first question to the weighing."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))  # as a notebook that is opened in the project's folder

import thermo

# %% Which of the salts at hand would do?
found = thermo.find("Na", ["NaCl", "CaCl2", "KCl"], max_salts=2, want="floats", below_C=620)
for melt in found.melts[:3]:
    print(melt.mole_percent.as_dict(), f"{melt.liquidus_C:.0f} +- {melt.sigma_K:.0f} deg C", melt.verdict)

# %% The first of them, looked at by itself
bath = thermo.Melt(found.melts[0].mole_percent.as_dict())
print(bath, bath.liquidus)
at_600 = bath.at(600, metal="Na", deposit="liquid")
print(at_600.verdict, f"by {at_600.float_or_sink.difference_g_cm3:.2f} g/cm3")
print("run between", at_600.window.low_C, "and", at_600.window.high_C)

# %% How the liquidus runs beside it, and where it is steep
curve = thermo.Pair("NaCl", "CaCl2").curve(101)
coldest = curve.T_C.argmin()
print(f"coldest at {curve.mole_percent[coldest]:.0f} mol% CaCl2: {curve.T_C[coldest]:.0f} deg C")
richer = thermo.field(["NaCl", "CaCl2"], [[48 + d, 52 - d] for d in (0, 2, 4, 6)])
print("each 2 mol% more NaCl:", richer.T_C.round(0), richer.first_solid)

# %% One run, and what to weigh for it
run = bath.cell("Na", 600, amps=10, hours=3, bath_g=800)
print(f"{run.metal_g_max:.1f} g Na at most, {run.halogen.L_25C_1atm:.1f} L of {run.halogen.formula}")
print(bath.weigh(800, {"CaCl2": "CaCl2.2H2O"}).weigh_g.as_dict())

# %% Afterwards
after = thermo.review(bath, "Na", 600, amps=10, hours=3, weighed_g=18.0)
print(f"efficiency {after.current_efficiency:.2f}")
print([cause.cause for cause in after.likely_causes])
