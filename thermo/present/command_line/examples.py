"""Examples that the help shows, by command: different metals, chlorides and fluorides; a test runs them all.

Limits: words only. Worked value: epilog("lowest") names two commands.
"""

EXAMPLES = {
    "salts": ("salts", "salts --json"),
    "melt": (
        "melt NaCl=48 CaCl2=52 --metal Na --at 600",
        "melt LiCl=58.5 KCl=41.5 --metal Li --deposit liquid --vessel graphite",
        "melt LiF=60 NaF=40 --basis mass",
        "melt NaCl=60 LiF=40",
    ),
    "pair": ("pair LiF NaF", "pair CaCl2 NaCl --terms"),
    "lowest": ("lowest LiCl NaCl CaCl2", "lowest LiF NaF KF --json"),
    "cell": (
        "cell LiCl=55 KCl=45 --metal Li --at 450 --amps 8 --hours 3 --bath-g 600",
        "cell CaCl2=80 NaCl=20 --metal Ca --at 800 --amps 20 --hours 1 --volts 8",
    ),
    "plan": ("plan LiCl=55 KCl=45 --metal Li --want-g 10 --total-g 500",),
    "weigh": (
        "weigh NaCl=42 CaCl2=58 --basis mass --total-g 300 --from CaCl2=CaCl2.2H2O",
        "weigh LiF=46.5 NaF=11.5 KF=42 --total-g 200 --assay KF=0.98",
    ),
    "find": (
        "find --metal Na --salts NaCl,KCl,CaCl2 --max-salts 2 --below 620",
        "find --metal Li --salts LiCl,KCl,NaCl --at 480 --want floats",
    ),
    "atlas": ("atlas --cost --metal Zn",),
    "review": (
        "review NaCl=48 CaCl2=52 --metal Na --at 600 --amps 10 --hours 3 --weighed-g 14",
        "review LiCl=55 KCl=45 --metal Li --at 430 --amps 8 --hours 2 --weighed-g 1.1 --saw sparks",
    ),
    "cooling": ("cooling NaCl=42 CaCl2=58 --arrest 545 --arrest 498",),
    "cryolite": ("cryolite --excess-alf3 8 --caf2 5 --al2o3 3", "cryolite --ratio 2.4 --lif 2"),
    "evidence": ("evidence NaF KF AlF3", "evidence NaF LaF3 --json"),
    "notebook": ("notebook list",),
    "refit": ("refit --check",),
}


def epilog(command: str) -> str:
    """Examples of one command, as its help ends; '' where there is none."""
    lines = EXAMPLES.get(command, ())
    return "\n".join(["examples:", *(f"  python -m thermo {line}" for line in lines)]) if lines else ""
