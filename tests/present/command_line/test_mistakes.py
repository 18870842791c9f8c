"""The command line against bad words: exit code 2 and one line that names the word and what is allowed."""

import pytest

from thermo.present.command_line.main import main

RUN = "--metal Na --at 850 --amps 5 --hours 2"
BAD = [  # words, the offending word as it must be named, what must be offered
    ("", "no command", "melt, pair"),
    ("mel NaCl=1", "'mel'", "melt"),
    ("bogus", "'bogus'", "salts, melt, pair"),
    ("salts extra", "'extra'", ""),
    ("melt", "SALT=AMOUNT", "required"),
    ("melt NaC=1", "'NaC'", "NaCl"),
    ("melt nacl=1", "'nacl'", "NaCl"),
    ("melt CaCl=1", "'CaCl'", "CaCl2"),
    ("melt Unobtainium=1", "'Unobtainium'", "allowed: LiCl"),
    ("melt NaCl=-1", "NaCl -1", "zero or more"),
    ("melt NaCl=nan", "NaCl nan", "zero or more"),
    ("melt NaCl=inf", "NaCl inf", "zero or more"),
    ("melt NaCl=1e308 KCl=1e308", "NaCl 1e+308", "up to 1e+12"),
    ("melt NaCl=0 KCl=0", "all amounts are zero", "at least one"),
    ("melt ZnCl2=1 KF=1", "the fluoride of Zn", "no data"),
    ("melt NaCl=1 NaCl=2", "'NaCl=2'", "once"),
    ("melt KCl=", "'KCl='", "SALT=AMOUNT"),
    ("melt =5", "'=5'", "SALT=AMOUNT"),
    ("melt KCl", "'KCl'", "SALT=AMOUNT"),
    ("melt NaCl=abc", "'abc'", "SALT=AMOUNT"),
    ("melt NaCl=1=2", "'1=2'", "SALT=AMOUNT"),
    ("melt NaCl=1 --basis volume", "'volume'", "mol and mass"),
    ("melt NaCl=1 --metal Xx", "'Xx'", "Li, Na"),
    ("melt NaCl=1 --metal mg", "'mg'", "Mg"),
    ("melt NaCl=1 --at -300", "-300", "-273.15"),
    ("melt NaCl=1 --at -273.15", "-273.15", "absolute zero"),
    ("melt NaCl=1 --at nan", "--at nan", "finite"),
    ("melt NaCl=1 --at 1e9", "1e+09", "3000"),
    ("melt NaCl=1 --at hot", "'hot'", "number"),
    ("melt NaCl=1 --at", "--at", "expected one"),
    ("melt NaCl=1 --superheat -5", "-5", "0 to 500"),
    ("melt NaCl=1 --superheat lots", "'lots'", "number"),
    ("melt NaCl=1 --superheat nan", "--superheat nan", "finite"),
    ("melt NaCl=1 --vessel grafite", "'grafite'", "graphite"),
    ("melt NaCl=1 --vessel cheese", "'cheese'", "allowed: "),
    ("melt NaCl=1 --atmosphere helium", "'helium'", "air and inert"),
    ("melt NaCl=1 --metal Na --deposit gas", "'gas'", "liquid and solid"),
    ("melt NaCl=1 --deposit liquid", "deposit liquid", "name the metal"),
    ("melt NaCl=1 --bogus", "'--bogus'", "--metal"),
    ("melt NaCl=1 --met Na", "'--met'", "--metal"),
    ("pair NaCl", "pair NaCl", "two salts"),
    ("pair", "pair: SALT", "required"),
    ("pair NaCl NaCl", "NaCl NaCl", "two different salts"),
    ("pair ZnCl2 KF", "Zn", "no data for the fluoride"),
    ("pair NaCl KCI", "'KCI'", "KCl"),
    ("pair NaCl KCl LiCl", "LiCl", "two salts"),
    ("lowest NaCl", "lowest NaCl", "2 to 6 different salts"),
    ("lowest NaCl NaCl", "NaCl NaCl", "2 to 6 different salts"),
    ("lowest ZnCl2 KF", "fluoride of Zn", "no data"),
    ("lowest LiCl NaCl KCl RbCl CsCl MgCl2 CaCl2", "LiCl NaCl", "2 to 6 different salts"),
    ("refit --chekc", "'--chekc'", "--check"),
    (f"cell NaCl=1 {RUN} --efficiency 80", "80", "0.8 means 80 %"),
    (f"cell NaCl=1 {RUN} --bath-g 3", "3 g", "enough for"),
    (f"cell NaCl=1 {RUN} --surface-cm2 nan", "--surface-cm2 nan", "finite"),
    ("cell NaCl=1 --metal Na --at 850 --amps -5 --hours 2", "-5 A", "above zero"),
    ("cell NaCl=1 --metal Na --at 850 --amps 5", "--hours", "one of them"),
    ("cell NaCl=1 --metal Na --at -100 --amps 5 --hours 2", "-100", "25 to 1700"),
    ("cell NaCl=1 --metal Mg --at 850 --amps 5 --hours 2", "'Mg'", "allowed: Na"),
    ("weigh NaCl=1", "--total-g", "required"),
    ("weigh NaCl=1 --total-g 0", "0 g", "more than 0"),
    ("weigh CaCl2=1 --total-g 9 --from CaCl2=CaCl2.3H2O", "CaCl2.3H2O", "CaCl2.4H2O"),
    ("weigh CaCl2=1 --total-g 9 --from MgCl2=MgCl2.6H2O", "MgCl2", "CaCl2"),
    ("weigh CaCl2=1 --total-g 9 --assay CaCl2=77", "77", "0.99"),
    ("find --metal Mg", "--salts", "or --all"),
    ("find --metal Mg --salts NaCl,KCl", "'Mg'", "add MgCl2"),
    ("find --metal Pb --salts NaCl,KCl", "'Pb'", "no such salt"),
    ("find --metal Mg --salts NaCl,MgCl", "'MgCl'", "MgCl2"),
    ("find --metal Mg --salts NaCl,,MgCl2", "'NaCl,,MgCl2'", "commas"),
    ("find --metal Mg --salts NaCl,NaCl,MgCl2", "NaCl is named twice", "once"),
    ("find --metal Mg --salts NaCl,MgCl2 --max-salts 9", "9", "1 to 5"),
    ("find --metal Mg --salts NaCl,MgCl2 --max-salts 2.5", "'2.5'", "whole number"),
    ("find --metal Mg --salts NaCl,MgCl2 --want hovers", "'hovers'", "floats and sinks"),
    ("cell NaCl=1 --metal Na --at 850 --amps 1e-300 --hours 1", "1e-300 A h", "1e-06 to 1e+12"),
    ("review KCl=1 --metal K --at 800 --amps 1e-300 --hours 1 --weighed-g 1e12", "1e-300 A h", "1e-06 to 1e+12"),
    ("find --metal Mg --salts NaCl,MgCl2 --below 5000", "5000", "1700"),
    (f"review NaCl=1 {RUN}", "--weighed-g", "required"),
    (f"review NaCl=1 {RUN} --weighed-g -1", "-1 g", "zero or more"),
    (f"review NaCl=1 {RUN} --weighed-g 1 --saw dragons", "'dragons'", "black-sponge"),
    ("cooling NaCl=1", "no arrest", "1 to 8"),
    ("cooling NaCl=1 --arrest nan", "nan", "allowed"),
    ("cryolite --superheat -5", "-5", "0 to 500"),
    ("cryolite --excess-alf3 nan", "nan", "allowed"),
    ("cryolite --ratio 0", "cryolite ratio 0", "more than 0"),
    ("cryolite --ratio 2.4 --excess-alf3 8", "--ratio and --excess-alf3", "one of them"),
    ("cryolite --al2o3 -1", "-1", "allowed"),
    ("cryolite --caf2 150", "150", "allowed"),
]


@pytest.mark.parametrize(("words", "named", "offered"), BAD, ids=[words or "nothing" for words, _, _ in BAD])
@pytest.mark.parametrize("form", [[], ["--json"]], ids=["text", "json"])
def test_bad_input_is_one_line(words, named, offered, form, capsys):
    assert main([*words.split(), *form]) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err.count("\n") == 1
    assert printed.err.endswith("\n")
    assert named in printed.err
    assert offered in printed.err


def test_an_empty_word_is_refused(capsys):
    assert main(["melt", ""]) == 2
    assert "SALT=AMOUNT" in capsys.readouterr().err
